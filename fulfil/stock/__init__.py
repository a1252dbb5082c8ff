"""What there is: parts and bins, their levels, counts and receipts, and the jobs for what is short.

Start with :mod:`fulfil.stock.levels` (count, adjust, receive, reject) and :mod:`fulfil.stock.jobs` (make and buy). A
catalogue comes in by :mod:`fulfil.stock.catalogue` and goes out by :mod:`fulfil.stock.catalogue_out`; it never sets a
level. :mod:`fulfil.stock.empty_bins` and :mod:`fulfil.stock.lost_bags` are for the walk where the books were wrong.

May be imported here: ``fulfil.walks``, ``fulfil.counting``, ``fulfil.orders``, ``fulfil.shop`` and all below.
"""
