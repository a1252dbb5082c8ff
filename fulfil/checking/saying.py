"""What a bench says: a headline, lines below it, and one sound for each verdict.

Sounds are patterns of the terminal's bell, told apart by their number and by the pauses between them, so that hands and
eyes may stay on the bag:

>>> [(sound.value, len(BELLS[sound])) for sound in Sound]
[('none', 0), ('passed', 1), ('look', 2), ('recount', 3), ('stop', 5), ('refused', 2)]
"""

from dataclasses import dataclass
from enum import StrEnum

from fulfil.records.weighing import Verdict


class Sound(StrEnum):
    """What can be heard."""

    NONE = "none"
    PASSED = "passed"
    LOOK = "look"
    RECOUNT = "recount"
    STOP = "stop"
    REFUSED = "refused"


BELLS: dict[Sound, tuple[float, ...]] = {
    Sound.NONE: (),
    Sound.PASSED: (0.0,),
    Sound.LOOK: (0.0, 0.15),
    Sound.RECOUNT: (0.0, 0.15, 0.15),
    Sound.STOP: (0.0, 0.15, 0.15, 0.15, 0.15),
    Sound.REFUSED: (0.0, 0.5),
}
"""Seconds of silence before each ring."""

OF_VERDICT = {
    Verdict.PASSED: Sound.PASSED,
    Verdict.LOOK: Sound.LOOK,
    Verdict.RECOUNT: Sound.RECOUNT,
    Verdict.STOP: Sound.STOP,
}


@dataclass(frozen=True)
class Say:
    """``big`` is the one word that is readable from a step away: PASSED, RECOUNT, LOOK, STOP, SEALED."""

    sound: Sound
    headline: str
    lines: tuple[str, ...] = ()
    big: str = ""


def said(headline: str, lines: tuple[str, ...] = ()) -> Say:
    """Plain words without a sound."""
    return Say(Sound.NONE, headline, lines)


def refused(headline: str, *lines: str) -> Say:
    """Words for a line that changed nothing."""
    return Say(Sound.REFUSED, headline, tuple(line for line in lines if line))
