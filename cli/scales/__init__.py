"""``fulfil scales``: add, change and test scales, show what they can count, send what they show to a station's page.

Start with ``scales``; ``scale_changing`` holds what changes a scale's record, ``scale_relay`` the program that stands
beside a scale and posts what it shows, when it is steady.
"""
