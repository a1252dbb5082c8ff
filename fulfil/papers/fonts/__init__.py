"""Open fonts that travel with the package: DejaVu Sans Condensed, its bold, DejaVu Sans Mono Bold (LICENSE.txt)."""
