"""Papers: sheets in, PDF out; no paper computes anything.

Each paper is one module with ``pdf(sheets, *, page, printer_dpi) -> bytes`` (labels take ``size`` instead of
``page``), made in three steps:

1. :mod:`~fulfil.papers.elements`: words and figures of a sheet become blocks of marks, in millimetres;
2. :mod:`~fulfil.papers.compose`: blocks are set on pages, none is split, headings are repeated;
3. :mod:`~fulfil.papers.render`: marks are written with embedded fonts, the same bytes for the same sheet.

The look is held in one place each: sizes and type scale in :mod:`~fulfil.papers.page`, faces in
:mod:`~fulfil.papers.faces`, one element per idea. The rules behind it:

* Read at arm's length, in bad light, with gloves: what is looked for at the rack stands at the left, what is done
  there at the right; the larger, the worse a mistake would be.
* Black on white only. A stop is white on a black disc, a cart position is framed, a caution has a heavy frame and a
  sign: meaning survives a photocopier.
* Text is wrapped or set smaller by its measured width, never cut in silence, never under 7 pt; what can't be
  printed whole is refused by name.

To add a paper: write its sheet in :mod:`fulfil.records.sheets`, compose it from elements, add an invented sheet to
:mod:`~fulfil.papers.sample_papers` and its name to :mod:`~fulfil.papers.twin`.
"""
