"""Counting by weight for this shop: samples, scales, what each scale can count, what the weighings teach.

Start with :mod:`fulfil.counting.count_lines`: the unit weight by which a lot is counted (one rule, one place), and the
bags of a line. :mod:`fulfil.counting.samples` takes samples in, :mod:`fulfil.counting.scale_checks` says which scales
may be used, :mod:`fulfil.counting.learning` and :mod:`fulfil.counting.drift` learn from bags that passed. The
mathematics is in :mod:`fulfil.weighing` and knows no shop.

May be imported here: ``fulfil.orders``, ``fulfil.shop`` and all below.
"""
