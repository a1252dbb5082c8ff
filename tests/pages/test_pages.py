"""The pages are built without a warning, name only what is there, and answer their twenty questions by doing."""

import re
import subprocess
import sys
from pathlib import Path

import click
import pytest
from fulfil_cli.main import NOUNS, main

from tests.pages import index
from tests.pages.sources import is_named, published
from tests.pages.stage import ROOT, WrongPage, bare_stage

PAGES = sorted([
    *ROOT.glob("fulfil/**/pages/*.md"), *ROOT.glob("cli/pages/*.md"), *ROOT.glob("demo_catalog/pages/*.md"),
    *ROOT.glob("tests/pages/*.md"), *ROOT.glob(".docs/*.md"),
])  # fmt: skip
README = ROOT / "README.md"
PROOF = ROOT / "tests" / "pages" / "how_tests_prove_it.md"
EXAMPLES = ROOT / "demo_catalog" / "examples"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All pages, built once as a developer would."""
    pytest.importorskip("sphinx", reason="the extra 'docs' is not installed")
    out = tmp_path_factory.mktemp("built")
    ran = subprocess.run(
        [sys.executable, "-m", "tests.pages", "--out", str(out)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return out


@pytest.mark.slow
def test_every_page_is_built_and_every_picture_is_there(built: Path) -> None:
    """No warning; each page of the index, each picture that a page shows, is a file."""
    readme = README.read_text("utf-8")
    for name in index.links(readme):
        page = built / f"{name}.html"
        text = page.read_text("utf-8")
        shown = re.findall(r'<img [^>]*src="([^":]+)"', text)
        assert [one for one in shown if not (page.parent / one).is_file()] == [], name
    assert (built / "index.html").exists()


@pytest.mark.slow
def test_the_day_shows_its_papers(built: Path) -> None:
    """Each kind of paper that a day prints, drawn with words for those who can't see it."""
    text = (built / "demo_catalog" / "pages" / "day_in_pictures.html").read_text("utf-8")

    assert text.count('class="paper"') == 9
    assert 'alt="The manifest: the packages handed to the service, to be signed"' in text


@pytest.mark.slow
@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("[a-z]*.py")), ids=lambda path: path.stem)
def test_every_example_ran_and_is_shown(path: Path, built: Path) -> None:
    """Its picture, what it printed, its text."""
    text = (built / "demo_catalog" / "pages" / "examples.html").read_text("utf-8")

    assert f"_images/{path.stem}.png" in text
    assert (built / "_images" / f"{path.stem}.png").stat().st_size > 10_000


def test_the_index_names_every_page_once() -> None:
    """So that none is built that nobody finds."""
    named = index.links(README.read_text("utf-8"))

    assert sorted(named) == sorted({*(one.relative_to(ROOT).with_suffix("").as_posix() for one in PAGES),
                                    "DEVELOPERS", "demo_catalog/README"})  # fmt: skip


def named_commands(text: str) -> list[list[str]]:
    """Each command that a page names, as its words; comments left out."""
    spans = re.findall(r"`(fulfil [^`\n]+)`", text) + re.findall(r"^\s*(?:\$ )?(fulfil [^\n#]+)", text, re.MULTILINE)
    return [re.sub(r"'[^']*'|\"[^\"]*\"", "X", span).split()[1:] for span in spans]


@pytest.mark.parametrize("path", [*PAGES, README, ROOT / "DEVELOPERS.md"], ids=lambda path: path.stem)
def test_a_page_names_only_commands_and_options_that_are_there(path: Path) -> None:
    """Noun, verb and each option, so that nobody types in vain."""
    context = click.Context(main)
    wrong = []
    for words in named_commands(path.read_text("utf-8")):
        if words[0] not in NOUNS:
            if re.fullmatch(r"[a-z]+", words[0]):
                wrong.append(words)
            continue
        found = main.get_command(context, words[0])
        if isinstance(found, click.Group):
            if len(words) < 2 or not re.fullmatch(r"[a-z-]+", words[1]):
                continue  # a noun by itself
            if words[1] not in found.commands:
                wrong.append(words)
                continue
            found = found.commands[words[1]]
        assert found is not None
        known = {name for param in found.params for name in (*param.opts, *param.secondary_opts)} | {"--help", "-h"}
        wrong += [words for word in words if word.startswith("--") and word.rstrip(",.;:") not in known]
    assert wrong == []


def test_a_command_that_is_not_there_would_be_found() -> None:
    """The check above can fail."""
    assert named_commands("Type `fulfil day nexst` or\n\n    fulfil bags chek B1 --gros 3  # so\n") == [
        ["day", "nexst"],
        ["bags", "chek", "B1", "--gros", "3"],
    ]


def test_twenty_questions_are_answered_by_doing() -> None:
    """Each has a block that is typed, or a call that runs, and what it must say."""
    questions = PROOF.read_text("utf-8").partition("## Twenty questions")[2].partition("\n## ")[0].split("\n### ")[1:]

    assert [one.partition(".")[0] for one in questions] == [str(number) for number in range(1, 21)]
    for one in questions:
        assert ("```{typed}" in one and ":says:" in one) or ">>> " in one, one.splitlines()[0]
        assert one.splitlines()[0].endswith("?")


def test_every_published_check_names_its_source() -> None:
    """In its first lines or in the tests' own, by issuer, standard or year; and every test says what it shows."""
    assert len(published()) > 15
    for one in published():
        says = [text for _, text in one.tests]
        assert all(says), one.path
        assert is_named(" ".join([one.title, *one.named, *says])), one.path


def test_a_page_that_says_what_isn_t_so_stops_the_build() -> None:
    """A command that fails, or one of somebody else's."""
    stage = bare_stage()

    with pytest.raises(WrongPage, match="left with 3"):
        stage.type(["fulfil walks list"])
    with pytest.raises(WrongPage, match="no command of ours"):
        stage.type(["ls"])
