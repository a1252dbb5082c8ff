"""Running the stations' pages: the server's address, its clock and chance, what it prints."""

import secrets
import socket
import ssl
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from .frame import made_after, paper_after
from .saying import say

if TYPE_CHECKING:
    from fulfil.stations.house import House
    from fulfil.store.shop import Shop

_HERE = frozenset({"127.0.0.1", "localhost", "[::1]"})
_ANY = ("0.0.0.0", "::")  # noqa: S104


@dataclass(frozen=True)
class Listening:
    """Where the server listens, by which names it is called, and its certificate for TLS if it has one."""

    bind: str
    port: int
    names: tuple[str, ...]
    certificate: Path | None
    certificate_key: Path | None

    @property
    def hosts(self) -> frozenset[str]:
        """The names by which browsers may call it."""
        bind = f"[{self.bind}]" if ":" in self.bind else self.bind
        own = {socket.gethostname().lower(), *_addresses()} if self.bind in _ANY else {bind}
        return _HERE | own | frozenset(self.names)


def _must_be_free(listening: Listening) -> None:
    """Refuses an address that isn't this computer's, a port that somebody has, a certificate that is none.

    Raises:
        QuantityRefused, FileRefused: with what would do.
    """
    from fulfil.errors import FileRefused, QuantityRefused

    try:
        family, _, _, _, address = socket.getaddrinfo(listening.bind, listening.port, type=socket.SOCK_STREAM)[0]
        socket.create_server(address[:2], family=family).close()
    except (OSError, UnicodeError, OverflowError) as trouble:
        expected = f"an address of this computer and a port that nobody has; {trouble}"
        raise QuantityRefused("open the pages at", f"{listening.bind}:{listening.port}", expected) from trouble
    if listening.certificate is not None:
        try:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(listening.certificate, listening.certificate_key)
        except (OSError, ssl.SSLError) as trouble:
            expected = f"a certificate and its key as PEM; {trouble}"
            raise FileRefused("open the pages with the certificate", listening.certificate, expected) from trouble


def run_server(
    shop: "Shop",
    listening: Listening,
    *,
    idle: timedelta,
    papers: Path | None,
    clock: Callable[[], datetime] = lambda: datetime.now().astimezone(),
    is_simulated: bool = False,
    rehearsal: Mapping[str, tuple[str, str, str]] | None = None,
) -> None:
    """Serves the pages until it is interrupted.

    Raises:
        FileRefused: the libraries of the pages are not installed.
    """
    from fulfil.errors import FileRefused

    try:
        import uvicorn

        from fulfil.stations.server import make_server
    except ImportError:
        raise FileRefused(
            "open the stations' pages with", "this installation", "pip install 'fulfil[stations]'"
        ) from None
    _must_be_free(listening)
    house = make_house(shop, listening, idle=idle, papers=papers, clock=clock, is_simulated=is_simulated)
    house.rehearsal = rehearsal or {}
    scheme = "https" if house.is_secure else "http"
    host = "127.0.0.1" if listening.bind in _ANY else listening.bind
    page = "rehearsal" if house.rehearsal else ""
    say(f"Open {scheme}://{host}:{listening.port}/{page} in a browser. Ctrl-C closes the pages.")
    if listening.bind not in ("127.0.0.1", "::1") and not house.is_secure:
        say("Without --certificate PINs cross the network unencrypted: only on a network of the shop's own.")
    uvicorn.run(
        make_server(house),
        host=listening.bind,
        port=listening.port,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=2,  # a wall listens for ever
        ssl_certfile=listening.certificate,
        ssl_keyfile=listening.certificate_key,
    )


def make_house(
    shop: "Shop",
    listening: Listening,
    *,
    idle: timedelta,
    papers: Path | None,
    clock: Callable[[], datetime],
    is_simulated: bool,
) -> "House":
    """The house of a shop, with what only the command line knows: time, chance, faults and printing."""
    from fulfil.bench.devices import signing_key
    from fulfil.bench.once import forget_old_answers
    from fulfil.stations.house import House

    from .fault import report_fault

    forget_old_answers(shop, at=clock())
    house = House(
        shop=shop,
        clock=clock,
        fresh=lambda: secrets.token_urlsafe(18),
        key=signing_key(shop, secrets.token_hex(32)),
        hosts=listening.hosts,
        idle=idle,
        is_secure=listening.certificate is not None,
        is_simulated=is_simulated,
        report=report_fault,
    )
    if papers is not None:
        house.print_slips = partial(_print_slips, shop, papers)
        house.print_order = partial(_print_order, shop, papers, clock)
        house.print_manifest = partial(_print_manifest, shop, papers)
    return house


def _print_slips(shop: "Shop", papers: Path, numbers: list[str]) -> list[str]:
    from fulfil.bench.recount_slips import recount_sheets
    from fulfil.shop.printing import print_papers

    said: list[str] = []
    for number in numbers:
        make = partial(print_papers, shop, papers, partial(recount_sheets, numbers=[number]))
        printed, lacks = paper_after(make, f"fulfil bench slips {number} --out FOLDER")
        said += [*[f"Slip to print: {path.name}" for path in printed], *lacks]
    return said


def _print_order(shop: "Shop", papers: Path, clock: Callable[[], datetime], order: str, person: str) -> list[str]:
    from fulfil.despatch.package_set import print_set
    from fulfil.shop.clock import local_day

    at = clock()
    with shop.reading() as books:
        day = local_day(at, books.settings())
    make = partial(print_set, shop, papers, orders=[order], day=day, at=at, person=person)
    done, lacks = made_after(make, f"fulfil packages papers {order} --out FOLDER")
    said = [f"To print: {path.name}" for path in done.written] if done else []
    return said + ([str(finding) for finding in done.findings] if done else []) + lacks


def _print_manifest(shop: "Shop", papers: Path, number: str) -> list[str]:
    from fulfil.despatch.manifest_paper import printed_manifest
    from fulfil.shop.printing import print_papers

    make = partial(print_papers, shop, papers, lambda books: printed_manifest(books, number))
    printed, lacks = paper_after(make, f"fulfil manifests print {number} --out FOLDER")
    return [*(f"To print: {path.name}" for path in printed), *lacks]


def _addresses() -> set[str]:
    """The addresses of this computer, as far as its name knows them."""
    try:
        return {str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    except OSError:
        return set()
