"""People, their PINs and roles: what is kept, what is refused, who is last."""

from hashlib import scrypt

import pytest
from pydantic import ValidationError

from fulfil.bench.people import add_person, change_person, prove_person, retire_person
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.records.bench import Person, Role
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.store.shop import open_shop
from tests.bench_shop import AT

SALT = b"0123456789abcdef"


@pytest.fixture
def shop(tmp_path):
    """An empty shop with its owner."""
    with open_shop(tmp_path / "shop.sqlite", create=True) as shop:
        add_person(shop, "mara", [Role.OWNER], "5829", salt=SALT, at=AT, person="start")
        yield shop


def test_scrypt_is_the_published_one():
    """RFC 7914, section 12, the third test vector: "pleaseletmein" with "SodiumChloride", N 16384, r 8, p 1."""
    derived = scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1, dklen=64)

    assert derived.hex().startswith("7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2")


def test_a_person_is_kept_without_the_pin(shop):
    """Its digest with a salt; the journal has neither."""
    add_person(shop, "anna", [Role.PACK, Role.CHECK], "4071", salt=SALT, at=AT, person="mara")
    with shop.reading() as books:
        anna = books.need(Person, "anna")
        journal = "".join(entry.particulars + entry.subject for entry in books.find(JournalEntry))

    assert anna.roles == "check pack"
    assert anna.pin_digest == scrypt(b"4071", salt=SALT, n=2**14, r=8, p=5, dklen=32).hex()
    assert "4071" not in journal + anna.model_dump_json()
    assert anna.pin_digest not in journal
    assert prove_person(shop, "anna", "4071", bench="check-1", at=AT) == anna


@pytest.mark.parametrize("pin", ["", "123", "1234", "98765", "0000", "123456789", "12a4", "٤٠٧١", "40 71"])
def test_a_pin_that_is_guessed_first_or_none_is_refused(shop, pin):
    """And the sentence doesn't say it again."""
    with pytest.raises(StateRefused) as refused:
        add_person(shop, "anna", [Role.CHECK], pin, salt=SALT, at=AT, person="mara")
    assert not pin or pin not in str(refused.value)
    with shop.reading() as books:
        assert books.get(Person, "anna") is None


def test_a_name_is_one_persons_and_the_last_owner_stays(shop):
    """Who is retired may come back; nobody locks the shop."""
    with pytest.raises(StateRefused, match="a name that nobody here has"):
        add_person(shop, "mara", [Role.PICK], "4071", salt=SALT, at=AT, person="mara")
    with pytest.raises(StateRefused, match="another owner first"):
        retire_person(shop, "mara", at=AT, person="mara")
    with pytest.raises(StateRefused, match="another owner first"):
        change_person(shop, "mara", roles=[Role.CLERK], pin=None, salt=SALT, at=AT, person="mara")
    with pytest.raises(UnknownRefused):
        retire_person(shop, "nobody", at=AT, person="mara")
    add_person(shop, "anna", [Role.OWNER], "4071", salt=SALT, at=AT, person="mara")
    retire_person(shop, "mara", at=AT, person="anna")
    with pytest.raises(StateRefused, match="a badge and its own PIN"):
        prove_person(shop, "mara", "5829", bench="check-1", at=AT)
    add_person(shop, "mara", [Role.PICK], "7035", salt=SALT, at=AT, person="anna")
    assert prove_person(shop, "mara", "7035", bench="check-1", at=AT).may(Role.PICK)


def test_a_role_that_is_none_is_refused():
    """As is nobody's."""
    for roles in ("", "boss"):
        with pytest.raises(ValidationError):
            Person(name="x", roles=roles, pin_salt="", pin_digest="", since=AT)
