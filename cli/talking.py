"""A conversation at the keyboard, or from lines that are piped in: questions to the screen, one answer a line.

``<`` goes one answer back. Ctrl-C and the end of the input leave it where it is: what was answered is kept already.
"""

import sys
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from .saying import say

if TYPE_CHECKING:
    from fulfil.shop.conversation import Conversation

BACK = "<"


class Ended(Exception):
    """The person went away: the conversation has no result yet."""


def talk(
    talked: "Conversation[Any]",
    keep: Callable[[Mapping[str, str]], None],
    *,
    named: Callable[[str], str] = str,
) -> None:
    """Asks until there is a result; ``keep`` is given the answers after each one that was taken.

    ``named`` turns what a person says at the last question into the key of the answer to change.

    Raises:
        Ended: the input ended, or Ctrl-C.
    """
    try:
        while talked.question is not None:
            _ask(talked, keep, named)
    except (EOFError, KeyboardInterrupt):
        _say("")
        raise Ended from None


def _ask(talked: "Conversation[Any]", keep: Callable[[Mapping[str, str]], None], named: Callable[[str], str]) -> None:
    question = talked.question
    assert question is not None  # noqa: S101 - the loop's condition
    if talked.trouble:
        _say(talked.trouble)
        for line in talked.offered:
            _say(f"    {line}")
    else:
        for line in question.shows:
            _say(f"    {line}")
    suggestion = talked.suggestion()
    text = _typed(f"{question.asks}{f' [{suggestion}]' if suggestion else ''} ")
    if text == BACK:
        talked.trouble = "" if talked.back() else "This is the first question."
    elif not question.is_kept and text and talked.reopen(named(text)):
        talked.trouble = ""
    else:
        talked.enter(text)
        if not talked.trouble:
            keep(talked.answers)


def _typed(prompt: str) -> str:
    say(prompt, nl=False, err=True)
    text = input()
    if not sys.stdin.isatty():
        _say(text)
    return text.strip()


def _say(line: str) -> None:
    say(line, err=True)
