"""A picture of the house, drawn from the imports that are really there.

``python -m tests.house.picture`` prints it, ``--write`` puts it into DEVELOPERS.md. A row is a room and the
rooms that it knows; rows stand so that each knows only rows below. An arrow to all of them is left out where nearly
everybody has it: ``errors``, ``progress``, ``quantities``.
"""

import ast
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- picture -->\n", "<!-- end of picture -->"
ALWAYS = ("errors", "progress", "quantities")


def room_of(path: Path) -> str:
    """The room of a file: ``cli``, or the folder or module below ``fulfil``."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return "cli" if parts[0] == "cli" else parts[1]


def knows(path: Path) -> set[str]:
    """The rooms that a file imports from."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            package, *rest = node.module.split(".")
            if package == "fulfil":
                found |= {rest[0]} if rest else {alias.name for alias in node.names}
    return found


def rooms() -> dict[str, set[str]]:
    """The rooms that each room knows."""
    known: dict[str, set[str]] = {}
    for path in sorted([*ROOT.glob("fulfil/**/*.py"), *ROOT.glob("cli/**/*.py")]):
        if path == ROOT / "fulfil" / "__init__.py":
            continue
        room = room_of(path)
        known.setdefault(room, set()).update(knows(path) - {room})
    return known


def floors(known: dict[str, set[str]]) -> list[str]:
    """The rooms from the top down, each above all that it knows; ties by name.

    Raises:
        ValueError: rooms that know each other.
    """
    left, order = dict(known), []
    while left:
        tops = sorted(room for room in left if not any(room in below for below in left.values()))
        if not tops:
            raise ValueError(f"these rooms know each other: {', '.join(sorted(left))}")
        order.append(tops[0])
        del left[tops[0]]
    return order


def picture() -> str:
    """The picture as text."""
    known = rooms()
    order = floors(known)
    rows = [(room, " ".join(one for one in order if one in known[room] and one not in ALWAYS)) for room in order]
    width = max(map(len, order))
    return "\n".join(f"{room:<{width}} ─► {below}" if below else room for room, below in rows)


def with_picture(page: str, drawn: str) -> str:
    """The page with the picture between its marks."""
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n```\n{drawn}\n```\n\n{END}{after}"


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(with_picture(PAGE.read_text("utf-8"), picture()), "utf-8")
    else:
        print(picture())
