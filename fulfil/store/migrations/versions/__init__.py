"""One file per migration, numbered."""
