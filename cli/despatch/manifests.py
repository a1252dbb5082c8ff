"""``fulfil manifests``: the list that is handed to a service, on paper and for machines."""

from pathlib import Path

import click

from ..frame import Answer, Ask, Noun, all_option, command, folder_option, listed, many, paper_after, table
from ..numbers import MANIFEST, PACKAGE, SERVICE


@click.group(cls=Noun)
def manifests() -> None:
    """Close and print the list handed to a service."""


@command(manifests, "open", "fulfil manifests open post")
@click.argument("service", type=SERVICE, metavar="SERVICE")
def open_(ask: Ask, service: str) -> Answer:
    """Opens a manifest for the next collection of a service; packages go onto it when it is closed."""
    from fulfil.despatch.ship import open_manifest

    with ask.shop() as shop:
        manifest = open_manifest(shop, service, day=ask.day(shop), at=ask.at, person=ask.person)
    return Answer([f"Manifest {manifest.number} is open."], {"manifest": manifest.model_dump(mode="json")})


@command(manifests, "close", "fulfil manifests close post --out papers", is_once=True, has_dry_run=True)
@click.argument("service", type=SERVICE, metavar="SERVICE")
@click.option("--number", default="", help="The open manifest in your hand; refused when another bench has closed it.")
@click.option("--without-papers", default="", help="Why packages may leave without a customs paper; it is journalled.")
@folder_option
def close(ask: Ask, service: str, number: str, without_papers: str, out: Path) -> Answer:
    """Closes a manifest over every sealed package of a service and prints it; it is never changed after.

    Refused while a package lacks a customs paper that it must have: print it, or say --without-papers and why.
    """
    from fulfil.despatch.manifest_paper import printed_manifest
    from fulfil.despatch.ship import close_manifest
    from fulfil.quantities import print_package_mass
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        done = close_manifest(
            shop,
            service,
            day=ask.day(shop),
            at=ask.at,
            person=ask.person,
            number=number,
            without_papers=without_papers,
        )
        written, lacks = paper_after(
            lambda: print_papers(shop, out, lambda books: printed_manifest(books, done.manifest.number)),
            f"fulfil manifests print {done.manifest.number} --out FOLDER",
        )
    total = print_package_mass(done.manifest.weight_g)
    lines = [f"Manifest {done.manifest.number} is closed: {many(done.manifest.packages, 'package')}, {total}."]
    for leaving, numbers in done.leaving:
        if not leaving.is_today:
            more = f" and {len(numbers) - 10} more" if len(numbers) > 10 else ""
            lines.append(f"Not today: {', '.join(numbers[:10])}{more}: {leaving.says}.")
    if done.left_behind:
        lines.append(f"Left behind, for the next one: {', '.join(done.left_behind)}.")
    lines += listed(done.findings)
    lines += [*[f"  to print: {path}" for path in written], *lacks]
    facts = {
        "manifest": done.manifest.model_dump(mode="json"),
        "packages": [package.number for package in done.packages],
        "left_behind": list(done.left_behind),
        "leaving": [{"at": one.at.isoformat(), "packages": list(numbers)} for one, numbers in done.leaving],
        "findings": [finding.as_dict() for finding in done.findings],
        "papers": [str(path) for path in written],
        "not_printed": lacks,
    }
    return Answer(lines, facts, must_act=bool(done.left_behind or done.findings), not_printed=bool(lacks))


@command(manifests, "void", "fulfil manifests void P2603020001 --reason 'box burst on the dock'", is_once=True)
@click.argument("package", type=PACKAGE, metavar="PACKAGE")
@click.option("--reason", required=True, help="Why it did not leave.")
def void(ask: Ask, package: str, reason: str) -> Answer:
    """Voids a package of a closed manifest that did not leave; what is in it gets a new number."""
    from fulfil.despatch.ship import void_package

    with ask.shop() as shop:
        done = void_package(shop, package, reason, at=ask.at, person=ask.person)
    lines = [
        f"Package {package} is void; manifest {done.entry.manifest_number} stays as it is.",
        f"  Tell the driver, label its content {done.package.number}, and weigh it again.",
    ]
    facts = {"void": done.entry.model_dump(mode="json"), "package": done.package.model_dump(mode="json")}
    return Answer(lines, facts, must_act=True)


@command(manifests, "advice", "fulfil manifests advice M2603020001 --format ubl --out advice")
@click.argument("number", type=MANIFEST, metavar="MANIFEST")
@click.option("--format", "form", type=click.Choice(["ubl", "edifact"]), default="ubl", help="OASIS UBL, or DESADV.")
@folder_option
def advice(ask: Ask, number: str, form: str, out: Path) -> Answer:
    """Writes the despatch advices of a closed manifest for machines."""
    from fulfil.despatch.advice import AdviceFormat, write_advices

    with ask.shop() as shop:
        written, findings = write_advices(shop, number, AdviceFormat(form), out)
    facts = {"files": [str(path) for path in written], "findings": [finding.as_dict() for finding in findings]}
    return Answer([*(f"wrote {path}" for path in written), *listed(findings)], facts, must_act=bool(findings))


@command(manifests, "messages", "fulfil manifests messages M2603020001 --out messages")
@click.argument("number", type=MANIFEST, metavar="MANIFEST")
@folder_option
def messages(ask: Ask, number: str, out: Path) -> Answer:
    """Writes what the customers of a closed manifest are told, in their language and English, with tracking numbers.

    One text an order, and one CSV of all for the web shop. Nothing is sent.
    """
    from fulfil.despatch.desk.customer_messages import customer_messages
    from fulfil.files.spreadsheet import csv_bytes
    from fulfil.files.written import write_all

    with ask.shop() as shop, shop.reading() as books:
        told = customer_messages(books, number)
    rows = [one.as_row() for one in told]
    made = {f"{one.order_number}-{number}.txt": f"{one.text}\n".encode() for one in told}
    if rows:
        made[f"{number}-messages.csv"] = csv_bytes([*rows[0]], [[*row.values()] for row in rows])
    written = write_all(out, made)
    lines = [f"{many(len(told), 'message')} of manifest {number}, none is sent:"]
    lines += [f"wrote {path}" for path in written]
    return Answer(lines, {"messages": rows, "files": [str(path) for path in written]})


@command(manifests, "list", "fulfil manifests list")
@all_option
def list_(ask: Ask, is_all: bool) -> Answer:
    """Lists the manifests that are open and those of the last day."""
    from fulfil.orders.listed import recent_manifests

    with ask.shop() as shop, shop.reading() as books:
        found = recent_manifests(books, is_all=is_all)
    rows = [(one.number, str(one.day), one.service_code, one.state.value, one.packages, one.weight_g) for one in found]
    facts = {"manifests": [one.model_dump(mode="json") for one in found]}
    return Answer(table(rows, ("manifest", "day", "service", "state", "packages", "weight_g")), facts)


@command(manifests, "print", "fulfil manifests print M2603020001 --out papers")
@click.argument("number", type=MANIFEST, metavar="MANIFEST")
@folder_option
def print_(ask: Ask, number: str, out: Path) -> Answer:
    """Prints a manifest again, the same byte for byte."""
    from fulfil.despatch.manifest_paper import printed_manifest
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        written = print_papers(shop, out, lambda books: printed_manifest(books, number))
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})
