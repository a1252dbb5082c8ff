"""The command line of fulfil: a noun is a file or more, in the folder of the room it asks.

A command parses, calls one step of the day, and shows what it did. Start with ``main`` (the nouns, and where their
files are) and ``frame`` (what every command shares: the shop, the answer, ``--json``, exit codes). Heavy modules are
imported inside the commands, so that ``fulfil --help`` answers at once.
"""
