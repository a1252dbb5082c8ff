"""Files: records in and out of CSV, JSON and other formats, with a line number in every finding.

Nothing here touches the shop; what was read is handed to the shop's rooms, whole or not at all.
"""
