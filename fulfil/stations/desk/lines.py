"""A line from a desk's page: done once by its key, and what it came to in sentences."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256

from pydantic import ValidationError

from fulfil.bench.once import once
from fulfil.errors import RecordRefused, Refusal, StateRefused
from fulfil.records.revised import not_taken
from fulfil.stations.house import House
from fulfil.stations.visit import Visit
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Told:
    """What a line came to; ``is_refused``: nothing was done."""

    says: tuple[str, ...] = ()
    is_refused: bool = False


Step = Callable[[Shop, str], tuple[str, ...]]
"""Does what a verb says about something, and gives sentences."""


def take_line(house: House, visit: Visit, steps: dict[str, Step]) -> Told:
    """Has the step of the line's verb done, once for each key; a file that came along is part of what was asked."""
    assert visit.station is not None  # noqa: S101
    assert visit.worker is not None  # noqa: S101
    line, key = visit.form.get("line", "").strip(), visit.form.get("key", "")
    verb, _, about = line.partition(" ")
    said = visit.form if visit.file is None else {**visit.form, "file": sha256(visit.file.content).hexdigest()}
    asked = "\n".join(f"{name}={value}" for name, value in sorted(said.items()) if name not in ("key", "pin"))
    try:
        if verb not in steps:
            raise StateRefused("do", line[:60], "what a button of this page says; open the page again")
        answer, _ = once(
            house.shop,
            visit.station.name,
            key,
            asked,
            lambda shop: json.dumps(steps[verb](shop, about.strip())),
            at=visit.at,
            person=visit.worker.name,
        )
    except Refusal as refusal:
        return Told((str(refusal),), is_refused=True)
    except ValidationError as trouble:
        refused = not_taken(trouble)
        shown = RecordRefused(refused.attempted, str(refused.value)[:60], refused.expected)
        return Told((str(shown),), is_refused=True)
    return Told(tuple(json.loads(answer)) if answer else ("That was done already.",))
