"""The elements that papers are made of: one module per idea, each with one way to look.

**What lives here.** What several papers show alike: a table's columns, the head and foot of a page, a bar code with its
quiet zone, a caution in its frame, a tick box, a signature, a weight with its window, a chart of lines.

**What may be imported.** Marks, faces and measures of :mod:`fulfil.papers`; no paper, no sheet of a paper.

**Where to start.** :mod:`~fulfil.papers.elements.columns`; a new element earns its place when a second paper needs it.
"""
