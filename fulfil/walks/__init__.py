"""From stock to walks: who is promised what, which orders ride together, which way each cart goes, and its papers.

Start with :mod:`fulfil.walks.plan`: it reads as a list of the parts (promise, bag, batch, walk). Then
:mod:`fulfil.walks.releasing` puts a walk on paper, :mod:`fulfil.walks.times` and :mod:`fulfil.walks.waves` say how long
it takes and who goes when, :mod:`fulfil.walks.hands` and :mod:`fulfil.walks.rush` change a walk that is out. The
searches and proofs are in :mod:`fulfil.planning` and :mod:`fulfil.room` and know no shop.

May be imported here: ``fulfil.counting``, ``fulfil.orders``, ``fulfil.shop`` and all below.
"""
