"""``fulfil packages``: choose boxes, weigh and seal packages."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fulfil.errors import StateRefused

from ..frame import (
    FILE_IN,
    Answer,
    Ask,
    Noun,
    all_option,
    command,
    folder_option,
    listed,
    made_after,
    many,
    table,
    table_option,
    tabled,
)
from ..numbers import MANIFEST, ORDER, PACKAGE, SCALE, SERVICE
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
    from fulfil.counting.budgets import budget_lines
    from fulfil.despatch.empty_box import package_budget, what_empty_shows
    from fulfil.despatch.pack import plan_packages
    from fulfil.despatch.pack_causes import seen_by_weight
    from fulfil.despatch.package_set import print_set
    from fulfil.records.plan import Bag

    with ask.shop() as shop:
        done = plan_packages(shop, order, at=ask.at, person=ask.person)
        with shop.reading() as books:
            seen = {
                package.number: seen_by_weight(books, package, books.find(Bag, package_number=package.number))
                for package in done.packages
            }
            budgets = {one.number: budget_lines(package_budget(books, one)) for one in done.packages}
            pays = {one.number: what_empty_shows(books, one) for one in done.packages}
        weighed = None
        if gross:
            if len(done.packages) != 1:
                raise StateRefused(
                    "weigh order", order, f"one package; it has {len(done.packages)}: weigh each by its number"
                )
            weighed = _weigh(ask, done.packages[0].number, gross, "")
        written: tuple[Path, ...] = ()
        lacks: list[str] = []
        if out is not None:
            make = partial(print_set, shop, out, orders=[order], day=ask.day(shop), at=ask.at, person=ask.person)
            printed, lacks = made_after(make, f"fulfil packages papers {order} --out FOLDER")
            written = printed.written if printed else ()
        lines = []
        for package in done.packages:
            window = f"{package.lower_g} to {package.upper_g} g"
            lines.append(
                f"Package {package.number}: box {package.box_type}, expect {package.expected_g} g ({window}) "
                f"on scale {package.scale_code}."
            )
            lines.append(f"  {seen[package.number]}")
            lines += [f"  {line}" for line in (*budgets[package.number], pays[package.number]) if line]
        lines += listed(done.findings)
        lines += [*[f"  to print: {path}" for path in written], *lacks]
        facts = {
            "packages": [package.model_dump(mode="json") for package in done.packages],
            "seen_by_weight": seen,
            "budgets": budgets,
            "empty_box_first": pays,
            "findings": [finding.as_dict() for finding in done.findings],
            "papers": [str(path) for path in written],
            "not_printed": lacks,
        }
    if weighed is None:
        return Answer(lines, facts, must_act=bool(done.findings), not_printed=bool(lacks))
    told = {**facts, "weighed": weighed.facts}
    return Answer([*lines, *weighed.lines], told, must_act=weighed.must_act, not_printed=bool(lacks))


@command(packages, "weigh", "fulfil packages weigh P2603020001 --gross 523", is_once=True)
@click.argument("number", type=PACKAGE, metavar="PACKAGE")
@click.option("--gross", required=True, help="What the scale shows, in grams, digits as shown.")
@click.option("--scale", type=SCALE, default="", help="Another scale than the one the window was made for.")
@click.option("--empty", default="", help="What the empty box weighed first, cushioning, papers and strip in it.")
@click.option("--because", default="", help="With --empty: why that is right, where it was said not to be this box.")
@click.option(
    "--photo", type=click.Path(exists=True, dir_okay=False), default=None, help="A photo of the open package."
)
def weigh(ask: Ask, number: str, gross: str, scale: str, empty: str, because: str, photo: str | None) -> Answer:
    """Weighs a closed package; seals it when it weighs what it should and its service takes it."""
    from fulfil.despatch.empty_box import weigh_empty
    from fulfil.quantities import keyed_grams

    if empty:
        with ask.shop() as shop:
            read = weigh_empty(
                shop, number, keyed_grams(empty), at=ask.at, person=ask.person, scale_code=scale, reason=because
            )
        if read.findings:
            facts = {"findings": [one.as_dict() for one in read.findings]}
            return Answer([*listed(read.findings), "Nothing was weighed, nothing sealed."], facts, must_act=True)
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
    lines += [f"Next: {finding}" for finding in done.papers_due]
    if not is_sealed:
        lines.append("Open it and look, or stop for review; nothing was sealed.")
    if done.order_is_packed:
        lines.append(f"Order {done.package.order_number} is packed for service {done.package.service_code}.")
    if done.leaving is not None and not done.leaving.is_today:
        lines.append(f"Not today: {done.leaving.says}.")
    facts = {
        "package": done.package.model_dump(mode="json"),
        "verdict": done.verdict.verdict.value,
        "reason": done.verdict.reason,
        "likely_causes": list(done.verdict.likely_causes),
        "findings": [finding.as_dict() for finding in done.findings],
        "papers_due": [finding.as_dict() for finding in done.papers_due],
        "order_is_packed": done.order_is_packed,
        "leaves_at": None if done.leaving is None else done.leaving.at.isoformat(),
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


@command(packages, "track", "fulfil packages track P2603020001 'ZX 99 001'")
@click.argument("package", type=PACKAGE, metavar="[PACKAGE]", required=False, default="")
@click.argument("number", required=False, default="")
@click.option("--file", "path", type=FILE_IN, default=None, help="CSV: package,number; - is the standard input.")
@click.option("--move", is_flag=True, help="Another package has the number by mistake: take it from there.")
def track(ask: Ask, package: str, number: str, path: Path | None, move: bool) -> Answer:
    """Notes the number by which a carrier tracks a package, or a file of them; each then finds its package anywhere.

    PACKAGE may be scanned by any number that it has. A file comes in whole or not at all.
    """
    from fulfil.errors import UnknownRefused
    from fulfil.shop.package_numbers import note_number, note_numbers

    if (path is None) != bool(package and number):
        raise UnknownRefused("note the carrier's number", f"{package} {number}".strip(), "PACKAGE NUMBER, or --file")
    with ask.shop() as shop:
        if path is None:
            noted = note_number(shop, package, number, at=ask.at, person=ask.person, moves=move)
            return Answer([f"Package {package} is tracked by {noted}."], {"package": package, "number": noted})
        done = note_numbers(shop, path, at=ask.at, person=ask.person)
    facts = {"noted": done.noted, "findings": [finding.as_dict() for finding in done.findings]}
    if done.findings:
        return Answer(["Nothing of the file was taken in:", *listed(done.findings)], facts, must_act=True)
    return Answer([f"{many(done.noted, 'new number')} noted."], facts)


@command(packages, "find", "fulfil packages find 'RR 473 124 829 GB'")
@click.argument("numbers", nargs=-1)
@click.option("--manifest", type=MANIFEST, default="", help="All packages of a manifest.")
@table_option
def find(ask: Ask, numbers: tuple[str, ...], manifest: str, table_path: Path | None) -> Answer:
    """Finds packages by any number, however it is written: ours, SSCC, S10 or the carrier's; says all they go by."""
    from fulfil.errors import UnknownRefused
    from fulfil.files.spreadsheet import csv_bytes
    from fulfil.records.despatch.dispatch import Package
    from fulfil.shop.package_numbers import packages_by_number, tracking_rows

    if bool(numbers) == bool(manifest):
        raise UnknownRefused("find packages", " ".join(numbers), "numbers, or --manifest MANIFEST")
    with ask.shop() as shop, shop.reading() as books:
        of = packages_by_number(books, numbers)
        wanted = {*of.values()} | {one.number for one in books.find(Package, manifest_number=manifest) if manifest}
        rows = tracking_rows(books, wanted)
    lines = table([tuple(row.values()) for row in rows], tuple(rows[0])) if rows else []
    lines += [f"Nobody's number: {number}" for number in numbers if number not in of]
    answer = Answer(lines, {"packages": rows}, must_act=any(number not in of for number in numbers))
    if table_path is None or not rows:
        return answer
    return tabled(answer, table_path, csv_bytes(list(rows[0]), [list(row.values()) for row in rows]))


@command(packages, "papers", "fulfil packages papers --service POST --out papers")
@click.argument("order", type=ORDER, metavar="[ORDER]", required=False, default="")
@click.option("--service", type=SERVICE, default="", help="All sealed packages of a service that still lack papers.")
@click.option("--all", "is_all", is_flag=True, help="Those of every service, the earliest cut-off first.")
@click.option("--again", is_flag=True, help="With --service or --all: also those that have all their papers.")
@folder_option
def papers(ask: Ask, order: str, service: str, is_all: bool, again: bool, out: Path) -> Answer:
    """Prints all papers of packages in one go: packing list, label, customs papers, invoice.

    Of one order each paper is a file of its own. With --service or --all there are two stacks, labels and pages, both
    in the order in which the packages are listed. What looks wrong with an address is said.
    """
    from fulfil.despatch.desk.to_print import orders_to_print
    from fulfil.despatch.package_papers import consignee_warnings
    from fulfil.despatch.package_set import print_set, stack_name
    from fulfil.errors import UnknownRefused
    from fulfil.records.order import Order

    if bool(order) + bool(service) + is_all != 1:
        said = " ".join(word for word in (order, service, "--all" if is_all else "") if word)
        raise UnknownRefused("print the papers of", said, "an order, or --service SERVICE, or --all")
    with ask.shop() as shop:
        day = ask.day(shop)
        with shop.reading() as books:
            orders = [order] if order else orders_to_print(books, service, day=day, again=again)
            name = stack_name(books, orders, service, day=day) if orders and not order else ""
        if not orders:
            return Answer(["Every sealed package has its papers."], {"papers": [], "packages": [], "findings": []})
        done = print_set(shop, out, orders=orders, day=day, at=ask.at, person=ask.person, name=name)
        with shop.reading() as books:
            warnings = [one for number in orders for one in consignee_warnings(books.need(Order, number))]
    lines = [f"to print: {path}" for path in done.written]
    if name:
        rows = [(one.package_number, one.order_number, ", ".join(one.papers)) for one in done.packages]
        lines += table(rows, ("package", "order", "papers, in this order"))
    lines += [f"  {one.package_number} has number {one.number}" for one in done.numbers]
    lines += [f"Look: {warning}" for warning in warnings]
    if done.findings:
        lines += ["Not printed; put this right first:", *listed(done.findings)]
    facts = {
        "papers": [str(path) for path in done.written],
        "packages": [
            {"package": one.package_number, "order": one.order_number, "papers": list(one.papers)}
            for one in done.packages
        ],
        "numbers": {one.number: one.package_number for one in done.numbers},
        "warnings": [warning.as_dict() for warning in warnings],
        "findings": [finding.as_dict() for finding in done.findings],
    }
    return Answer(lines, facts, must_act=bool(done.findings))


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
