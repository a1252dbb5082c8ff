"""The desk's pages: the clerk's, and the make-room's.

Each takes a line such as ``close ROAD`` from its page, calls the step of the room that the command line calls, and
shows what it said; what has no step to be done by touch is shown with its command.
"""
