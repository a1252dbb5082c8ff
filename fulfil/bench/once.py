"""Nothing happens twice: what a station asked for is done once, and asked again it is answered the same.

A station gives each thing that it asks for a *key* of its own making. The key is written in the same transaction as
what was done, so that after a power cut either both are there or neither; the answer follows. A tablet that got no
answer asks again with the same key, and hears what was done.
"""

import re
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta
from hashlib import sha256

from fulfil.errors import StateRefused, StoreRefused
from fulfil.records.bench import StationAnswer
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_KEY = re.compile(r"[A-Za-z0-9_-]{8,40}")
KEPT = timedelta(days=14)
"""How long answers are kept: longer than any tablet waits."""


def once(
    shop: Shop,
    station: str,
    key: str,
    asked: str,
    do: Callable[[Shop], str],
    *,
    at: datetime,
    person: str,
    known: Callable[[], str] = str,
    is_named: bool = True,
) -> tuple[str, bool]:
    """Does what is asked and keeps its answer, or gives the answer that was kept; the answer, and whether it is kept.

    ``do`` is given the shop as this station has it, and gives the answer; whatever it writes is written with the key.
    ``known`` gives the answer as far as it is known at the end of that transaction, so that one commit does for both.
    ``is_named`` says that the journal names the station. An answer that was not kept, since the program stopped just
    then, is empty: what was asked for is done.

    Raises:
        StateRefused: the key is none, or was used for something else.
    """
    if not _KEY.fullmatch(key):
        raise StateRefused("do what has the key", key[:60], "a key of 8 to 40 letters and digits; open the page again")
    asked_digest = sha256(asked.encode()).hexdigest()[:40]
    with shop.reading() as books:
        kept = books.get(StationAnswer, station, key)
    if kept is not None:
        if kept.asked_digest != asked_digest:
            raise StateRefused("do again", asked[:60], "what was asked with this key before; open the page again")
        return kept.answer, True
    record = StationAnswer(station=station, key=key, asked_digest=asked_digest, person=person, at=at)
    noted: list[str] = []

    def note(books: Books) -> None:
        if not noted:
            # Refused where another server was faster: then nothing of this one is written.
            noted.append(known())
            books.add([StationAnswer(**{**record.model_dump(), "answer": noted[0]})])

    answer = do(shop.at_station(station if is_named else "", note))
    if noted and noted[0] == answer:
        return answer, False
    # What was done stays done and is said, even where its answer can't be kept.
    with suppress(StoreRefused), shop.writing() as books:
        faster = None if noted else books.get(StationAnswer, station, key)
        if faster is not None:
            return faster.answer, True
        books.replace([StationAnswer(**{**record.model_dump(), "answer": answer})])
    return answer, False


def forget_old_answers(shop: Shop, *, at: datetime) -> int:
    """Forgets answers that no tablet waits for any more; how many."""
    with shop.writing() as books:
        old = books.between(StationAnswer, "at", None, at - KEPT)
        for one in old:
            books.remove(StationAnswer, station=one.station, key=one.key)
    return len(old)
