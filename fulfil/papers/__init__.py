"""Papers: sheets in, PDF out; no paper computes anything.

**What lives here.** One file a paper, in a folder of those that are used together: :mod:`~fulfil.papers.walk`,
:mod:`~fulfil.papers.bench`, :mod:`~fulfil.papers.stock`, :mod:`~fulfil.papers.orders`, :mod:`~fulfil.papers.despatch`,
:mod:`~fulfil.papers.day`, and :mod:`~fulfil.papers.floor` for drawings of the room. A paper's file holds its *sheet*
(:mod:`~fulfil.papers.sheet`: every word and figure, frozen), its constant ``PAPER`` (:mod:`~fulfil.papers.kind`: name,
files, number, drawing) and the drawing itself. Nothing else lists papers: :mod:`~fulfil.papers.registry` finds them
by their sheets, :mod:`~fulfil.papers.door` prints them, :mod:`~fulfil.papers.twin` says them in words.

A paper is made in three steps:

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

**What may be imported.** Records, standards, quantities and errors; never a store, a step of the day, or a sample.
Sheets are filled in the shop's rooms, beside the books.

**Where to start.** Read :mod:`fulfil.papers.stock.short_list`, a paper of the usual kind, then
:mod:`fulfil.papers.document` and :mod:`fulfil.papers.labels`, the two kinds there are. To add a paper, write such a
file; its maker in the shop's room says which record or day it is about; an invented one in the demo's package
(``samples``) has all tests run over it.
"""
