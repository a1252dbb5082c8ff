"""Who works here: people with a badge, a PIN and roles; who may sign in at a station, and for how long not.

A badge says who somebody claims to be, the PIN that it is so. Of the PIN a digest is kept, by scrypt (RFC 7914) with a
salt of its own and the cost that OWASP's Password Storage Cheat Sheet names for it (N 2^14, r 8, p 5; from memory).
A PIN is short, so wrong ones in a row make their person wait: five within fifteen minutes, common practice.

>>> weak_pin("1234"), weak_pin("2222"), weak_pin("40a1"), weak_pin("7052")
('one that nobody guesses first: no run, no single digit', 'one that nobody guesses first: no run, no single digit', \
'4 to 8 digits', '')
"""

from datetime import datetime, timedelta
from hashlib import scrypt
from hmac import compare_digest

from fulfil.errors import StateRefused
from fulfil.records.bench import Person, Role
from fulfil.records.happening import Happening
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.store.shop import Shop

MOST_WRONG = 5
WAIT = timedelta(minutes=15)
_RUNS = ("01234567890", "09876543210")
_NOBODY = Person(name="nobody", roles="pick", pin_salt="00" * 16, pin_digest="00", since="2000-01-01T00:00:00Z")  # type: ignore[arg-type]


def weak_pin(pin: str) -> str:
    """What is expected instead of this PIN; empty where it will do."""
    if not (pin.isascii() and pin.isdigit() and 4 <= len(pin) <= 8):
        return "4 to 8 digits"
    if len(set(pin)) == 1 or any(pin in run for run in _RUNS):
        return "one that nobody guesses first: no run, no single digit"
    return ""


def add_person(shop: Shop, name: str, roles: list[Role], pin: str, *, salt: bytes, at: datetime, person: str) -> Person:
    """Lets somebody work here, or somebody who was retired work here again.

    Raises:
        StateRefused: the name is taken, or the PIN is too easily guessed.
    """
    with shop.writing() as books:
        known = books.get(Person, name)
        if known is not None and not known.is_retired:
            raise StateRefused("add the person", name, "a name that nobody here has")
        added = Person(name=name, roles=" ".join(roles), since=at, pin_salt=salt.hex(), pin_digest=_new(pin, salt))
        books.replace([added])
        books.journal(
            at=at, person=person, event=Happening.PERSON_ADDED, subject=name, particulars={"roles": added.roles}
        )
    return added


def change_person(
    shop: Shop, name: str, *, roles: list[Role] | None, pin: str | None, salt: bytes, at: datetime, person: str
) -> Person:
    """Gives other roles, another PIN, or both; whoever is signed in by this name is signed out.

    Raises:
        UnknownRefused: nobody has the name.
        StateRefused: the PIN is too easily guessed, or this was the last owner.
    """
    with shop.writing() as books:
        known = books.need(Person, name)
        now: dict[str, object] = {"since": at, "wrong_pins": 0, "wrong_since": None, "is_retired": False}
        if roles is not None:
            now["roles"] = " ".join(roles)
        if pin is not None:
            now |= {"pin_salt": salt.hex(), "pin_digest": _new(pin, salt)}
        changed = revised(known, now)
        books.replace([changed])
        _must_have_owner(books, "change the person", known)
        particulars = {"roles": changed.roles, "new_pin": pin is not None}
        books.journal(at=at, person=person, event=Happening.PERSON_CHANGED, subject=name, particulars=particulars)
    return changed


def retire_person(shop: Shop, name: str, *, at: datetime, person: str) -> Person:
    """Somebody works here no more; what they did stays in the journal.

    Raises:
        UnknownRefused: nobody has the name.
        StateRefused: this was the last owner.
    """
    with shop.writing() as books:
        known = books.need(Person, name)
        gone = revised(known, {"since": at, "is_retired": True})
        books.replace([gone])
        _must_have_owner(books, "retire the person", known)
        books.journal(at=at, person=person, event=Happening.PERSON_RETIRED, subject=name)
    return gone


def prove_person(shop: Shop, name: str, pin: str, *, bench: str, at: datetime) -> Person:
    """The person whose badge and PIN these are; a wrong PIN is counted and journalled.

    Raises:
        StateRefused: they don't belong together, or too many wrong ones came before. The sentence and the time that
            it takes are the same whether it was the name or the PIN.
    """
    with shop.reading() as books:
        known = books.get(Person, name) if name.isascii() and name.isprintable() else None
    if known is not None and known.wrong_since is not None:
        since = known.wrong_since
        if known.wrong_pins >= MOST_WRONG and at < since + WAIT:
            expected = f"a wait of {_minutes(since + WAIT - at)} after {MOST_WRONG} wrong PINs"
            raise StateRefused("sign in", name, expected)
    believed = known if known is not None and not known.is_retired else _NOBODY
    if compare_digest(_digest(pin, bytes.fromhex(believed.pin_salt)), believed.pin_digest):
        if believed.wrong_pins:
            with shop.writing() as books:
                books.replace([revised(books.need(Person, name), {"wrong_pins": 0, "wrong_since": None})])
        return believed
    if known is not None:
        with shop.writing() as books:
            known = books.need(Person, name)
            is_old = known.wrong_since is None or at >= known.wrong_since + WAIT
            now = {"wrong_pins": 1, "wrong_since": at} if is_old else {"wrong_pins": known.wrong_pins + 1}
            books.replace([revised(known, now)])
            event = Happening.SIGN_IN_REFUSED
            books.journal(at=at, person=name, event=event, subject=bench, particulars={"bench": bench})
    raise StateRefused("sign in", name, "a badge and its own PIN: scan the badge, type the PIN again")


def _new(pin: str, salt: bytes) -> str:
    """The digest of a PIN that will do."""
    if expected := weak_pin(pin):
        raise StateRefused("set the PIN", "·" * len(pin), expected)
    return _digest(pin, salt)


def _digest(pin: str, salt: bytes) -> str:
    return scrypt(pin.encode(), salt=salt, n=2**14, r=8, p=5, dklen=32).hex()


def _must_have_owner(books: Books, tried: str, was: Person) -> None:
    """Somebody must be able to let people in."""
    if was.may(Role.OWNER) and not any(one.may(Role.OWNER) for one in books.find(Person, is_retired=False)):
        raise StateRefused(tried, was.name, "another owner first: nobody could let people in")


def _minutes(left: timedelta) -> str:
    minutes = -int(-left.total_seconds() // 60)
    return f"{minutes} minute{'' if minutes == 1 else 's'}"
