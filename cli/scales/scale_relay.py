"""``fulfil scales relay``: at a bench, reads the scale that sends by itself, posts its steady readings.

The relay needs no shop of its own: it is paired once with a code, as a tablet is, and keeps its token in a file that
only its user may read. A reading that the shop doesn't answer is dropped, since the next one says the same.
"""

import json
import os
import ssl
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from http.client import HTTPException
from http.cookies import SimpleCookie
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPRedirectHandler, HTTPSHandler, Request, build_opener

import click

from ..frame import Answer, Ask, command
from ..saying import say
from .scales import scales

if TYPE_CHECKING:
    from fulfil.checking.reading import LineReader

AGAIN_S = 1.5
"""A load that lies on the pan is told again after so long: its bag may only now be in hand."""
_WAIT_S = 3.0


@dataclass
class Relay:
    """What of a scale's lines is posted: each steady load, again while it lies there; the empty pan once."""

    reader: "LineReader"
    d_g: Decimal
    steady_run: int
    post: Callable[[str], str]
    tick: Callable[[], float] = monotonic
    _pan: Any = None
    _last: str = field(default="", init=False)
    _sent_at: float = field(default=float("-inf"), init=False)

    def hear(self, line: str) -> str:
        """What the shop said to a line that was posted; empty where there was nothing to post or to say."""
        from fulfil.checking.reading import Pan, Sifted, sift

        reading = self.reader.read(line)
        if reading is None:
            return ""
        sifted, self._pan = sift(
            reading, self._pan or Pan(), d_g=self.d_g, sent_at_s=0.0, wanted_since_s=0.0, steady_run=self.steady_run
        )
        if sifted in (Sifted.UNSTEADY, Sifted.STALE):
            return ""
        shown = f"{reading.mass_g:f}"
        is_load = sifted is not Sifted.EMPTY
        kind = shown if is_load else "empty"
        if kind == self._last and not (is_load and self.tick() - self._sent_at >= AGAIN_S):
            return ""
        self._last, self._sent_at = kind, self.tick()
        return self.post(shown)


class _NoRedirect(HTTPRedirectHandler):
    def redirect_request(self, *_: Any) -> None:
        return None


@dataclass(frozen=True)
class Line:
    """The line to the shop's pages: the address, the token, whose certificates are believed."""

    address: str
    token: str = ""
    authority: Path | None = None

    def ask(self, path: str, form: dict[str, str] | None = None) -> tuple[int, str, str]:
        """Code, text and the token that came with it.

        Raises:
            OSError, HTTPException: nobody answers.
        """
        context = ssl.create_default_context(cafile=None if self.authority is None else str(self.authority))
        opener = build_opener(_NoRedirect, HTTPSHandler(context=context))
        headers = {"Origin": self.address, "Cookie": f"station={self.token}"}
        data = None if form is None else urlencode(form).encode()
        try:
            got = opener.open(Request(f"{self.address}{path}", data, headers), timeout=_WAIT_S)  # noqa: S310
        except HTTPError as answer:
            got = answer
        with got:
            cookie = SimpleCookie("; ".join(got.headers.get_all("set-cookie") or []))
            token = cookie["station"].value if "station" in cookie else ""
            return got.status, got.read().decode("utf-8", "replace"), token


@command(
    scales, "relay", "fulfil scales relay BENCH-1 --port /dev/ttyUSB0 --to https://shop.local:8019 --code abcd2345"
)
@click.argument("code", metavar="SCALE")
@click.option("--port", required=True, help="The scale's serial port, or - for lines on the standard input.")
@click.option("--baud", type=click.IntRange(110, 4_000_000), default=9600, show_default=True, help="The port's speed.")
@click.option("--to", "address", required=True, help="The address of the stations' pages.")
@click.option(
    "--code", "pairing", default="", help="The pairing code, the first time: fulfil stations add --kind scale."
)
@click.option("--token-file", type=click.Path(path_type=Path, dir_okay=False), default=Path(".fulfil-scale"),
              show_default=True, help="Where the token is kept.")  # fmt: skip
@click.option(
    "--authority", type=click.Path(path_type=Path, exists=True, dir_okay=False), help="The shop's own authority."
)
@click.option("--steady", type=click.IntRange(1, 100), default=3, show_default=True,
              help="Equal readings in a row that make one steady; 1 for a scale that sends on demand.")  # fmt: skip
def relay(
    ask: Ask, code: str, port: str, baud: int, address: str, pairing: str, token_file: Path, authority: Path | None,
    steady: int,
) -> Answer:  # fmt: skip
    """Posts what the scale beside a bench shows, once it is steady, to that bench; Ctrl-C ends it."""
    from fulfil.checking.reading import LineReader

    line = Line(address.rstrip("/"), _paired(address.rstrip("/"), pairing, token_file, authority), authority)
    known = _known(line, code)
    say(f"Scale {code} weighs for bench {known['beside']}. Ctrl-C ends it.")

    def post(shown: str) -> str:
        try:
            _, text, _ = line.ask("/scale", {"scale": code, "shown": shown})
            return str(json.loads(text).get("says", ""))
        except (OSError, HTTPException, ValueError):
            return f"{shown} g: the shop's computer doesn't answer; weigh again."

    heard = Relay(LineReader(known["line"]), Decimal(known["d_g"]), steady, post)
    posted, last = 0, ""
    for text in _lines(port, baud):
        said = heard.hear(text)
        posted += bool(said)
        if said and said != last:
            say(said)
        last = said or last
    return Answer([f"The scale has gone silent; {posted} readings were answered."], {"answered": posted})


def _lines(port: str, baud: int) -> Iterable[str]:
    if port == "-":
        yield from sys.stdin
        return
    from ..bench.bench_terminal import open_scale

    device = open_scale(port, baud)
    while sent := device.readline():
        yield sent.decode("ascii", "replace").strip()


def _paired(address: str, pairing: str, token_file: Path, authority: Path | None) -> str:
    """The kept token, or the one that a pairing code brings."""
    from fulfil.errors import StateRefused

    if not pairing:
        if not token_file.is_file():
            raise StateRefused(
                "relay without", token_file, "--code, the pairing code that 'fulfil stations add' showed"
            )
        return token_file.read_text("ascii").strip()
    try:
        _, _, token = Line(address, authority=authority).ask("/pair", {"code": pairing})
    except (OSError, HTTPException, ValueError) as trouble:
        raise StateRefused("pair the scale at", address, f"the stations' pages to answer there; {trouble}") from trouble
    if not token:
        raise StateRefused("pair the scale with the code", pairing, "the code that was shown in the last hour")
    descriptor = os.open(token_file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "w") as file:
        file.write(token)
    return token


def _known(line: Line, code: str) -> dict[str, str]:
    """How the scale's lines read, its interval, its bench."""
    from fulfil.errors import StateRefused

    try:
        status, text, _ = line.ask(f"/scale?{urlencode({'scale': code})}")
        facts: dict[str, str] = json.loads(text) if text.startswith("{") else {}
    except (OSError, HTTPException, ValueError) as trouble:
        raise StateRefused("relay to", line.address, f"the stations' pages to answer there; {trouble}") from trouble
    if status != 200:
        raise StateRefused("relay the scale", code, facts.get("says") or "a device that was paired: --code CODE")
    return facts
