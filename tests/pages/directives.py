"""What a page may have done while it is built: commands typed, papers and plots drawn, tables made from the code.

=================  ====================================================================================
``{typed}``        commands, typed on the page's stage and shown with what they say
``{paper}``        a paper of the stage (``:file:``), or a sample by its name, drawn
``{example}``      a script of ``demo_catalog/examples``: what it says of itself, its text, output, picture
``{columns}``      the columns of every file that is read, from the readers' own lists
``{frames}``       the columns of every frame of ``fulfil.read_shop``
``{schema}``       every table of the database and every view for analysts
``{commands}``     every command with its options, from the commands themselves
``{sources}``      every outside source with its tests, from the tests' own docstrings
``{modules}``      the reference of every module of a folder
``{changes}``      the page of changes, from its fragments
=================  ====================================================================================
"""

import runpy
import sys
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any, ClassVar

from docutils import nodes
from docutils.parsers.rst import directives
from pygments.lexers.special import TextLexer
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from tests.house import changes
from tests.pages import index, tables
from tests.pages.stage import MORNING, ROOT, Stage, WrongPage, demo_stage

_STAGES: dict[str, Stage] = {}


class Typed(SphinxDirective):
    """Commands, typed on the page's stage."""

    has_content = True
    option_spec: ClassVar[dict[str, Any]] = {
        "at": directives.unchanged, "says": directives.unchanged, "leaves": directives.nonnegative_int,
        "quiet": directives.flag,
    }  # fmt: skip

    def run(self) -> list[nodes.Node]:
        """The commands with what they say."""
        leaves = (self.options["leaves"],) if "leaves" in self.options else (0, 1)
        try:
            said = stage_of(self.env.docname).type(
                list(self.content), at=self.options.get("at", MORNING), leaves=leaves
            )
            output = "\n".join(one.output for one in said)
            for words in self.options.get("says", "").split(" … "):
                if " ".join(words.split()) not in " ".join(output.split()):
                    raise WrongPage(f"'{words}' is not said, but: {output}")
        except WrongPage as trouble:
            raise self.error(str(trouble)) from None
        text = "\n".join(
            f"$ {one.typed}" + ("" if "quiet" in self.options or not one.output else f"\n{one.output.rstrip()}")
            for one in said
        )
        return [nodes.literal_block(text, text, language="none")]


class Paper(SphinxDirective):
    """A paper, drawn: of the stage by its file, or a sample by its name."""

    required_arguments = 1
    option_spec: ClassVar[dict[str, Any]] = {"page": directives.positive_int, "says": directives.unchanged_required}

    def run(self) -> list[nodes.Node]:
        """The picture, with what it shows for those who can't see it."""
        from fulfil.papers.preview import pictures

        name = self.arguments[0]
        drawn = pictures(self._pdf(name), dpi=90, pages=[self.options.get("page", 1)])
        target = picture_file(self.env.app, f"{self.env.docname}-{Path(name).stem}".replace("/", "-"))
        target.write_bytes(drawn[0])
        return [picture(self.env.docname, target, self.options.get("says", f"the paper {Path(name).stem}"), ["paper"])]

    def _pdf(self, name: str) -> bytes:
        if name.endswith(".pdf"):
            path = stage_of(self.env.docname).folder / name
            if not path.is_file():
                raise self.error(f"no paper {name}, but {sorted(one.name for one in path.parent.glob('*.pdf'))}")
            return path.read_bytes()
        try:
            return sample(name)
        except KeyError:
            raise self.error(f"no sample {name}: see fulfil papers sample --out samples") from None


class Example(SphinxDirective):
    """An example script: run, and shown."""

    required_arguments = 1

    def run(self) -> list[nodes.Node]:
        """Its first lines, output, picture and text."""
        name = self.arguments[0]
        target = picture_file(self.env.app, name)
        output = run_example(name, target)
        text = (ROOT / "demo_catalog" / "examples" / f"{name}.py").read_text("utf-8")
        says = text.split('"""')[1].strip()
        return [
            *(nodes.paragraph("", paragraph.replace("\n", " ")) for paragraph in says.split("\n\n")),
            picture(self.env.docname, target, says.split("\n\n")[0].replace("\n", " "), ["plot"]),
            nodes.literal_block(output, output, language="none"),
            nodes.literal_block(text, text, language="python"),
        ]


class Made(SphinxDirective):
    """A part of a page that is made from the code, as Markdown."""

    optional_arguments = 1

    def run(self) -> list[nodes.Node]:
        """The parsed Markdown."""
        made = MADE[self.name](*self.arguments)
        return self.parse_text_to_nodes(made, allow_section_headings=True)


MADE = {
    "changes": lambda: changes.page(ROOT / ".changes").replace("### ", "## "),
    "columns": tables.columns,
    "commands": tables.commands,
    "frames": tables.frames,
    "schema": tables.schema,
    "modules": tables.modules,
    "sources": tables.sources,
}


@cache
def run_example(name: str, target: Path) -> str:
    """Runs a script of ``demo_catalog/examples`` as a person would; what it printed."""
    import matplotlib
    from matplotlib import pyplot

    matplotlib.use("agg")
    path = ROOT / "demo_catalog" / "examples" / f"{name}.py"
    printed = StringIO()
    with argued([str(path), str(target)]), redirect_stdout(printed), warnings.catch_warnings():
        runpy.run_path(str(path), run_name="__main__")
    pyplot.close("all")
    return printed.getvalue()


@contextmanager
def argued(words: Sequence[str]) -> Iterator[None]:
    """A script's words, for a while."""
    before, sys.argv = sys.argv, [*words]
    try:
        yield
    finally:
        sys.argv = before


def sample(name: str) -> bytes:
    """A sample paper, on A4 and for a printer of 300 dpi."""
    from fulfil_demo_catalog.samples.papers import SAMPLES

    from fulfil.records.settings import Paper as PaperSize

    return SAMPLES[name].pdf(page=PaperSize.A4, printer_dpi=300)


def stage_of(docname: str) -> Stage:
    """The page's own stage, made when it first types."""
    if docname not in _STAGES:
        _STAGES[docname] = demo_stage()
    return _STAGES[docname]


def picture_file(app: Sphinx, name: str) -> Path:
    """Where a picture goes that was made for a page."""
    folder = Path(app.outdir) / "_images"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{name}.png"


def picture(docname: str, target: Path, says: str, classes: list[str]) -> nodes.Node:
    """The picture, named as it lies beside the pages."""
    up = "../" * docname.count("/")
    return nodes.raw("", f'<img class="{" ".join(classes)}" src="{up}_images/{target.name}" alt="{_quoted(says)}">',
                     format="html")  # fmt: skip


def _quoted(text: str) -> str:
    return text.replace("&", "&amp;").replace('"', "&quot;").replace("<", "&lt;")


def setup(app: Sphinx) -> dict[str, bool]:
    """The directives, the index of README.md as the order of the pages, no work kept from another build."""
    app.add_directive("typed", Typed)
    app.add_directive("paper", Paper)
    app.add_directive("example", Example)
    for name in MADE:
        app.add_directive(name, Made)
    app.add_lexer("csv", TextLexer)
    app.connect("source-read", index.with_order)
    return {"parallel_read_safe": False, "parallel_write_safe": True}
