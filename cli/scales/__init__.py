"""``fulfil scales``: add, change and test scales, show what they can count, send what they show to a station's page.

Start with ``scales``.
"""
