"""How a file gets to a printer: into a folder, to the computer's print system, raw to its socket, or not at all.

>>> destination("socket 192.0.2.7:9100")
Destination(way='socket', to='192.0.2.7', port=9100, on_both_sides=False)
>>> destination("queue office both-sides").on_both_sides
True
>>> destination("fax 12")
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot send papers to 'fax 12': expected folder, nobody, queue NAME, or socket HOST:PORT.

The print system is asked by ``lp`` (IEEE Std 1003.1, POSIX), which CUPS answers too; both sides of a sheet are its job
attribute ``sides`` (IPP, RFC 8011, from memory). Port 9100 takes what it gets (common practice). Nothing is sent twice:
what a printer was given is given.
"""

import re
import socket
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from fulfil.errors import PaperRefused

NOBODY = "nobody"
"""Where papers go that a step would print and nobody reads, such as the checklist of benches with a screen."""
BOTH_SIDES = "both-sides"
"""Said after a queue's name: on both sides of the sheets."""
_WAIT_S = 10.0


@dataclass(frozen=True)
class Destination:
    """``way`` is folder, nobody, queue or socket; ``to`` the queue or host."""

    way: str
    to: str = ""
    port: int = 0
    on_both_sides: bool = False


def destination(text: str) -> Destination:
    """Where papers go, as it is written down.

    Raises:
        PaperRefused: none of the four.
    """
    words = text.split()
    if words in (["folder"], [NOBODY]):
        return Destination(words[0])
    if words[:1] == ["queue"] and words[2:] in ([], [BOTH_SIDES]):
        (name,) = words[1:2] or ("",)
        if re.fullmatch(r"[\w.@][\w.@-]*", name):
            return Destination("queue", name, on_both_sides=bool(words[2:]))
    if len(words) == 2 and words[0] == "socket":
        host, colon, port = words[1].rpartition(":")
        if host and colon and port.isdecimal() and 0 < int(port) < 65_536:
            return Destination("socket", host.strip("[]"), int(port))
    raise PaperRefused("send papers to", text, "folder, nobody, queue NAME, or socket HOST:PORT")


def to_queue(name: str, path: Path, on_both_sides: bool) -> None:
    """Hands a file to a queue of the computer's print system; every file begins on a sheet of its own.

    Raises:
        PaperRefused: there is no print system, or it says no.
    """
    sides = ["-o", "sides=two-sided-long-edge"] if on_both_sides else []
    command = ["lp", "-d", name, *sides, "--", str(path)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=_WAIT_S, check=False)  # noqa: S603 - our words
    except (OSError, subprocess.TimeoutExpired) as trouble:
        expected = f"a print system that answers to lp ({trouble})"
        raise PaperRefused(f"send to queue {name}", path.name, expected) from trouble
    if done.returncode:
        raise PaperRefused(f"send to queue {name}", path.name, f"a queue that takes it ({done.stderr.strip()})")


def to_socket(host: str, port: int, path: Path) -> None:
    """Sends a file's bytes to a printer's socket.

    Raises:
        PaperRefused: nobody answers, or the line breaks; what was sent by then may be printed.
    """
    try:
        with socket.create_connection((host, port), timeout=_WAIT_S) as line:
            line.sendall(path.read_bytes())
    except OSError as trouble:
        raise PaperRefused("send to a printer", path.name, f"an answer from {host}:{port} ({trouble})") from trouble


def send(
    path: Path,
    goes_to: Destination,
    *,
    queue: Callable[[str, Path, bool], None] = to_queue,
    line: Callable[[str, int, Path], None] = to_socket,
) -> str:
    """Sends a written file where it goes; what was done, in words.

    Raises:
        PaperRefused: it didn't get there; the file stays where it is.
    """
    if goes_to.way == "queue":
        queue(goes_to.to, path, goes_to.on_both_sides)
        return f"sent to queue {goes_to.to}: {path.name}"
    if goes_to.way == "socket":
        line(goes_to.to, goes_to.port, path)
        return f"sent to {goes_to.to}:{goes_to.port}: {path.name}"
    return f"to print: {path}"
