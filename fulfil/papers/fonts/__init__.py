"""Open fonts that travel with the package: DejaVu Sans Condensed, its bold, DejaVu Sans Mono Bold (LICENSE.txt).

**What lives here.** Font files and their licence, no code. **What may be imported.** Nothing: the files are read as
data by :mod:`fulfil.papers.faces`, which knows the one use of each. **Where to start.** There; a text in a letter that
none of them has is refused by its name.
"""
