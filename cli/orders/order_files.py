"""``fulfil orders map`` and ``country``: how the files of a source are read, remembered by the shop."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fulfil.errors import QuantityRefused

from ..frame import DELIMITERS, Answer, Ask, command, listed, many, table
from .mapping_questions import asked, not_answered, pair
from .orders import orders

if TYPE_CHECKING:
    from fulfil.files.mapping.proposing import Proposal
    from fulfil.records.order_mapping import OrderMapping
    from fulfil.store.shop import Shop

_LAYOUTS = {"line": "a row a line", "order": "a row an order", "list": "a row an order, its parts in one cell"}


@command(
    orders,
    "map",
    "fulfil orders map old-shop monday.csv",
)
@click.argument("source")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True), required=False)
@click.option("--answer", "answers", multiple=True, metavar="QUESTION=ANSWER", help="Answers a question beforehand.")
@click.option("--column", "columns", multiple=True, metavar="OURS=THEIRS", help="Which of its columns is ours; repeat.")
@click.option("--fixed", multiple=True, metavar="OURS=TEXT", help="A text for every row; {Column} is that cell.")
@click.option("--word", "words", multiple=True, metavar="OURS:THEIRS=OURS", help="What a word of theirs means; repeat.")
@click.option("--delimiter", type=click.Choice([*DELIMITERS]), default=None, help="Between cells; else found out.")
@click.option("--encoding", default=None, help="Of files that don't tell theirs, such as cp1252; else found out.")
@click.option("--decimal", "decimal_sign", type=click.Choice([".", ","]), default=None, help="Decimal sign of prices.")
@click.option("--time-format", default=None, help="Of times that aren't ISO 8601, such as '%d.%m.%Y %H:%M'.")
@click.option("--time-zone", default=None, help="Of times without an offset, such as Europe/Luxembourg.")
@click.option("--layout", type=click.Choice([*_LAYOUTS]), default=None, help="What one row is.")
@click.option("--items", default=None, help="How an item of a list is written, such as '{pieces} x {part}'.")
@click.option("--between", default=None, help="What stands between the items of a list.")
@click.option("--returns", "return_prefix", default=None, help="What numbers of cancellations and returns begin with.")
@click.option("--charge", "charge_codes", multiple=True, help="A code that is a charge and no part; repeat.")
@click.option("--merge/--no-merge", "merges_repeated", default=None, help="Make repeated parts of an order one line.")
@click.option("--first-row", "first_row_holds", multiple=True, help="Our column whose first row holds; repeat.")
@click.option(
    "--preview", type=click.Path(path_type=Path, dir_okay=False, exists=True), help="Show how a file is read."
)
@click.option("--dry-run", "is_dry_run", is_flag=True, help="Only show, and remember nothing.")
def map_(
    ask: Ask,
    source: str,
    file: Path | None,
    answers: tuple[str, ...],
    columns: tuple[str, ...],
    fixed: tuple[str, ...],
    words: tuple[str, ...],
    delimiter: str | None,
    layout: str | None,
    preview: Path | None,
    is_dry_run: bool,
    **given: object,
) -> Answer:
    """Learns from one of a source's files how they are read, shows what would come in, and keeps it.

    With a FILE the columns are proposed from it, and what can't be seen in it is asked. Options hold over what is
    proposed. Without a file, what isn't given stays as it was kept; without any option, shows what is kept.
    """
    from fulfil.errors import UnknownRefused
    from fulfil.files.mapping.proposing import settled
    from fulfil.orders.extras import keep_mapping, kept_mapping
    from fulfil.orders.previewing import example
    from fulfil.records.order_mapping import OrderMapping

    changes = {name: value for name, value in given.items() if value not in (None, ())}
    changes |= {} if delimiter is None else {"delimiter": DELIMITERS[delimiter]}
    changes |= {} if layout is None else {"layout": _LAYOUTS[layout]}
    left_alone: tuple[str, ...] = ()
    with ask.shop() as shop:
        if file is not None:
            proposal = example(shop, file, source)
            left_alone = proposal.left_alone
            said = dict(pair(text, "QUESTION=ANSWER") for text in answers)
            open_ = [one for one in proposal.questions if not _is_said(one.key, said, columns, fixed, words)]
            told = asked(open_)
            if told is None:
                return not_answered(open_)
            mapping = settled(_without(proposal, said | told), said | told)
        else:
            with shop.reading() as books:
                try:
                    mapping = kept_mapping(books, source)
                except UnknownRefused:
                    mapping = OrderMapping(source=source, time_zone=books.settings().time_zone)
        pairs = _pairs(columns)
        changes["columns"] = mapping.columns | pairs
        changes["fixed"] = {ours: text for ours, text in mapping.fixed.items() if ours not in pairs} | _pairs(fixed)
        changes["words"] = _words(mapping.words, words)
        mapping = OrderMapping.model_validate(mapping.model_dump() | changes)
        if not is_dry_run:
            keep_mapping(shop, mapping, at=ask.at, person=ask.person)
        shown = preview or file
        lines, facts, must_act = _shown(ask, shop, shown, mapping) if shown else ([], {}, False)
    rows = table([*mapping.columns.items()], ("ours", f"column of {source}"))
    rows += [f"{ours} is always: {text}" for ours, text in mapping.fixed.items()]
    rows += [f"{ours} '{said}' means {means}" for ours, one in mapping.words.items() for said, means in one.items()]
    rows += [f"left alone: {', '.join(left_alone)}"] if left_alone else []
    kept = {"mapping": mapping.model_dump(mode="json"), "kept": not is_dry_run}
    return Answer([*rows, *lines], {**kept, **facts}, must_act=must_act)


def _is_said(
    key: str, said: "Mapping[str, str]", columns: tuple[str, ...], fixed: tuple[str, ...], words: tuple[str, ...]
) -> bool:
    """Whether an option answers the question already."""
    kind, _, what = key.partition(" ")
    given = {text.partition("=")[0].strip() for text in (*columns, *fixed)}
    mapped = {text.rpartition("=")[0].partition(":")[2].strip().casefold() for text in words}
    return key in said or (kind == "word" and what in mapped) or (what or kind) in given


def _without(proposal: "Proposal", answers: "Mapping[str, str]") -> "Proposal":
    """The proposal with the questions that were answered; the others were by options."""
    from dataclasses import replace

    return replace(proposal, questions=tuple(one for one in proposal.questions if one.key in answers))


def _shown(ask: Ask, shop: "Shop", path: Path, mapping: "OrderMapping") -> tuple[list[str], dict[str, object], bool]:
    """The first orders as they would come in, and everything that would be said."""
    from fulfil.orders.previewing import preview_orders

    preview = preview_orders(shop, path, mapping, at=ask.at, person=ask.person)
    lines: list[str] = []
    for one in preview.orders:
        lines += ["", f"Order {one.number}, {one.received_local}, by {one.service}"]
        lines += [f"    {line}" for line in one.label]
        lines += [f"  {pieces:6} x {part}  {price}" for pieces, part, price in one.lines[:8]]
        lines += [f"  ... and {many(len(one.lines) - 8, 'more line')}"] if len(one.lines) > 8 else []
        lines += [f"  Look at the address: {warning}" for warning in one.look_at]
    told = preview.told
    ready = len(told.new) + len(told.unchanged)
    lines += ["", f"{path}: {many(ready, 'order')} would come in."]
    lines += [f"Note: {note}." for note in told.notes]
    lines += (
        [f"{many(len(told.findings), 'finding')}:", *listed(told.findings[:20])] if told.findings else ["No findings."]
    )
    lines += [f"  {one}" for one in told.conflicts]
    facts: dict[str, object] = {
        "preview": [
            {"order": one.number, "label": list(one.label), "service": one.service,
             "lines": [list(line) for line in one.lines], "look_at": list(one.look_at)}
            for one in preview.orders
        ],
        "would_come_in": ready,
        "notes": list(told.notes),
        "findings": [finding.as_dict() for finding in told.findings],
    }  # fmt: skip
    return lines, facts, bool(told.findings or told.conflicts)


def _words(before: "Mapping[str, Mapping[str, str]]", given: tuple[str, ...]) -> dict[str, dict[str, str]]:
    """The words learned before with those given now."""
    words = {ours: dict(one) for ours, one in before.items()}
    for text in given:
        left, equals, means = text.rpartition("=")
        ours, colon, said = left.partition(":")
        if not equals or not colon or not said.strip():
            raise QuantityRefused("learn the word", text, "OURS:THEIRS=OURS, such as 'service:Air mail=POST'")
        words.setdefault(ours.strip(), {})[" ".join(said.split()).casefold()] = means.strip()
    return words


def _pairs(texts: tuple[str, ...]) -> dict[str, str]:
    from fulfil.files.orders_mapped import known_columns

    known = known_columns()
    pairs = {}
    for text in texts:
        ours, equals, theirs = text.partition("=")
        if not equals or ours.strip() not in known:
            raise QuantityRefused("map", text, f"OURS=THEIRS, ours one of {', '.join(known)}")
        pairs[ours.strip()] = theirs.strip()
    return pairs


@command(orders, "country", "fulfil orders country EIRE IE")
@click.argument("said")
@click.argument("code")
def country(ask: Ask, said: str, code: str) -> Answer:
    """Says once which country a name means; files that use it come in from then on."""
    from fulfil.orders.extras import explain_country

    with ask.shop() as shop:
        name = explain_country(shop, said, code, at=ask.at, person=ask.person)
    return Answer([f"'{said}' is {name.country} from now on."], name.model_dump(mode="json"))


@command(orders, "returns", "fulfil orders returns")
def returns(ask: Ask) -> Answer:
    """Lists cancellations and returns that have found no order yet, and corrections that wait for a person."""
    from fulfil.records.despatch.goods_back import ReturnNotice

    with ask.shop() as shop, shop.reading() as books:
        waiting = books.open_notices()
        numbers = sorted({number for number, _ in waiting})
        notices = [one for one in books.find(ReturnNotice, number=numbers) if (one.number, one.line_no) in waiting]
    rows = [
        (one.number, one.line_no, one.kind.value, one.part_number, waiting[one.number, one.line_no], one.name)
        for one in notices
    ]
    lines = table(rows, ("number", "line", "kind", "part", "pieces", "from")) if rows else ["None waits."]
    facts = {"waiting": [{**one.model_dump(mode="json"), "open": waiting[one.number, one.line_no]} for one in notices]}
    return Answer(lines, facts, must_act=bool(rows))
