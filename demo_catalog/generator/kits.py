"""Three invented kits, parts made of parts, for ``fulfil kits import``.

A kit is a part too: its own number must be in ``parts.csv`` before it comes in. The demo shop's 10,000 parts hold no
kit, so that its day stays as it is; who wants to try one adds a line with its number.

>>> [kit for kit, _ in KITS]
['KIT-ESC', 'KIT-BAL', 'KIT-SCR']
"""

from fulfil_demo_catalog.generator.catalogue import parts

COLUMNS = ("kit", "part", "pieces")
KITS = (
    ("KIT-ESC", ("gear", "bush", "dowel pin")),
    ("KIT-BAL", ("bearing steel ball", "suspension spring")),
    ("KIT-SCR", ("cap screw", "hex nut", "plain washer")),
)
"""Each kit and the families of which it holds the first part; ten pieces of each but one of a gear."""


def rows() -> list[dict[str, str]]:
    """The rows of kits.csv."""
    first: dict[str, str] = {}
    for part in parts():
        first.setdefault(part.item.kind.family, part.number)
    return [
        {"kit": kit, "part": first[family], "pieces": "1" if family == "gear" else "10"}
        for kit, families in KITS
        for family in families
        if family in first
    ]
