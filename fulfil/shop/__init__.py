"""What every room of the shop needs: its clock, its numbers, its journal, and how a paper is asked for and printed.

Start with :mod:`fulfil.shop.clock` (the shop's own day, wherever the computer stands), :mod:`fulfil.shop.numbers`
(letter, day, running number) and :mod:`fulfil.shop.journal` (who did what, read by key). :mod:`fulfil.shop.told` is
what a step says to the people who must act. :mod:`fulfil.shop.short_numbers` says which number is meant where one is
given short; :mod:`fulfil.shop.conversation` asks questions one after the other and loses no answer.
:mod:`fulfil.shop.asking` is the contract of a paper's maker, :mod:`fulfil.shop.printing` the one door that prints what
a maker made.

May be imported here: the store, papers, files and all below. No room of the shop.
"""
