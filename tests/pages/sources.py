"""Which outside source each test rests on, read from the tests' own first lines, so that no list can go stale.

>>> is_named("JCGM 106, 7.3.2: p_c by hand"), is_named("Rounded as a person would")
(True, False)
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.pages.stage import ROOT

_NAMED = re.compile(
    r"\b(ISO|IEC|OIML|JCGM|GS1|UPU|S10|NIST|NIOSH|MIL-STD|OASIS|UBL|DESADV|UN|DIN|WCAG|RFC|doi|e-Handbook|CLDR|[Ss]ource)\b"
    r"|\b(1[89]|20)\d\d\b"
)
"""A standard, an issuer, or a year of publication."""
_STANDARD = re.compile(r"\b(ISO|IEC|OIML|JCGM|GS1|UPU|NIST|NIOSH|MIL-STD|WCAG|RFC|doi|NMEA|ISPM|UN/CEFACT)\b")


@dataclass(frozen=True)
class Source:
    """A file of tests: what it shows, the sources that it names, and its tests with what each says."""

    path: str
    title: str
    named: tuple[str, ...]
    tests: tuple[tuple[str, str], ...]


def is_named(text: str) -> bool:
    """Whether a text names something that others published."""
    return bool(_NAMED.search(text))


@cache
def published() -> tuple[Source, ...]:
    """The files of ``tests/published``."""
    return tuple(_read(path) for path in sorted((ROOT / "tests" / "published").glob("test_*.py")))


@cache
def elsewhere() -> tuple[Source, ...]:
    """All other tests whose own line names a standard."""
    files = (path for path in sorted((ROOT / "tests").rglob("test_*.py")) if path.parent.name != "published")
    found = (_read(path, only=_STANDARD) for path in files)
    return tuple(one for one in found if one.tests)


def _read(path: Path, only: re.Pattern[str] | None = None) -> Source:
    tree = ast.parse(path.read_text("utf-8"))
    first, *rest = (ast.get_docstring(tree) or path.stem).split("\n\n")
    tests = tuple((name, says) for name, says in _tests(tree) if only is None or only.search(says))
    return Source(path.relative_to(ROOT).as_posix(), _flat(first).rstrip("."), tuple(map(_listed, rest)), tests)


def _tests(tree: ast.Module) -> Iterator[tuple[str, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node.name, _flat(ast.get_docstring(node) or "")


def _flat(text: str) -> str:
    return " ".join(text.replace("``", "`").split())


def _listed(paragraph: str) -> str:
    return paragraph.replace("``", "`")
