"""Pages as the dots of a label printer: bars on whole dots, and the dots in the languages that such printers read.

**What lives here.** :mod:`~fulfil.papers.raster.dots` draws a page as black and white dots;
:mod:`~fulfil.papers.raster.languages` writes dots as a printer reads them, by its graphics command alone, so that any
layout prints the same on any of them.

**What may be imported.** The rest of :mod:`fulfil.papers`.
"""
