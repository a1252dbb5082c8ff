"""Papers of the stock: the label on a bin, what is short, what is made next door, what is bought from whom.

**What lives here.** The bin label, the short list, the make list and the buy list; the last two share the row of a job
with its bar code (:mod:`~fulfil.papers.stock.jobs`).

**What may be imported.** The rest of :mod:`fulfil.papers`, records, quantities.

**Where to start.** :mod:`~fulfil.papers.stock.short_list`: a sheet, its declaration, a table whose headings are
repeated on every page.
"""
