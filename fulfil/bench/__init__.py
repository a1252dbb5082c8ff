"""The two benches: a second person checks every bag, and the packer puts them into their boxes.

Every rule of a bench is here, whoever asks: :mod:`fulfil.bench.check` (a verdict, and what follows from it) and
:mod:`fulfil.bench.checkers` (never the one who picked). :mod:`fulfil.bench.check_station` and
:mod:`fulfil.bench.pack_station` carry a bench line by line; their machines of states are in :mod:`fulfil.checking` and
know no shop. :mod:`fulfil.bench.mistakes` tells where bags go wrong.

May be imported here: every other room of the shop.
"""
