"""The bench's terminal: lines in, words and bells out. What they mean is decided below; here is only the wiring.

Keyboard and scanner come by the standard input, a scale that sends by itself by its serial port. Both are read in
threads of their own and handled one at a time, in the order in which they came.
"""

import sys
from collections.abc import Callable
from datetime import datetime
from queue import SimpleQueue
from threading import Thread
from time import monotonic, sleep
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from ..saying import say as shown
from .big_words import big

if TYPE_CHECKING:
    from fulfil.bench.check_station import CheckBench
    from fulfil.bench.pack_station import PackBench
    from fulfil.checking.reading import LineReader
    from fulfil.checking.saying import Say

PROMPT = "> "


class Arrived(NamedTuple):
    """A line, where it came from, and when; ``text`` None is the end of the source."""

    is_scale: bool
    text: str | None
    at_s: float


def run_bench(
    bench: "CheckBench | PackBench",
    *,
    now: Callable[[], datetime],
    port: Any = None,
    reader: "LineReader | None" = None,
    rings: bool = True,
    is_plain: bool = False,
    after: Callable[[], list[str]] = list,
) -> int:
    """Runs until the input ends or somebody leaves; gives the number of lines that were typed or scanned.

    ``port`` is an open serial port, or anything with ``readline() -> bytes``; ``after`` does what follows a line
    (slips, papers) and gives lines to show.
    """
    lines: SimpleQueue[Arrived] = SimpleQueue()
    # Without a scale there is nothing to listen to beside the keyboard, and reading it here keeps the order plain.
    if port is not None:
        Thread(target=_listen, args=(_typed, False, lines), daemon=True).start()
        Thread(target=_listen, args=(lambda: _sent(port), True, lines), daemon=True).start()
    _show(bench.open(now_s=monotonic()), rings, is_plain)
    typed = 0
    while not bench.is_closed:
        arrived = Arrived(False, _typed(), monotonic()) if port is None else lines.get()
        if arrived.text is None:
            if arrived.is_scale:
                shown("The scale has gone silent: type the weights.")
                shown(PROMPT, nl=False)
                continue
            break
        if arrived.is_scale:
            reading = reader.read(arrived.text) if reader is not None else None
            say = None if reading is None else bench.weighed(reading, at=now(), sent_at_s=arrived.at_s)
            if say is None:
                continue
            click.echo("")
        else:
            typed += 1
            say = bench.enter(arrived.text, at=now(), now_s=arrived.at_s)
        more = after()
        _show(say, rings, is_plain, more)
    return typed


def open_scale(name: str, baud: int) -> Any:
    """The serial port, by pyserial, which is installed with ``fulfil[serial]``.

    Raises:
        WeighingRefused: pyserial isn't there, or the port can't be opened.
    """
    from fulfil.errors import WeighingRefused

    try:
        import serial
    except ImportError:
        raise WeighingRefused(
            "read the scale at", name, "pyserial to be installed: pip install 'fulfil[serial]'"
        ) from None
    try:
        return serial.Serial(name, baud, timeout=None)
    except (serial.SerialException, ValueError) as trouble:
        raise WeighingRefused("open the scale's port", name, f"a port that answers: {trouble}") from None


def _typed() -> str | None:
    line = sys.stdin.readline()
    return line.rstrip("\r\n") if line else None


def _sent(port: Any) -> str | None:
    try:
        line: bytes = port.readline()
    except OSError:
        return None
    return line.decode("ascii", "replace").strip() if line else None


def _listen(read: Callable[[], str | None], is_scale: bool, lines: "SimpleQueue[Arrived]") -> None:
    while True:
        text = read()
        lines.put(Arrived(is_scale, text, monotonic()))
        if text is None:
            return


def _show(say: "Say", rings: bool, is_plain: bool, more: list[str] | None = None) -> None:
    from fulfil.checking.saying import BELLS

    rows = [] if is_plain or not say.big else ["", *big(say.big), ""]
    if say.big and is_plain:
        rows.append(f"{say.big}:")
    rows += [say.headline, *(f"  {line}" for line in say.lines), *(more or [])]
    shown("\n".join(rows))
    shown(PROMPT, nl=False)
    if rings:
        for pause_s in BELLS[say.sound]:
            sleep(pause_s)
            click.echo("\a", nl=False)
    sys.stdout.flush()
