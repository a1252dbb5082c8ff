"""The order with its lines: this room alone moves it on.

Start with :mod:`fulfil.orders.places`: what is owed to a line and where it is. :mod:`fulfil.orders.moving` has a verb
for each thing that can happen to an order's pieces (planned, released, passed, boxed, sealed, shipped, pulled,
cancelled, held); every step of the shop calls these and nothing else. :mod:`fulfil.orders.gates` refuses what does not
add up, :mod:`fulfil.orders.verify` recomputes both books and names each difference.

Around them: orders come in (``importing``, ``extras``, ``return_notices``), change (``changing``, ``holding``,
``combining``), give bags back (``pulling``, ``unpacking``, ``recounts``), are shown, replaced and forgotten.

May be imported here: ``fulfil.shop`` and all below. No other room of the shop.
"""
