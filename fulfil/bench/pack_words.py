"""What the packing bench says of a package: what stops it, which paper it lacks, what to do when it is not sealed.

>>> told(STOPS, Finding("package P-1", None, "gross", "98", "the net masses are more than the gross", "weigh it again"))
'STOPS: the net masses are more than the gross. Weigh it again'
"""

from fulfil.despatch.pack import PackageCheck
from fulfil.records.finding import Finding
from fulfil.records.weighing import Verdict

STOPS, LACKS = "STOPS: ", "PAPER: "
"""How a line begins that names what stops a package, or a paper that a sealed one still lacks."""


def told(begins: str, finding: Finding) -> str:
    """A finding with what to do, as one line of the bench."""
    return f"{begins}{finding.says}. {finding.do[:1].upper()}{finding.do[1:]}"


ASIDE = "Nothing is cleared here: put it aside ('let go'), and ask the person who is trained to review it."


def what_now(done: PackageCheck) -> str:
    """What to do with a package that was weighed and not sealed: the weight first, then what only a person clears."""
    if done.findings and done.verdict.verdict is Verdict.PASSED:
        return ASIDE
    return "Open it, look at the bags against the list, put it right, and weigh it again."
