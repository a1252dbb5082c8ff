"""Running the stations' pages: the server's address, its clock and chance, what it prints."""

import secrets
import socket
import ssl
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from .bench.station_papers import StationPapers
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
    second: tuple[str, str] = ("", ""),
    beside: Mapping[str, str] | None = None,
    closes_alone: bool = False,
) -> None:
    """Serves the pages until it is interrupted; ``beside`` says beside which station a printer stands.

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
    house = make_house(shop, listening, idle=idle, papers=papers, clock=clock, is_simulated=is_simulated, beside=beside)
    house.rehearsal, house.second, house.closes_alone = rehearsal or {}, second, closes_alone
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
    beside: Mapping[str, str] | None = None,
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
        printing = StationPapers(shop, papers, clock, beside or {})
        house.print_slips, house.print_order = printing.slips, printing.order
        house.print_manifest = printing.manifest
    return house


def _addresses() -> set[str]:
    """The addresses of this computer, as far as its name knows them."""
    try:
        return {str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    except OSError:
        return set()
