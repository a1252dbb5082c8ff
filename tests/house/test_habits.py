"""The habits around the code: a page of changes, a picture that is current, a licence, hooks that fetch nothing."""

import re
import tomllib
from importlib import import_module
from pathlib import Path

import pytest

from tests.house import changes, picture

ROOT = Path(__file__).parents[2]
HOOKS = ROOT / ".pre-commit-config.yaml"


def test_the_page_of_changes_is_assembled_from_the_fragments() -> None:
    """``python -m tests.house.changes --write`` brings it up."""
    readme = changes.README.read_text("utf-8")

    assert readme == changes.with_page(readme, changes.page(ROOT / ".changes"))
    assert "### Not released yet" in readme or "### 0.1" in readme


def test_releases_stand_newest_first_and_kinds_in_order(tmp_path: Path) -> None:
    """By number, not by name: 0.10 after 0.9; new before fixed, each by name."""
    for name, text in {
        "next/a.fixed.md": "Counts right.\n",
        "next/b.new.md": "Weighs\nmore.\n",
        "0.9.0/c.new.md": "Old.",
        "0.10.0/c.new.md": "Newer.",
    }.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")

    assert changes.page(tmp_path) == (
        "### Not released yet\n\n* *New:* Weighs more.\n* *Fixed:* Counts right.\n\n"
        "### 0.10.0\n\n* *New:* Newer.\n\n### 0.9.0\n\n* *New:* Old.\n"
    )


@pytest.mark.parametrize(("name", "text"), [("a.other.md", "Well."), ("new.md", "Well."), ("a.new.md", "no sentence")])
def test_a_fragment_of_no_kind_or_without_a_sentence_is_refused(tmp_path: Path, name: str, text: str) -> None:
    """It would be missing from the page, or say nothing there."""
    (tmp_path / "next").mkdir()
    (tmp_path / "next" / name).write_text(text, "utf-8")

    with pytest.raises(ValueError, match=r"expected name\.kind\.md with a sentence"):
        changes.page(tmp_path)


def test_the_picture_of_the_house_is_drawn_from_the_imports() -> None:
    """``python -m tests.house.picture --write`` brings it up."""
    page = picture.PAGE.read_text("utf-8")

    assert page == picture.with_picture(page, picture.picture())


def test_rooms_that_know_each_other_have_no_picture() -> None:
    """A circle is named; without one, whoever knows stands above."""
    assert picture.floors({"a": {"b"}, "b": set(), "c": {"a"}}) == ["c", "a", "b"]
    with pytest.raises(ValueError, match="these rooms know each other: a, b"):
        picture.floors({"a": {"b"}, "b": {"a"}})


def test_the_licence_and_the_authors_are_named_and_there() -> None:
    """Whoever has the wheel has the text."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    (text,) = (ROOT / name for name in project["license-files"])

    assert project["license"] == "MIT"
    assert project["authors"] == [{"name": "the fulfil developers"}]
    assert "Permission is hereby granted, free of charge" in text.read_text("utf-8")


def test_hooks_fetch_nothing() -> None:
    """Every hook is local and runs what the environment has; CI's checks are among them."""
    lines = [line.strip(" -") for line in HOOKS.read_text("utf-8").splitlines()]

    assert [line for line in lines if line.startswith("repo:")] == ["repo: local"]
    assert {line for line in lines if line.startswith("language:")} == {"language: system"}
    for tool in ("ruff format", "ruff check", "mypy", "lint-imports"):
        assert any(line.startswith("entry:") and tool in line for line in lines)
        assert tool.split()[0] in (ROOT / ".ci" / "run").read_text("utf-8")


def book_of_rules() -> list[tuple[str, list[str], list[str]]]:
    """Each rule with the functions (or rooms) and the tests that its row names."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## Book of rules")[2].partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if line.startswith("|")]
    return [(rule, re.findall(r"`([\w.]+)`", home), re.findall(r"`([\w/.]+)`", at)) for rule, home, at in rows[2:]]


@pytest.mark.parametrize(("rule", "homes", "tests"), book_of_rules())
def test_every_rule_stands_where_its_book_says(rule: str, homes: list[str], tests: list[str]) -> None:
    """The function, or the room, that the row names first is there, and so are the tests."""
    path, _, name = homes[0].rpartition(".")
    room = import_module(f"fulfil.{path}")

    assert hasattr(room, name) or import_module(f"fulfil.{homes[0]}"), rule
    assert [path for path in tests if not (ROOT / path).exists()] == []
