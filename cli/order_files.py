"""``fulfil orders map`` and ``country``: how the files of a source are read, remembered by the shop."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fulfil.errors import QuantityRefused

from .frame import Answer, Ask, command, listed, table
from .orders import orders

if TYPE_CHECKING:
    from fulfil.records.finding import Finding

_DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}


@command(
    orders,
    "map",
    "fulfil orders map old-shop --column order=InvoiceNo --column part=StockCode --fixed service=POST "
    "--delimiter semicolon --decimal , --preview monday.csv",
)
@click.argument("source")
@click.option("--column", "columns", multiple=True, metavar="OURS=THEIRS", help="Which of its columns is ours; repeat.")
@click.option("--fixed", multiple=True, metavar="OURS=TEXT", help="A text for every row; {Column} is that cell.")
@click.option("--delimiter", type=click.Choice([*_DELIMITERS]), default=None, help="Between cells of a CSV file.")
@click.option("--encoding", default=None, help="Of files that aren't UTF-8, such as cp1252.")
@click.option("--decimal", "decimal_sign", type=click.Choice([".", ","]), default=None, help="Decimal sign of prices.")
@click.option("--time-format", default=None, help="Of times that aren't ISO 8601, such as '%d.%m.%Y %H:%M'.")
@click.option("--time-zone", default=None, help="Of times without an offset, such as Europe/Luxembourg.")
@click.option("--layout", type=click.Choice(["line", "order"]), default=None, help="What one row is.")
@click.option("--returns", "return_prefix", default=None, help="What numbers of cancellations and returns begin with.")
@click.option("--charge", "charge_codes", multiple=True, help="A code that is a charge and no part; repeat.")
@click.option("--merge/--no-merge", "merges_repeated", default=None, help="Make repeated parts of an order one line.")
@click.option("--first-row", "first_row_holds", multiple=True, help="Our column whose first row holds; repeat.")
@click.option(
    "--preview", type=click.Path(path_type=Path, dir_okay=False, exists=True), help="Show how a file is read."
)
@click.option("--no-save", is_flag=True, help="Only show.")
def map_(
    ask: Ask,
    source: str,
    columns: tuple[str, ...],
    fixed: tuple[str, ...],
    delimiter: str | None,
    layout: str | None,
    preview: Path | None,
    no_save: bool,
    **given: object,
) -> Answer:
    """Says how the files of a source are read, shows how one would come in, and keeps it.

    What isn't given stays as it was kept. Without any option, shows what is kept.
    """
    from fulfil.errors import UnknownRefused
    from fulfil.orders.extras import explained_countries, keep_mapping, kept_mapping
    from fulfil.records.order_mapping import Layout, OrderMapping

    changes = {name: value for name, value in given.items() if value not in (None, ())}
    changes |= {} if delimiter is None else {"delimiter": _DELIMITERS[delimiter]}
    changes |= {} if layout is None else {"layout": Layout.LINE if layout == "line" else Layout.ORDER}
    with ask.shop() as shop:
        with shop.reading() as books:
            countries = explained_countries(books)
            try:
                mapping = kept_mapping(books, source)
            except UnknownRefused:
                mapping = OrderMapping(source=source, time_zone=books.settings().time_zone)
        changes["columns"] = mapping.columns | _pairs(columns)
        changes["fixed"] = mapping.fixed | _pairs(fixed)
        mapping = OrderMapping.model_validate(mapping.model_dump() | changes)
        if not no_save:
            keep_mapping(shop, mapping, at=ask.at, person=ask.person)
    lines = table([*mapping.columns.items()], ("ours", f"column of {source}"))
    lines += [f"{ours} is always: {text}" for ours, text in mapping.fixed.items()]
    facts: dict[str, object] = {"mapping": mapping.model_dump(mode="json"), "kept": not no_save}
    if preview is None:
        return Answer(lines, facts)
    shown, findings = _preview(preview, mapping, countries)
    facts |= {"preview": shown, "findings": [finding.as_dict() for finding in findings]}
    lines += table([tuple(one.values()) for one in shown], tuple(shown[0]) if shown else ("nothing could be read",))
    lines += [f"{len(findings)} findings:", *listed(findings[:20])] if findings else ["No findings."]
    return Answer(lines, facts, must_act=bool(findings))


def _preview(
    path: Path, mapping: object, countries: dict[str, str]
) -> "tuple[list[dict[str, str]], tuple[Finding, ...]]":
    """The first orders as they would come in."""
    from fulfil.files.orders_mapped import read_mapped_orders

    read = read_mapped_orders(path, mapping, countries=countries)  # type: ignore[arg-type]
    shown = [
        {
            "order": order.number,
            "name": str(order.values["name"]),
            "country": str(order.values["country"]),
            "service": str(order.values["service_code"]),
            "part": str(line.values["part_number"]),
            "pieces": str(line.values["pieces"]),
            "price": str(line.values.get("unit_price", "")),
        }
        for order in read.orders[:5]
        for line in order.lines[:3]
    ]
    return shown, tuple(read.file.findings)


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
    from fulfil.orders.return_notices import open_pieces
    from fulfil.records.goods_back import ReturnNotice

    with ask.shop() as shop, shop.reading() as books:
        waiting = open_pieces(books)
        notices = [one for one in books.find(ReturnNotice) if (one.number, one.line_no) in waiting]
    rows = [
        (one.number, one.line_no, one.kind.value, one.part_number, waiting[one.number, one.line_no], one.name)
        for one in notices
    ]
    lines = table(rows, ("number", "line", "kind", "part", "pieces", "from")) if rows else ["None waits."]
    facts = {"waiting": [{**one.model_dump(mode="json"), "open": waiting[one.number, one.line_no]} for one in notices]}
    return Answer(lines, facts, must_act=bool(rows))
