"""``fulfil packages``: choose boxes, weigh and seal packages."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fulfil.errors import StateRefused

from ..frame import Answer, Ask, Noun, all_option, command, folder_option, listed, paper_after, table
from ..numbers import ORDER, PACKAGE, SCALE
from ..telling import told_first, yes_option

if TYPE_CHECKING:
    from fulfil.shop.told import Told


@click.group(cls=Noun)
def packages() -> None:
    """Choose boxes, weigh and seal packages."""


@command(packages, "pack", "fulfil packages pack W-1001 --gross 523")
@click.argument("order", type=ORDER, metavar="ORDER")
@click.option("--gross", default="", help="Weigh it at once, in grams; only for an order in one package.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print its papers there.")
def pack(ask: Ask, order: str, gross: str, out: Path | None) -> Answer:
    """Chooses the boxes of a checked order and says what each should weigh, and what its weight can't show."""
    from fulfil.despatch.pack import plan_packages
    from fulfil.despatch.pack_causes import seen_by_weight
    from fulfil.despatch.package_papers import order_sheets
    from fulfil.records.plan import Bag
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        done = plan_packages(shop, order, at=ask.at, person=ask.person)
        with shop.reading() as books:
            seen = {
                package.number: seen_by_weight(books, package, books.find(Bag, package_number=package.number))
                for package in done.packages
            }
        written: list[Path] = []
        lacks: list[str] = []
        if out is not None:
            folder = out
            written, lacks = paper_after(
                lambda: print_papers(shop, folder, lambda books: order_sheets(books, order, day=ask.day(shop))),
                f"fulfil packages papers {order} --out FOLDER",
            )
        lines = []
        for package in done.packages:
            window = f"{package.lower_g} to {package.upper_g} g"
            lines.append(
                f"Package {package.number}: box {package.box_type}, expect {package.expected_g} g ({window}) "
                f"on scale {package.scale_code}."
            )
            lines.append(f"  {seen[package.number]}")
        lines += listed(done.findings)
        lines += [*[f"  printed {path}" for path in written], *lacks]
        facts = {
            "packages": [package.model_dump(mode="json") for package in done.packages],
            "seen_by_weight": seen,
            "findings": [finding.as_dict() for finding in done.findings],
            "papers": [str(path) for path in written],
            "not_printed": lacks,
        }
        if not gross:
            return Answer(lines, facts, must_act=bool(done.findings), not_printed=bool(lacks))
        if len(done.packages) != 1:
            raise StateRefused(
                "weigh order", order, f"one package; it has {len(done.packages)}: weigh each by its number"
            )
    weighed = _weigh(ask, done.packages[0].number, gross, "")
    facts |= {"weighed": weighed.facts}
    return Answer([*lines, *weighed.lines], facts, must_act=weighed.must_act, not_printed=bool(lacks))


@command(packages, "weigh", "fulfil packages weigh P2603020001 --gross 523")
@click.argument("number", type=PACKAGE, metavar="PACKAGE")
@click.option("--gross", required=True, help="What the scale shows, in grams, digits as shown.")
@click.option("--scale", type=SCALE, default="", help="Another scale than the one the window was made for.")
@click.option(
    "--photo", type=click.Path(exists=True, dir_okay=False), default=None, help="A photo of the open package."
)
def weigh(ask: Ask, number: str, gross: str, scale: str, photo: str | None) -> Answer:
    """Weighs a closed package; seals it when it weighs what it should and its service takes it."""
    return _weigh(ask, number, gross, scale, photo or "")


@command(packages, "reopen", "fulfil packages reopen P2603020001 --reason 'a spring is missing'")
@click.argument("number", type=PACKAGE, metavar="PACKAGE")
@click.option("--reason", required=True, help="Why the seal is broken; it stays in the journal.")
def reopen(ask: Ask, number: str, reason: str) -> Answer:
    """Opens a sealed package that is on no manifest; it must be weighed again."""
    from fulfil.despatch.pack import reopen_package

    with ask.shop() as shop:
        package = reopen_package(shop, number, reason, at=ask.at, person=ask.person)
    return Answer([f"Package {number} is open again; weigh it anew."], {"package": package.model_dump(mode="json")})


def _weigh(ask: Ask, number: str, gross: str, scale: str, photo: str = "") -> Answer:
    from fulfil.despatch.pack import weigh_package
    from fulfil.quantities import keyed_grams
    from fulfil.records.despatch.dispatch import PackageState

    with ask.shop() as shop:
        done = weigh_package(
            shop, number, keyed_grams(gross), at=ask.at, person=ask.person, scale_code=scale, photo_path=photo
        )
    is_sealed = done.package.state is PackageState.SEALED
    lines = [f"{'SEALED' if is_sealed else 'STOP'}: package {number} {done.verdict.reason}."]
    lines += [f"  {cause}" for cause in done.verdict.likely_causes]
    lines += listed(done.findings)
    if not is_sealed:
        lines.append("Open it and look, or stop for review; nothing was sealed.")
    if done.order_is_packed:
        lines.append(f"Order {done.package.order_number} is packed for service {done.package.service_code}.")
    facts = {
        "package": done.package.model_dump(mode="json"),
        "verdict": done.verdict.verdict.value,
        "reason": done.verdict.reason,
        "likely_causes": list(done.verdict.likely_causes),
        "findings": [finding.as_dict() for finding in done.findings],
        "order_is_packed": done.order_is_packed,
    }
    return Answer(lines, facts, must_act=not is_sealed)


@command(packages, "list", "fulfil packages list")
@all_option
def list_(ask: Ask, is_all: bool) -> Answer:
    """Lists the packages that are here and those of the last day, with their state, service and weight."""
    from fulfil.orders.listed import recent_packages

    with ask.shop() as shop, shop.reading() as books:
        found = recent_packages(books, is_all=is_all)
    rows = [
        (one.number, one.order_number, one.service_code, one.state.value, one.gross_g or "", one.manifest_number)
        for one in found
    ]
    facts = {"packages": [one.model_dump(mode="json") for one in found]}
    return Answer(table(rows, ("package", "order", "service", "state", "gross_g", "manifest")), facts)


@command(packages, "papers", "fulfil packages papers W-1001 --out papers")
@click.argument("order", type=ORDER, metavar="ORDER")
@folder_option
def papers(ask: Ask, order: str, out: Path) -> Answer:
    """Prints packing list and package labels of an order; says what looks wrong with its address."""
    from fulfil.despatch.package_papers import consignee_warnings, order_sheets
    from fulfil.despatch.ship import issue_identifiers
    from fulfil.records.order import Order
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        numbers = issue_identifiers(shop, order, at=ask.at, person=ask.person)
        written = print_papers(shop, out, lambda books: order_sheets(books, order, day=ask.day(shop)))
        with shop.reading() as books:
            warnings = consignee_warnings(books.need(Order, order))
    lines = [f"printed {path}" for path in written]
    lines += [f"  {one.package_number} has number {one.number}" for one in numbers]
    lines += [f"Look: {warning}" for warning in warnings]
    facts = {
        "papers": [str(path) for path in written],
        "numbers": {one.number: one.package_number for one in numbers},
        "warnings": [warning.as_dict() for warning in warnings],
    }
    return Answer(lines, facts)


@command(packages, "returned", "fulfil packages returned P2603020001 --reason 'not called for'")
@click.argument("number", type=PACKAGE, metavar="PACKAGE")
@click.option("--reason", required=True, help="What the carrier says.")
@click.option("--take-apart", is_flag=True, help="It won't be sent again: its bags go back into their bins.")
@yes_option
def returned(ask: Ask, number: str, reason: str, take_apart: bool, is_agreed: bool) -> Answer:
    """Books a package that came back: to be sent again, or taken apart."""
    from fulfil.despatch.packages_back import package_returned

    with ask.shop() as shop:

        def step(is_preview: bool) -> "Told":
            return package_returned(
                shop, number, reason, at=ask.at, person=ask.person, take_apart=take_apart, is_preview=is_preview
            )

        return told_first(step, is_agreed=is_agreed)
