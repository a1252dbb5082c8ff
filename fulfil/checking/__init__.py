"""What must be looked at, and the verdicts on bags and packages. Pure: figures in, verdicts out.

The scale proves the count, not the part: where weight can't tell, the verdict is *look*, at what, and against what.
"""
