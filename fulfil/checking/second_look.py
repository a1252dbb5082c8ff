"""Which bags need a second look at the part itself, and why: the scale proves the count, not the part.

A second look takes seconds, so it is asked for where a wrong part is likelier or dearer than usual. The reasons (the
thresholds are judgement, a shop sets its own):

>>> facts = LookFacts(walks_of_picker=2, lot_is_new=False, near_look_alike="SCR-0017", value_minor=900, mistakes=0)
>>> for reason in reasons_to_look(facts, LookRules()):
...     print(reason)
new picker (2 walks before)
look-alike close by: SCR-0017

Limits: no reason doesn't mean no risk; what every checklist asks to look at stays there.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class LookRules:
    """From where on a reason counts; 0 turns one off.

    ``high_value_minor`` is in minor units of the part's currency, for the whole bag.
    """

    new_picker_walks: int = 5
    high_value_minor: int = 10_000
    earlier_mistakes: int = 1


@dataclass(frozen=True)
class LookFacts:
    """What is known of one bag; ``walks_of_picker`` is None where nobody noted the picker.

    ``near_look_alike`` is a part of the same family in a nearby bin that weighs the same.
    ``mistakes`` counts bags of this part or bin that were sent back before.
    """

    walks_of_picker: int | None
    lot_is_new: bool
    near_look_alike: str
    value_minor: int
    mistakes: int
    was_sent_back: bool = False


def reasons_to_look(facts: LookFacts, rules: LookRules) -> tuple[str, ...]:
    """The reasons for a second look, in a fixed order; none where weight or count suffice."""
    found = []
    if facts.was_sent_back:
        found.append("sent back before")
    if facts.walks_of_picker is not None and facts.walks_of_picker < rules.new_picker_walks:
        walks = f"{facts.walks_of_picker} walk{'' if facts.walks_of_picker == 1 else 's'}"
        found.append(f"new picker ({walks} before)")
    if facts.lot_is_new:
        found.append("new lot, not sampled yet")
    if facts.near_look_alike:
        found.append(f"look-alike close by: {facts.near_look_alike}")
    if 0 < rules.high_value_minor <= facts.value_minor:
        found.append("high value")
    if 0 < rules.earlier_mistakes <= facts.mistakes:
        found.append(f"part or bin sent back {facts.mistakes} time{'s' if facts.mistakes != 1 else ''} before")
    return tuple(found)
