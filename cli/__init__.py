"""The command line of fulfil."""
