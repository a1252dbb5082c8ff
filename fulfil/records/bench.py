"""What the benches keep: what is in hand, which bags went back and why; who works here, and at what device.

>>> place = BenchPlace(bench="check-1", kind=BenchKind.CHECK, order_number="A-1")
>>> place.order_number, place.bag_code
('A-1', '')

A *person* signs in at a station with badge and PIN; of the PIN only a salted digest is kept. A *station* is a device at
a bench or on the wall; it shows who it is by a token, of which only a digest is kept, too.

>>> anna = Person(name="anna", roles="check pack", pin_salt="00", pin_digest="00", since="2026-03-02T08:00:00Z")
>>> anna.may(Role.CHECK), anna.may(Role.CLERK)
(True, False)
>>> Person(name="bo", roles="owner", pin_salt="00", pin_digest="00", since="2026-03-02T08:00:00Z").may(Role.CLERK)
True
"""

import json
from enum import StrEnum

from pydantic import AwareDatetime, field_validator
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line, Text


class BenchKind(StrEnum):
    """What is done at a bench."""

    CHECK = "check"
    PACK = "pack"


class BenchPlace(Record):
    """What a bench has in hand; written with every step, so that a bench that lost its power goes on from here.

    An order is in hand at one bench at a time. ``last_bag_code`` is the bag whose verdict may still be undone.
    ``clear_run`` counts right bags in a row, for the sampling plan.
    """

    bench: Code
    kind: BenchKind
    person: Line = ""
    walk_number: Line = ""
    order_number: Line = ""
    bag_code: Line = ""
    package_number: Line = ""
    last_bag_code: Line = ""
    clear_run: int = Field(default=0, ge=0)


class SentBackFor(StrEnum):
    """By what evidence a bag went back."""

    WEIGHT = "weight"
    COUNT = "count"
    LOOK = "look"
    DAMAGE = "damage"


class RecountState(StrEnum):
    """A slip is open until its bag passes, is undone with its verdict, or stays with the person in charge."""

    OPEN = "open"
    DONE = "done"
    UNDONE = "undone"


class Recount(Record):
    """One bag sent back once; ``number`` is the number of its slip.

    ``which`` counts the bag's checks, this one included. ``likely_cause`` is the first explanation's name and
    ``other_part`` the part that may have been taken for the right one; both are empty where nothing was weighed.
    ``pieces_off`` is counted less ordered, 0 where nobody counted. No person is named: the figures are about parts,
    bins, look-alikes and scales.
    """

    number: Code
    at: AwareDatetime
    bag_code: Code
    order_number: Code
    walk_number: Code
    part_number: Code
    bin_code: Code
    scale_code: Line = ""
    sent_back_for: SentBackFor
    which: int = Field(ge=1)
    reason: Line
    causes_json: Text = "[]"
    likely_cause: Line = ""
    other_part: Line = ""
    pieces_off: int = 0
    state: RecountState = RecountState.OPEN
    is_simulated: bool = False

    @property
    def causes(self) -> tuple[str, ...]:
        """The likely causes as sentences, most likely first."""
        return tuple(json.loads(self.causes_json))


class Role(StrEnum):
    """What a person may do; the owner may do everything."""

    PICK = "pick"
    CHECK = "check"
    PACK = "pack"
    MAKE = "make"
    CLERK = "clerk"
    OWNER = "owner"


class StationKind(StrEnum):
    """What a station shows."""

    CHECK = "check"
    PACK = "pack"
    CART = "cart"
    CLERK = "clerk"
    MAKE_ROOM = "make-room"
    SCALE = "scale"
    WALL = "wall"


class Person(Record):
    """One person; ``roles`` are words of :class:`Role`, with spaces.

    ``since`` is when PIN or roles changed last: what was signed in before is signed out. ``wrong_pins`` counts wrong
    ones in a row, the first of them at ``wrong_since``.
    """

    name: Code
    roles: Line
    pin_salt: Line
    pin_digest: Line
    since: AwareDatetime
    wrong_pins: int = Field(default=0, ge=0)
    wrong_since: AwareDatetime | None = None
    is_retired: bool = False

    @field_validator("roles")
    @classmethod
    def _known(cls, roles: str) -> str:
        """The words sorted; refuses one that is no role."""
        words = {Role(word) for word in roles.split()}
        if not words:
            raise ValueError("no role")
        return " ".join(sorted(words))

    def may(self, role: Role) -> bool:
        """Whether the person has the role."""
        return bool({role.value, Role.OWNER.value} & {*self.roles.split()})


class Station(Record):
    """One device; ``pairing_digest`` is that of a code which a tablet shows once, until ``pairing_until``.

    ``person`` is signed in here since ``signed_in_at``; ``session_digest`` is that of the ticket which they hold.
    ``serves`` is the bench beside which a scale stands that sends by itself.
    """

    name: Code
    kind: StationKind
    token_digest: Line = ""
    pairing_digest: Line = ""
    pairing_until: AwareDatetime | None = None
    person: Line = ""
    session_digest: Line = ""
    signed_in_at: AwareDatetime | None = None
    is_retired: bool = False
    serves: Line = ""


class StationAnswer(Record):
    """What a station asked for once, by the key that it made, and what it was answered.

    ``asked_digest`` is that of what was asked: the same key with other words is no repetition. ``answer`` is JSON as
    the page made it; empty while the answer is on its way, or when the server stopped before it was written.
    """

    station: Code
    key: Code
    asked_digest: Code
    person: Line = ""
    at: AwareDatetime
    answer: str = ""


class SigningKey(Record):
    """The secret by which this shop signs what it hands to its stations; a shop has one."""

    name: Code
    secret: str
