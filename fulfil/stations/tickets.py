"""Tickets: what a browser shows of who is signed in, signed by the shop (HMAC-SHA-256, RFC 2104 and FIPS 180-4).

A ticket names no person: it is a random text that the station's record knows by its digest. Signed with it are the
station, so that a ticket is good at one device only, and the second at which it was last shown, for the time-out.

>>> signed = sign(b"key", "check-1", "t1", seen_s=100)
>>> read(b"key", "check-1", signed, now_s=130, idle_s=60), read(b"key", "check-2", signed, now_s=130, idle_s=60)
('t1', '')
>>> read(b"key", "check-1", signed, now_s=161, idle_s=60), read(b"key", "check-1", signed + "x", now_s=130, idle_s=60)
('', '')
"""

from hashlib import sha256
from hmac import compare_digest
from hmac import digest as hmac_digest


def sign(key: bytes, station: str, ticket: str, *, seen_s: int) -> str:
    """The ticket as the browser keeps it."""
    return f"{ticket}.{seen_s}.{_signature(key, station, ticket, str(seen_s))}"


def read(key: bytes, station: str, signed: str, *, now_s: int, idle_s: int) -> str:
    """The ticket; empty where it was made by somebody else, for another station, or shown too long ago."""
    ticket, _, rest = signed.partition(".")
    seen, _, signature = rest.partition(".")
    if not ticket or not seen.isdecimal() or not seen.isascii() or not signature.isascii():
        return ""
    if not compare_digest(signature, _signature(key, station, ticket, seen)):
        return ""
    return ticket if 0 <= now_s - int(seen) <= idle_s else ""


def _signature(key: bytes, station: str, ticket: str, seen: str) -> str:
    return hmac_digest(key, "\n".join((station, ticket, seen)).encode(), sha256).hex()
