"""Open fonts that travel with the package, with their licences.

**What lives here.** DejaVu Sans Condensed, its bold, DejaVu Sans Mono Bold (LICENSE.txt) for Latin, Greek, Cyrillic,
Hebrew and Arabic letters; Noto Sans Thai and Noto Sans Devanagari, regular and bold, cut to their scripts
(LICENSE-Noto.txt, SIL Open Font License); Droid Sans Fallback for Chinese, Japanese and Korean (LICENSE-Apache-2.0.txt,
copyright 2006 to 2010 Google Corp.). 5.3 MB; no code.

**What may be imported.** Nothing: the files are read as data by :mod:`fulfil.papers.faces` and
:mod:`fulfil.papers.scripts.shaping`, which know the use of each. **Where to start.** There; a text in a letter that
none of them has is refused by its name.
"""
