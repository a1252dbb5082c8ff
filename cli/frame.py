"""What every command shares: its options, how it answers, its exit code.

Exit codes: 0 done, 1 done but the shop must act, 2 wrong use, 3 the store can't be used, 4 a fault of the program,
5 done but its paper is not printed.
"""

import errno
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from functools import wraps
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

import click
from click.core import ParameterSource

from fulfil.errors import FileRefused, PaperRefused, QuantityRefused, Refusal, StoreRefused
from fulfil.quantities import keyed_grams

from .asking import Answer as Answer
from .asking import Ask as Ask
from .bars import shown_progress
from .columns import table as table
from .numbers import as_typed, made_whole
from .saying import ToldToEnd, ended_in_words, json_text, must_be_kept, open_streams, say

DONE, MUST_ACT, WRONG_USE, NO_STORE, CRASHED, NOT_PRINTED = 0, 1, 2, 3, 4, 5
SHAPE = 1
"""Of the answers for programs."""
STOPPED = 130
"""A person stopped it: 128 and the number of the signal (POSIX shells)."""
TOLD_TO_END = 143
"""Another program ended it, or the computer is shut down."""


class Noun(click.Group):
    """A noun's verbs; their list says the whole sentence of each, not its first half."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The verbs with what they do, wrapped."""
        commands = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        with formatter.section("Verbs"):
            formatter.write_dl([(name, verb.get_short_help_str(limit=400)) for name, verb in commands if verb])


Made = TypeVar("Made")


def made_after(print_: Callable[[], Made], again: str) -> tuple[Made | None, list[str]]:
    """What the printing of a step that is done gave, or None and one sentence that says how to print it again.

    The step stays done whatever the printer says, so a paper that fails is no refusal.
    """
    try:
        return print_(), []
    except (FileRefused, PaperRefused) as refusal:
        return None, [f"Done, but its paper is not printed: print it with: {again}. {refusal}"]


def paper_after(print_: Callable[[], list[Path]], again: str) -> tuple[list[Path], list[str]]:
    """As :func:`made_after`, for steps that print one list of papers."""
    printed, lacks = made_after(print_, again)
    return printed or [], lacks


def command(
    group: click.Group, name: str, example: str, *, is_once: bool = False, has_dry_run: bool = False
) -> Callable[[Callable[..., Answer]], click.Command]:
    """Makes a function ``f(ask, **options) -> Answer`` a command of a noun; ``example`` stands in its help.

    ``is_once`` adds ``--key`` to a step of one transaction: asked again with the same key, it says what was done.
    ``has_dry_run`` adds ``--dry-run`` to a step that writes much: it is done on a copy of the shop, and says so.
    """

    def wrap(function: Callable[..., Answer]) -> click.Command:
        @wraps(function)
        def run(shop: str, as_json: bool, at: datetime | None, person: str, **options: Any) -> None:
            now = datetime.now().astimezone() if at is None else at

            def answer() -> Answer:
                must_be_kept({"person": person, **as_typed(options)})
                own = as_set({"shop": shop, "person": person, **options})
                ask = Ask(own.pop("shop"), now, own.pop("person"))
                if not own.pop("is_copied", False):
                    return step(ask, own)
                from .dry_run import tried

                return tried(ask, own, step)

            def step(ask: Ask, own: dict[str, Any]) -> Answer:
                key = own.pop("key", "")
                if not key:
                    return function(ask, **made_whole(ask, own))
                from .again import done_once

                asked = f"{group.name} {name} {sorted(own.items())}"
                return done_once(ask, key, asked, lambda there: function(there, **made_whole(there, own)))

            answer_and_leave(answer, as_json)

        decorated: Callable[..., None] = run
        given: list[Callable[[Callable[..., None]], Callable[..., None]]] = [*_OPTIONS, *([_KEY] if is_once else [])]
        given += [_DRY_RUN] if has_dry_run else []
        for option in reversed(given):
            decorated = option(decorated)
        return group.command(name, epilog=f"Example: {example}")(decorated)

    return wrap


def as_set(given: dict[str, Any]) -> dict[str, Any]:
    """What was typed, or else is in the environment, or else is set on this computer."""
    from . import own_settings

    context = click.get_current_context()
    silent = [name for name in given if context.get_parameter_source(name) is ParameterSource.DEFAULT]
    kept = own_settings.read() if silent else {}
    said = {name: kept[name] for name in silent if kept.get(name)}
    out = next((one.type for one in context.command.params if one.name == "out"), None)
    is_folder = isinstance(out, click.Path) and not out.file_okay and given["out"] is not None
    folder = {"out": Path(said.pop("out"))} if "out" in said and is_folder else {}
    return {**given, **{name: value for name, value in said.items() if name != "out"}, **folder}


def answer_and_leave(ask: Callable[[], Answer], as_json: bool) -> None:
    """Runs a command, prints what it says and leaves with its exit code."""
    open_streams()
    try:
        with ended_in_words(), shown_progress():
            answer = _answer(ask)
    except KeyboardInterrupt as stopped:
        say("Stopped. What was confirmed before stays; the step that was running is undone.", err=True)
        raise SystemExit(TOLD_TO_END if isinstance(stopped, ToldToEnd) else STOPPED) from None
    except (click.ClickException, click.Abort, click.exceptions.Exit):
        raise
    except Refusal as refusal:
        code = NO_STORE if isinstance(refusal, StoreRefused) else WRONG_USE
        if as_json:
            told = {"kind": type(refusal).__name__, "says": str(refusal), "value": str(refusal.value)}
            say(json_text(enveloped({"refused": told}, code)))
        say(str(refusal), err=True)
        raise SystemExit(code) from None
    except Exception as trouble:
        from .fault import report_fault

        says = report_fault(trouble)
        if as_json:
            say(json_text(enveloped({"fault": type(trouble).__name__, "says": says}, CRASHED)))
        say(says, err=True)
        raise SystemExit(CRASHED) from None
    code = NOT_PRINTED if answer.not_printed else MUST_ACT if answer.must_act else DONE
    if as_json:
        say(json_text(enveloped(answer.facts, code), indent=1))
    else:
        for line in answer.lines:
            say(line)
    raise SystemExit(code)


def enveloped(facts: Mapping[str, Any], code: int) -> dict[str, Any]:
    """What every answer for programs begins with, in one key beside the facts: whose it is, of which shape.

    The shape's number grows when a promised fact goes or changes its meaning; facts that are new change no number.
    """
    from fulfil import __version__

    context = click.get_current_context(silent=True)
    words = " ".join(context.command_path.split()[1:]) if context else ""
    return {"fulfil": {"shape": SHAPE, "version": __version__, "command": words, "exit_code": code}, **facts}


def _answer(ask: Callable[[], Answer]) -> Answer:
    """The answer; a value that no record takes is refused in the shop's words, and a name that no disk does."""
    try:
        return ask()
    except OSError as trouble:
        if trouble.errno != errno.ENAMETOOLONG:
            raise
        raise FileRefused("use the path", trouble.filename, "a shorter name; no disk takes one so long") from None
    except ValueError as trouble:
        from pydantic import ValidationError

        if not isinstance(trouble, ValidationError):
            raise
        from fulfil.records.revised import not_taken

        raise not_taken(trouble) from None


class _At(click.ParamType[datetime]):
    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(value)
        except ValueError:
            self.fail(f"'{value}' is no ISO 8601 time such as 2026-03-02T08:00+01:00", param, ctx)
        return at if at.tzinfo else at.astimezone()


class _FileIn(click.Path):
    """A file to be read; ``-`` is what comes on the standard input, kept beside until the command is done."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value != "-" or ctx is None:
            return click.Path.convert(self, value, param, ctx)
        path = Path(ctx.with_resource(TemporaryDirectory())) / "standard-input"
        path.write_bytes(sys.stdin.buffer.read())
        return path


FILE_IN = _FileIn(path_type=Path, dir_okay=False, exists=True)
"""A table that is read; - is the standard input."""


class _Grams(click.ParamType[Decimal]):
    name = "grams"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        try:
            return value if isinstance(value, Decimal) else keyed_grams(value)
        except QuantityRefused as refusal:
            self.fail(str(refusal), param, ctx)


GRAMS = _Grams()
"""What a scale shows, in grams, digits kept."""

_OPTIONS: Sequence[Callable[[Callable[..., None]], Callable[..., None]]] = (
    click.option("--shop", envvar="FULFIL_SHOP", default="", help="The shop's database; else FULFIL_SHOP."),
    click.option("--json", "as_json", is_flag=True, help="Answer for programs."),
    click.option("--at", type=_At(), default=None, help="The time of the step (ISO 8601); else now."),
    click.option("--by", "person", envvar="FULFIL_PERSON", default="bench", help="Who does it; else FULFIL_PERSON."),
)

_KEY = click.option(
    "--key",
    default="",
    help="A word of yours for this step, 8 to 40 letters and digits: asked again, it is not done twice.",
)

_DRY_RUN = click.option(
    "--dry-run", "is_copied", is_flag=True, help="Do it on a copy of the shop: says what would happen, changes nothing."
)

folder_option = click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("papers"), help="Where papers go."
)

table_option = click.option(
    "--table",
    "table_path",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    default=None,
    help="Write it there as CSV; - writes it to the standard output, and nothing else.",
)


def tabled(answer: Answer, path: Path, table: bytes) -> Answer:
    """The answer, with its table written; on the standard output it stands alone."""
    if str(path) == "-":
        return replace(answer, lines=table.decode("utf-8").splitlines())
    from fulfil.files.written import write_whole

    write_whole(path, table)
    return replace(answer, lines=[*answer.lines, f"wrote {path}"])


all_option = click.option("--all", "is_all", is_flag=True, help="Older ones too, however many.")
"""For lists that show what is open and the last day."""

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}


def dialect_options(function: Callable[..., Answer]) -> Callable[..., Answer]:
    """How a table is written, for a person who knows better than what is found out."""
    for option in (
        click.option("--decimal", type=click.Choice([".", ","]), default=None, help="Decimal sign; else found out."),
        click.option(
            "--delimiter", type=click.Choice([*DELIMITERS]), default=None, help="Between cells; else found out."
        ),
        click.option("--encoding", default="", help="Encoding, such as cp1252; else found out."),
    ):
        function = option(function)
    return function


def dialect(encoding: str, delimiter: str | None, decimal: str | None) -> dict[str, str]:
    """The dialect options as the readers take them."""
    return {"encoding": encoding, "delimiter": DELIMITERS.get(delimiter or "", ""), "decimal": decimal or ""}


replace_option = click.option("--replace", is_flag=True, help="Write over files that hold something else.")


def listed(findings: Iterable[object]) -> list[str]:
    """Findings as lines."""
    return [f"  {finding}" for finding in findings]


def many(count: int, noun: str) -> str:
    """``1 line``, ``3 lines``; the noun takes a plain s."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
