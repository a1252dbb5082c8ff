"""Papers of a walk: what the picker takes along, what hangs on the cart, what the second person ticks off.

**What lives here.** The pick list (:mod:`~fulfil.papers.walk.pick_list`) and what its layouts share: its sheet, the way
on page one, large print, one order a page, all by name in :mod:`~fulfil.papers.walk.layouts`; the bag label, the cart
card and the checklist.

**What may be imported.** The rest of :mod:`fulfil.papers` (the map comes from :mod:`~fulfil.papers.floor`), records,
quantities.

**Where to start.** :mod:`~fulfil.papers.walk.cart_card` is the shortest; a walk's sheets are made all at once by
``fulfil.walks.papers``.
"""
