"""The page of changes in README.md, assembled from the fragments in ``.changes``.

``python -m tests.house.changes`` prints it, ``--write`` puts it into README.md. The newest release stands first, what
is not released yet before it; within a release what is new, what is changed, what is fixed, each by the fragments'
names.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
BEGIN, END = "<!-- changes -->\n", "<!-- end of changes -->"
KINDS = {"new": "New", "changed": "Changed", "fixed": "Fixed"}
NEXT = "next"


def page(folder: Path) -> str:
    """The page.

    Raises:
        ValueError: a fragment of no known kind, or one that says nothing.
    """
    releases = sorted(one for one in folder.iterdir() if one.is_dir() and one.name != NEXT)
    releases.sort(key=lambda one: tuple(map(int, one.name.split("."))), reverse=True)
    parts = []
    for release in [folder / NEXT, *releases]:
        said = _of_release(release) if release.is_dir() else ""
        if said:
            parts.append(f"### {'Not released yet' if release.name == NEXT else release.name}\n\n{said}")
    return "\n".join(parts)


def _of_release(folder: Path) -> str:
    found: dict[str, list[str]] = {kind: [] for kind in KINDS}
    for path in sorted(folder.rglob("*.*"), key=lambda path: path.name):
        name, _, kind = path.name.removesuffix(".md").rpartition(".")
        text = " ".join(path.read_text("utf-8").split())
        if kind not in KINDS or not name or not text.endswith("."):
            raise ValueError(f"{path}: expected name.kind.md with a sentence, kind one of {', '.join(KINDS)}")
        found[kind].append(text)
    return "".join(f"* *{KINDS[kind]}:* {text}\n" for kind, texts in found.items() for text in texts)


def with_page(readme: str, changes: str) -> str:
    """README.md's text with the page between its marks."""
    before, _, rest = readme.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{changes}\n{END}{after}"


if __name__ == "__main__":
    made = page(ROOT / ".changes")
    if "--write" in sys.argv:
        README.write_text(with_page(README.read_text("utf-8"), made), "utf-8")
    else:
        print(made)
