"""What a file doesn't say about itself, asked at the keyboard or answered beforehand by options."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from fulfil.errors import QuantityRefused

from ..frame import Answer
from ..saying import say

if TYPE_CHECKING:
    from fulfil.files.mapping.proposing import Question


def pair(text: str, expected: str) -> tuple[str, str]:
    """The two sides of ``NAME=VALUE``.

    Raises:
        QuantityRefused: there is no ``=``.
    """
    name, equals, said = text.partition("=")
    if not equals:
        raise QuantityRefused("read the answer", text, expected)
    return name.strip(), said.strip()


def asked(questions: "Sequence[Question]") -> dict[str, str] | None:
    """The answers of the person at the keyboard; None where nobody answers."""
    answers = {}
    for one in questions:
        hint = f" ({', '.join(one.choices)})" if one.choices else ""
        choices = {choice.casefold(): choice for choice in one.choices}
        try:
            while True:
                said = click.prompt(f"{one.asks}{hint}", default=one.suggestion or None, err=True).strip()
                if not choices or said.casefold() in choices:
                    break
                say(f"'{said}' is none of them.", err=True)
        except click.Abort:
            return None
        answers[one.key] = choices.get(said.casefold(), said)
    return answers


def not_answered(questions: "Sequence[Question]") -> Answer:
    """What is to be answered, and by which option."""
    lines = ["The file doesn't say everything. Answer and map again; nothing was kept:"]
    for one in questions:
        choices = f" One of: {', '.join(one.choices)}." if one.choices else ""
        lines.append(f"  {one.asks}{choices} --answer '{one.key}=...'")
    facts = [{"key": one.key, "asks": one.asks, "choices": list(one.choices)} for one in questions]
    return Answer(lines, {"kept": False, "questions": facts}, must_act=True)
