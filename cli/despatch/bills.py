"""``fulfil services map`` and ``bill``: how a carrier's bills are read, remembered by the shop, and taking them in."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fulfil.errors import QuantityRefused

from ..frame import Answer, Ask, command, listed, many, table
from ..orders.mapping_questions import asked, not_answered, pair
from .services import services

if TYPE_CHECKING:
    from fulfil.despatch.bill_mapping import BillPreview
    from fulfil.files.bill_mapping import BillMapping

_COLUMNS = {
    "package": "package_column", "charge": "charge_column", "weight": "weight_column", "currency": "currency_column",
    "service": "service_column", "tracking": "tracking_column",
}  # fmt: skip
_SHOWN = 5


@command(services, "map", "fulfil services map road-carrier march.csv")
@click.argument("carrier")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True), required=False)
@click.option("--answer", "answers", multiple=True, metavar="QUESTION=ANSWER", help="Answers a question beforehand.")
@click.option("--column", "columns", multiple=True, metavar="OURS=THEIRS", help="Which of its columns is ours; repeat.")
@click.option("--word", "words", multiple=True, metavar="THEIRS=SERVICE", help="Which service a word means; repeat.")
@click.option("--dry-run", "is_dry_run", is_flag=True, help="Only show, and remember nothing.")
def map_(
    ask: Ask,
    carrier: str,
    file: Path | None,
    answers: tuple[str, ...],
    columns: tuple[str, ...],
    words: tuple[str, ...],
    is_dry_run: bool,
) -> Answer:
    """Learns from one of a carrier's bills how they are read, shows what would come in, and keeps it.

    With a FILE the columns are proposed from it, and what can't be seen in it is asked; nothing of it comes in yet.
    Without a file, shows what is kept, or changes it by the options.
    """
    from dataclasses import replace

    from fulfil.despatch.bill_mapping import bill_example, keep_bill_mapping, kept_bill_mapping, preview_bill
    from fulfil.files.mapping.bill_proposing import bill_settled

    named = dict(pair(text, "OURS=THEIRS") for text in columns)
    if unknown := [ours for ours in named if ours not in _COLUMNS]:
        raise QuantityRefused("map", unknown[0], f"OURS=THEIRS, ours one of {', '.join(_COLUMNS)}")
    means = {theirs.casefold(): code for theirs, code in (pair(text, "THEIRS=SERVICE") for text in words)}
    left_alone: tuple[str, ...] = ()
    with ask.shop() as shop:
        if file is not None:
            proposal = bill_example(shop, file)
            left_alone = proposal.left_alone
            facts = {**proposal.facts, **{_COLUMNS[ours]: theirs for ours, theirs in named.items()}}
            covered = {f"column {ours}" for ours in named} | {f"word {theirs}" for theirs in means}
            covered |= {"whole"} if "charge" in named else set()
            covered |= {"currency"} if "currency" in named else set()
            questions = tuple(one for one in proposal.questions if one.key not in covered)
            said = dict(pair(text, "QUESTION=ANSWER") for text in answers)
            open_ = [one for one in questions if one.key not in said]
            told = asked(open_)
            if told is None:
                return not_answered(open_)
            words_kept = {**proposal.services, **means}
            proposal = replace(proposal, facts=facts, services=words_kept, questions=questions)
            mapping = bill_settled(proposal, said | told)
        else:
            with shop.reading() as books:
                mapping = kept_bill_mapping(books, carrier)
            changes: dict[str, Any] = {_COLUMNS[ours]: theirs for ours, theirs in named.items()}
            mapping = replace(mapping, **changes, services={**mapping.services, **means})
        if not is_dry_run and (file is not None or named or means):
            keep_bill_mapping(shop, carrier, mapping, at=ask.at, person=ask.person)
        preview = None if file is None else preview_bill(shop, file, mapping)
    lines = _mapped(carrier, mapping)
    lines += [f"left alone: {', '.join(left_alone)}"] if left_alone else []
    lines += [] if preview is None or file is None else _shown(file, preview)
    facts_out: dict[str, Any] = {"carrier": carrier, "mapping": _facts(mapping), "kept": not is_dry_run}
    if preview is not None:
        facts_out |= _preview_facts(preview)
    return Answer(lines, facts_out, must_act=preview is not None and bool(preview.findings))


@command(services, "bill", "fulfil services bill march.csv --from road-carrier")
@click.argument("path", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--from", "carrier", default="", help="The carrier, as in `fulfil services map`.")
@click.option(
    "--columns", type=click.Path(path_type=Path, dir_okay=False), default=None, help="Else a CSV: which column is what."
)
@click.option("--number", default="", help="The bill's number; else the file's name.")
@click.option("--total", default="", help="What the bill says that it comes to, duties and taxes included.")
@click.option("--dry-run", "is_dry_run", is_flag=True, help="Only show how each row is read; nothing is taken in.")
def bill(ask: Ask, path: Path, carrier: str, columns: Path | None, number: str, total: str, is_dry_run: bool) -> Answer:
    """Takes in a carrier's bill, whole or not at all, to compare it with what was agreed (`fulfil day reconcile`).

    How it is read was learned by `fulfil services map CARRIER FILE`. Instead, --columns is a CSV file of setting,value
    rows: package_column, charge_column, currency, and where the bill has them weight_column, weight_unit, weight_step,
    currency_column, service_column, tracking_column, 'service WORD', 'surcharge NAME', charge_is_total, kind_column,
    'kind WORD' (price, a surcharge's name, credit, duty, tax, skip), 'skip WORD', decimal_sign, separator, encoding.
    """
    from fulfil.despatch.bill_mapping import kept_bill_mapping, preview_bill
    from fulfil.despatch.reconcile import take_bill
    from fulfil.files.bill_mapping import read_mapping
    from fulfil.files.catalogue import read_bytes
    from fulfil.quantities import parse_decimal

    if bool(carrier) == (columns is not None):
        said = f"{carrier} and {columns}" if carrier else "neither"
        raise QuantityRefused("read the bill by", said, "--from CARRIER, or --columns FILE")
    said_total = parse_decimal(total, "an amount of money") if total else None
    with ask.shop() as shop:
        if columns is not None:
            mapping = read_mapping(read_bytes(columns), columns.name)
        else:
            with shop.reading() as books:
                mapping = kept_bill_mapping(books, carrier)
        if is_dry_run:
            preview = preview_bill(shop, path, mapping)
            return Answer([*_shown(path, preview, most=None), "Nothing is taken in yet."], _preview_facts(preview))
        taken = take_bill(shop, path, mapping, at=ask.at, person=ask.person, number=number, total=said_total)
    facts = {
        "lines": taken.lines,
        "unknown": taken.unknown,
        "is_unchanged": taken.is_unchanged,
        "notes": list(taken.notes),
        "findings": [finding.as_dict() for finding in taken.findings],
    }
    notes = [f"Note: {note}." for note in taken.notes]
    if taken.findings:
        return Answer(["Nothing of the bill was taken in:", *listed(taken.findings), *notes], facts, must_act=True)
    said = "was there already" if taken.is_unchanged else "is taken in"
    lines = [f"Bill {number or path.stem} {said}: {many(taken.lines, 'line')}."]
    if taken.unknown:
        lines.append(f"{many(taken.unknown, 'line')} for numbers that aren't ours: see `fulfil day reconcile`.")
    return Answer([*lines, *notes], facts)


def _facts(mapping: "BillMapping") -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(mapping)


def _mapped(carrier: str, mapping: "BillMapping") -> list[str]:
    said = [(ours, getattr(mapping, name)) for ours, name in _COLUMNS.items() if getattr(mapping, name)]
    lines = table(said, ("ours", f"column of {carrier}"))
    lines += [f"surcharge '{name}' is column {theirs}" for name, theirs in sorted(mapping.surcharges.items())]
    if mapping.surcharges:
        holds = "holds its surcharges already" if mapping.charge_is_total == "yes" else "is without its surcharges"
        lines.append(f"the charge {holds}")
    lines += [f"currency is always {mapping.currency}"] if mapping.currency else []
    lines += [f"weights are in {mapping.weight_unit}"] if mapping.weight_column else []
    return lines + [f"service '{theirs}' means {code}" for theirs, code in sorted(mapping.services.items())]


def _preview_facts(preview: "BillPreview") -> dict[str, Any]:
    return {
        "lines": len(preview.lines),
        "ours": len(preview.ours),
        "sums_minor": preview.sums_minor,
        "notes": list(preview.notes),
        "findings": [finding.as_dict() for finding in preview.findings],
    }


def _shown(path: Path, preview: "BillPreview", most: int | None = _SHOWN) -> list[str]:
    """The first lines as they would come in, the sums, and all that is off."""
    from fulfil.standards import iso4217

    rows = [
        (
            one.line_no,
            one.package_number,
            "ours" if one.package_number in preview.ours else "not ours",
            one.service_code or "-",
            "-" if one.billed_g is None else f"{one.billed_g.normalize():f} g",
            iso4217.print_money(one.charge_minor, one.currency),
            ", ".join(f"{name} {iso4217.print_money(minor, one.currency)}" for name, minor in one.surcharges),
            one.tracking_number,
        )
        for one in preview.lines[:most]
    ]
    lines = (
        ["", *table(rows, ("line", "package", "", "service", "weight", "charge", "of it", "tracking"))] if rows else []
    )
    more = len(preview.lines) - len(rows)
    lines += [f"... and {many(more, 'more line')}"] if more > 0 else []
    sums = " and ".join(iso4217.print_money(minor, currency) for currency, minor in sorted(preview.sums_minor.items()))
    if preview.lines:
        lines += [
            "",
            f"{path}: {many(len(preview.lines), 'line')}, {sums} would come in: compare it with the bill's total.",
        ]
    off = sum(one.package_number not in preview.ours for one in preview.lines)
    lines += [f"{many(off, 'line')} for numbers that aren't ours."] if off else []
    if preview.findings:
        lines += ["Nothing would come in:", *listed(preview.findings)]
    return lines + [f"Note: {note}." for note in preview.notes]
