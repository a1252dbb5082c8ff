"""``fulfil manifests``: the list that is handed to a service."""

from pathlib import Path

import click

from .frame import Answer, Ask, command, folder_option, table


@click.group()
def manifests() -> None:
    """Close and print the list handed to a service."""


@command(manifests, "close", "fulfil manifests close post --out papers")
@click.argument("service")
@folder_option
def close(ask: Ask, service: str, out: Path) -> Answer:
    """Closes a manifest over every sealed package of a service and prints it; it is never changed after."""
    from fulfil.day.printing import print_manifest
    from fulfil.day.ship import close_manifest
    from fulfil.quantities import print_package_mass

    with ask.shop() as shop:
        done = close_manifest(shop, service, day=ask.at.date(), at=ask.at, person=ask.person)
        written = print_manifest(shop, done.manifest.number, out)
    total = print_package_mass(done.manifest.weight_g)
    lines = [f"Manifest {done.manifest.number} is closed: {done.manifest.packages} packages, {total}."]
    if done.left_behind:
        lines.append(f"Left behind, not sealed: {', '.join(done.left_behind)}.")
    lines += [f"  printed {path}" for path in written]
    facts = {
        "manifest": done.manifest.model_dump(mode="json"),
        "packages": [package.number for package in done.packages],
        "left_behind": list(done.left_behind),
        "papers": [str(path) for path in written],
    }
    return Answer(lines, facts, must_act=bool(done.left_behind))


@command(manifests, "list", "fulfil manifests list")
def list_(ask: Ask) -> Answer:
    """Lists manifests."""
    from fulfil.records.dispatch import Manifest

    with ask.shop() as shop, shop.reading() as books:
        found = books.find(Manifest)
    rows = [(one.number, str(one.day), one.service_code, one.state.value, one.packages, one.weight_g) for one in found]
    facts = {"manifests": [one.model_dump(mode="json") for one in found]}
    return Answer(table(rows, ("manifest", "day", "service", "state", "packages", "weight_g")), facts)


@command(manifests, "print", "fulfil manifests print M2603020001 --out papers")
@click.argument("number")
@folder_option
def print_(ask: Ask, number: str, out: Path) -> Answer:
    """Prints a manifest again, the same byte for byte."""
    from fulfil.day.printing import print_manifest

    with ask.shop() as shop:
        written = print_manifest(shop, number, out)
    return Answer([f"printed {path}" for path in written], {"papers": [str(path) for path in written]})
