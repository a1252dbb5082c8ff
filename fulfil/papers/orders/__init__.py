"""Papers around an order: what its customer is told, and what the bench must do when the order changes.

**What lives here.** The note that goes with an order that comes in parts, the evidence of how its bags were counted,
and the pull slip of bags that a change takes off the carts.

**What may be imported.** The rest of :mod:`fulfil.papers`, records.

**Where to start.** :mod:`~fulfil.papers.orders.partial_note`; all three are numbered by a letter before the number of
their order.
"""
