"""``fulfil stations``: set up tablets at benches, carts, desks and walls, and open their pages."""

import secrets
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fulfil.errors import QuantityRefused

from .bars import shown_progress
from .frame import Answer, Ask, Noun, command, table

if TYPE_CHECKING:
    from fulfil.store.shop import Shop

KINDS = ("check", "pack", "cart", "clerk", "make-room", "scale", "wall")
_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
"""Of pairing codes: none that is taken for another."""


@click.group(cls=Noun)
def stations() -> None:
    """Set up tablets at benches, carts, desks and walls; open their pages."""


@command(stations, "add", "fulfil stations add check-1 --kind check")
@click.argument("name", metavar="NAME")
@click.option("--kind", type=click.Choice(KINDS), required=True, help="What the station is for.")
@click.option("--beside", default="", help="Of a scale that sends by itself: the bench that it stands at.")
def add(ask: Ask, name: str, kind: str, beside: str) -> Answer:
    """Sets up a station and shows the code that makes a tablet this station; again for another tablet."""
    from fulfil.bench.devices import add_station
    from fulfil.records.bench import StationKind

    code = pairing_code()
    with ask.shop() as shop:
        add_station(shop, name, StationKind(kind), code, at=ask.at, person=ask.person, serves=beside)
    lines = [f"Station {name} ({kind}).", f"Open its page and type within an hour: {code}"]
    return Answer(lines, {"station": name, "kind": kind, "code": code})


@command(stations, "list", "fulfil stations list")
def list_(ask: Ask) -> Answer:
    """Lists the stations, with who is signed in."""
    from fulfil.records.bench import Station

    with ask.shop() as shop, shop.reading() as books:
        found = [one for one in books.find(Station) if not one.is_retired]
    rows = [(one.name, one.kind.value, "yes" if one.token_digest else "no", one.person) for one in found]
    facts = [
        {"station": one.name, "kind": one.kind.value, "has_device": bool(one.token_digest), "person": one.person}
        for one in found
    ]
    return Answer(table(rows, ("station", "kind", "has a device", "signed in")), {"stations": facts})


@command(stations, "retire", "fulfil stations retire check-1")
@click.argument("name", metavar="NAME")
def retire(ask: Ask, name: str) -> Answer:
    """Takes a station out of use; a tablet that was lost is no station any more."""
    from fulfil.bench.devices import retire_station

    with ask.shop() as shop:
        retire_station(shop, name, at=ask.at, person=ask.person)
    return Answer([f"Station {name} is out of use; its tablet is no station any more."], {"station": name})


_LISTEN = (
    click.option("--bind", default="127.0.0.1", show_default=True, help="The address to listen at."),
    click.option("--port", type=click.IntRange(1, 65_535), default=8019, show_default=True, help="The port."),
)


@command(stations, "open", "fulfil stations open --papers papers")
@_LISTEN[0]
@_LISTEN[1]
@click.option("--name", "names", multiple=True, help="A name by which tablets call this computer; several.")
@click.option("--certificate", type=click.Path(path_type=Path, exists=True, dir_okay=False), help="For TLS: its file.")
@click.option("--certificate-key", type=click.Path(path_type=Path, exists=True, dir_okay=False), help="And its key's.")
@click.option("--idle-minutes", type=click.IntRange(1, 600), default=15, show_default=True, help="Then signed out.")
@click.option("--papers", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print papers there.")
@click.option("--printer", "printers", multiple=True, metavar="STATION=PRINTER", help="It stands beside it; several.")
@click.option("--close-alone", is_flag=True, help="Closing asks for the own PIN again, not for a second person's.")
def open_(
    ask: Ask,
    bind: str,
    port: int,
    names: tuple[str, ...],
    certificate: Path | None,
    certificate_key: Path | None,
    idle_minutes: int,
    papers: Path | None,
    printers: tuple[str, ...],
    close_alone: bool,
) -> Answer:
    """Opens the pages of all stations in this computer's browser, or the shop's network with --bind; Ctrl-C ends it."""
    from .station_server import Listening, run_server

    listening = Listening(bind, port, names, certificate, certificate_key)
    idle = timedelta(minutes=idle_minutes)
    with ask.shop() as shop:
        beside = _beside(shop, printers)
        if beside and papers is None:
            raise QuantityRefused("print at stations by", ", ".join(printers), "--papers FOLDER too")
        run_server(shop, listening, idle=idle, papers=papers, beside=beside, closes_alone=close_alone)
    return Answer(["The stations' pages are closed; what was confirmed stays."], {"port": port})


@command(stations, "certify", "fulfil stations certify --out certificates --name shop.local --name 192.168.1.10")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Where its files go.")
@click.option("--name", "names", multiple=True, help="A name or address by which tablets call this computer; several.")
def certify(ask: Ask, out: Path, names: tuple[str, ...]) -> Answer:
    """Makes the shop's own certificate authority, once, and a certificate of it for the pages; again when it ends."""
    from fulfil.stations.authority import SERVER_DAYS, make_certificates

    authority, key, server, server_key = make_certificates(out, names, at=ask.at)
    lines = [
        f"Install {authority} on each tablet as a certificate authority.",
        f"Keep {key} where only you can read it: whoever has it can pass for this computer.",
        f"fulfil stations open --bind ADDRESS --certificate {server} --certificate-key {server_key}",
        f"It lasts {SERVER_DAYS} days; then this command makes the next one, and the tablets need nothing.",
    ]
    return Answer(lines, {"files": [str(path) for path in (authority, key, server, server_key)]})


@command(stations, "rehearse", "fulfil stations rehearse --out rehearsal")
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Where the demo shop goes."
)
@_LISTEN[0]
@_LISTEN[1]
def rehearse(ask: Ask, out: Path, bind: str, port: int) -> Answer:
    """Opens all pages on the invented demo shop, its day under way: one page leads to each, its person signed in."""
    from datetime import datetime

    from fulfil_demo_catalog import FOLDER
    from fulfil_demo_catalog.folder import mark_printed
    from fulfil_demo_catalog.station_rehearsal import AT, PEOPLE, SECOND, STATIONS, prepare

    from fulfil.store.shop import open_shop

    from .saying import say
    from .station_server import Listening, run_server

    say("Making the invented demo shop, its day under way; this takes a minute.")
    codes = {name: pairing_code() for name in STATIONS}
    began = datetime.now().astimezone()
    with shown_progress():  # a bar of its own: it ends before the pages open
        path, at = prepare(FOLDER, out, codes, salt=lambda: secrets.token_bytes(16), is_under_way=True)
    pins = {name: pin for name, _, pin in PEOPLE}
    pages = {name: (code, AT.get(name, ""), pins.get(AT.get(name, ""), "")) for name, code in codes.items()}
    say(f"The invented demo shop: {path}. Weighings are marked as simulated.")
    for name, roles, pin in PEOPLE:
        say(f"  person {name} ({', '.join(roles)}), PIN {pin}")
    for name, code in codes.items():
        say(f"  station {name} ({STATIONS[name]}), pairing code {code}")
    papers = out / "papers"
    with open_shop(path) as shop:
        run_server(
            shop,
            Listening(bind, port, tuple(f"{name}.localhost" for name in codes), None, None),
            idle=timedelta(hours=12),
            papers=papers,
            clock=lambda: at + (datetime.now().astimezone() - began),
            is_simulated=True,
            rehearsal=pages,
            second=(SECOND, pins[SECOND]),
        )
    mark_printed(out, papers)  # so that the next rehearsal may take this one's place
    return Answer([f"The rehearsal is over. Its shop stays: {path}"], {"shop": str(path)})


def _beside(shop: "Shop", printers: Sequence[str]) -> dict[str, str]:
    """Beside which station each printer stands.

    Raises:
        QuantityRefused: not a station and a printer.
        UnknownRefused: the shop has no such station or printer.
    """
    from fulfil.records.bench import Station
    from fulfil.records.equipment import PrinterRecord

    found = {}
    with shop.reading() as books:
        for one in printers:
            station, is_said, printer = one.partition("=")
            if not is_said:
                raise QuantityRefused("read the printer", one, "STATION=PRINTER, such as pack-1=labels-1")
            found[books.need(PrinterRecord, printer).name] = books.need(Station, station).name
    return found


def pairing_code() -> str:
    """Eight letters and digits that are easily typed: about 40 bits, good for an hour."""
    return "".join(secrets.choice(_LETTERS) for _ in range(8))
