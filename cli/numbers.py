"""Numbers as people type them: each argument says what kind of number it is, and one door makes it whole.

A parameter of the type ``Numbered("bag")`` reaches its command as the full number: ``35`` as ``B2603020035``. A text
that means nothing in the shop reaches it as it was typed, and the command refuses it in its own words.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from .asking import Ask


@dataclass(frozen=True)
class Typed:
    """A number as it was typed, and what it is the number of."""

    kind: str
    text: str


class Numbered(click.ParamType[Typed]):
    """The number of an order, a bag, a walk and so on (:data:`fulfil.shop.short_numbers.KINDS`)."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        self.name = kind

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Typed:
        """The text with its kind; the shop is asked later, when the command runs."""
        return value if isinstance(value, Typed) else Typed(self.kind, str(value))


ORDER, BAG, WALK, PACKAGE = Numbered("order"), Numbered("bag"), Numbered("walk"), Numbered("package")
MANIFEST, JOB, CLAIM, SLIP = Numbered("manifest"), Numbered("job"), Numbered("claim"), Numbered("slip")
PULLED = Numbered("pulled bag")
PART, BIN, SCALE, SERVICE = Numbered("part"), Numbered("bin"), Numbered("scale"), Numbered("service")


def made_whole(ask: "Ask", options: Mapping[str, Any]) -> dict[str, Any]:
    """The options with their numbers in full; the shop is opened only where one was typed.

    Raises:
        UnknownRefused: a number may mean several.
    """
    if not any(map(_is_typed, options.values())):
        return as_typed(options)
    from fulfil.shop.short_numbers import full_number

    with ask.shop() as shop, shop.reading() as books:
        return {
            name: _each(value, lambda typed: full_number(books, typed.kind, typed.text))
            for name, value in options.items()
        }


def as_typed(options: Mapping[str, Any]) -> dict[str, Any]:
    """The options with their numbers as they were typed."""
    return {name: _each(value, lambda typed: typed.text) for name, value in options.items()}


def _is_typed(value: Any) -> bool:
    """Whether a number was typed; an option that wasn't given is empty."""
    return any(map(_is_typed, value)) if isinstance(value, tuple) else isinstance(value, Typed) and bool(value.text)


def _each(value: Any, whole: Callable[[Typed], str]) -> Any:
    if isinstance(value, tuple):
        return tuple(_each(one, whole) for one in value)
    return (whole(value) if value.text else "") if isinstance(value, Typed) else value
