"""The order with its lines: this room alone moves it on.

Start with :mod:`fulfil.orders.places`: what is owed to a line and where it is. :mod:`fulfil.orders.moving` has a verb
for each thing that can happen to an order's pieces (planned, released, passed, boxed, sealed, shipped, pulled,
cancelled, held); every step of the day calls these and nothing else. :mod:`fulfil.orders.gates` refuses what does not
add up, :mod:`fulfil.orders.verify` recomputes both books and names each difference.

May be imported: records, the store's books, pure rooms below. Not: papers, files.
"""
