r"""How the terminal is spoken to: no text of somebody else's can steer it, and a narrow console ends no step.

>>> cleaned("Ann\x1b[2J \u202egnp.exe")
'Ann<U+001B>[2J <U+202E>gnp.exe'
>>> json_text({"name": "Žofie\u202e\ud800"})
'{"name": "Žofie\\u202e\\ud800"}'

Control characters and the signs that turn the direction of writing (Unicode Standard Annex 9, 2: explicit directional
formatting characters) are shown by their numbers; in JSON they are written as RFC 8259, 7 lets any character be.
"""

import json
import os
import signal
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import click

from fulfil.errors import RecordRefused

_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def _steers(character: str) -> bool:
    code = ord(character)
    is_control = (code < 0x20 and character not in "\n\t") or 0x7F <= code < 0xA0
    return is_control or character in _TURNS or _is_half(character)


def _is_half(character: str) -> bool:
    return 0xD800 <= ord(character) < 0xE000


def cleaned(text: str) -> str:
    """The text with what would steer a terminal shown by its number."""
    if text.isprintable():
        return text
    return "".join(f"<U+{ord(one):04X}>" if _steers(one) else one for one in text)


def must_be_kept(given: Any) -> None:
    """Refuses what no record can keep: bytes that are no UTF-8, and whole numbers of more than 64 bits.

    Python keeps such a byte, as a misread scanner or another console types it, as half a character (PEP 383); no
    database and no paper takes one. A path may hold it.

    Raises:
        RecordRefused: a word or number, or one of a list or table of them, is such.
    """
    if isinstance(given, str):
        if any(map(_is_half, given)):
            raise RecordRefused("read", cleaned(given), "text in UTF-8; this holds bytes of another encoding")
    elif isinstance(given, int):
        if abs(given) >= 1 << 63:
            raise RecordRefused("read", given, f"a whole number below {1 << 63}")
    elif isinstance(given, Mapping):
        must_be_kept(list(given.values()))
    elif isinstance(given, (list, tuple)):
        for one in given:
            must_be_kept(one)


def json_text(facts: Any, indent: int | None = None) -> str:
    """Facts as JSON that any terminal and any program takes."""
    said = json.dumps(facts, ensure_ascii=False, indent=indent, default=str)
    return "".join(f"\\u{ord(one):04x}" if _steers(one) else one for one in said)


def say(text: str, *, err: bool = False, nl: bool = True) -> None:
    """Shows a text; whoever has stopped listening has stopped nothing."""
    try:
        click.echo(cleaned(text), err=err, nl=nl)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def open_streams() -> None:
    """A console without a letter shows its number instead, and a byte that is no text is no end of the line."""
    for stream, errors in ((sys.stdout, "backslashreplace"), (sys.stderr, "backslashreplace"), (sys.stdin, "replace")):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors=errors)


class ToldToEnd(KeyboardInterrupt):
    """SIGTERM: the program is to end, and can still undo what it was about and say so."""


@contextmanager
def ended_in_words() -> Iterator[None]:
    """While a command runs, SIGTERM ends it as a person's Ctrl-C does; a server has handlers of its own."""
    is_ours = threading.current_thread() is threading.main_thread()
    if not is_ours or signal.getsignal(signal.SIGTERM) is not signal.SIG_DFL:
        yield
        return

    def end(*_: object) -> None:
        raise ToldToEnd

    signal.signal(signal.SIGTERM, end)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, signal.SIG_DFL)
