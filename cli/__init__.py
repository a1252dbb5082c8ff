"""The command line of fulfil: one file per noun. A command parses, calls one step of the day, and shows what it did.

Heavy modules are imported inside the commands, so that ``fulfil --help`` answers at once.
"""
