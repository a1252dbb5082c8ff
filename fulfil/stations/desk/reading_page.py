"""How another program's files are read, said once at the desk from one of its files; the columns are proposed from it.

What the file doesn't say is asked. Then what would come in is shown, and the reading is kept under the source's or the
carrier's name (``fulfil orders map``, ``fulfil services map``: the same steps). Between two answers the file itself
stays in the page, in a hidden field, so that it is chosen once and this server keeps nothing of it.

Limits: a table (CSV, a workbook) of at most about 3 MB. A column that was taken for the wrong thing is put right by
command (``--column OURS=THEIRS``).
"""

from base64 import b64decode, b64encode
from binascii import Error
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError
from starlette.responses import Response

from fulfil.despatch.bill_mapping import bill_example, keep_bill_mapping, preview_bill
from fulfil.errors import Refusal
from fulfil.files.mapping.bill_proposing import bill_settled
from fulfil.files.mapping.proposing import Question, settled
from fulfil.orders.extras import keep_mapping
from fulfil.orders.previewing import example, preview_orders
from fulfil.records.bench import StationKind
from fulfil.stations.desk.bill_page import says_of_bill
from fulfil.stations.desk.lines import Step, Told, take_line
from fulfil.stations.desk.orders_page import says_of_orders
from fulfil.stations.house import House
from fulfil.stations.posted_file import PostedFile, plain_name, written
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.store.shop import Shop

PATH = "/clerk/reading"
KINDS = {"orders": "orders of a source", "bills": "bills of a carrier"}
_MOST_SHOWN = 3


@dataclass(frozen=True)
class Proposed:
    """What the file shows: (ours, theirs) of each column or setting, what is asked, and columns left unread."""

    found: tuple[tuple[str, str], ...]
    questions: tuple[Question, ...]
    left_alone: tuple[str, ...]


@worked_at(StationKind.CLERK)
def show(house: House, visit: Visit) -> Response:
    """Which file, of whom."""
    return _page(house, visit, Told(), None)


@worked_at(StationKind.CLERK)
def take(house: House, visit: Visit) -> Response:
    """The file looked at, tried with the answers, or its reading kept."""
    file = visit.file or _kept_in_the_page(visit)
    steps = _bills(visit, file) if visit.form.get("kind") == "bills" else _orders(visit, file)
    return _page(house, visit, take_line(house, visit, steps), file)


def _orders(visit: Visit, file: PostedFile | None) -> dict[str, Step]:
    assert visit.worker is not None  # noqa: S101
    at, person, name = visit.at, visit.worker.name, visit.form.get("name", "").strip()

    def learn(shop: Shop, _: str) -> tuple[str, ...]:
        with _read(file) as path:
            return _to_answer(len(example(shop, path, name).questions))

    def tried(shop: Shop, *, keeps: bool) -> tuple[str, ...]:
        with _read(file) as path:
            mapping = settled(example(shop, path, name), _answers(visit))
            if keeps:
                keep_mapping(shop, mapping, at=at, person=person)
            preview = preview_orders(shop, path, mapping, at=at, person=person, most=_MOST_SHOWN)
        says = list(
            _kept(name)
            if keeps
            else says_of_orders(path.name, preview.told, yet="Nothing is taken in, nothing is kept yet.")
        )
        for one in () if keeps else preview.orders:
            goods = "; ".join(f"{pieces} × {part}" for pieces, part, _ in one.lines)
            says.append(f"{one.number}, {one.received_local}: {', '.join(one.label)}; by {one.service}; {goods}")
        return tuple(says)

    return _steps(learn, tried)


def _bills(visit: Visit, file: PostedFile | None) -> dict[str, Step]:
    assert visit.worker is not None  # noqa: S101
    at, person, name = visit.at, visit.worker.name, visit.form.get("name", "").strip()

    def learn(shop: Shop, _: str) -> tuple[str, ...]:
        with _read(file) as path:
            return _to_answer(len(bill_example(shop, path).questions))

    def tried(shop: Shop, *, keeps: bool) -> tuple[str, ...]:
        with _read(file) as path:
            mapping = bill_settled(bill_example(shop, path), _answers(visit))
            if keeps:
                keep_bill_mapping(shop, name, mapping, at=at, person=person)
                return _kept(name)
            return says_of_bill(preview_bill(shop, path, mapping))

    return _steps(learn, tried)


def _steps(learn: Step, tried: Callable[..., tuple[str, ...]]) -> dict[str, Step]:
    return {
        "learn": learn,
        "try": lambda shop, _: tried(shop, keeps=False),
        "keep": lambda shop, _: tried(shop, keeps=True),
    }


def _read(file: PostedFile | None) -> AbstractContextManager[Path]:
    return written(file, "learn how the files are read", "a file: choose one that this program or carrier has sent")


def _to_answer(questions: int) -> tuple[str, ...]:
    if not questions:
        return ("The file says all that is needed: see what would come in, then keep it.",)
    return (f"{questions} question{'' if questions == 1 else 's'} that the file doesn't answer: see below.",)


def _kept(name: str) -> tuple[str, ...]:
    return (f"Kept: from now on files of {name} are read so.", "Nothing of this file is taken in yet.")


def _answers(visit: Visit) -> dict[str, str]:
    """The answers by their questions' names; an empty one is none, so that what is suggested holds."""
    form = visit.form
    asked = {name.removeprefix("question-"): key for name, key in form.items() if name.startswith("question-")}
    return {key: form[f"answer-{n}"] for n, key in asked.items() if form.get(f"answer-{n}", "").strip()}


def _kept_in_the_page(visit: Visit) -> PostedFile | None:
    try:
        content = b64decode(visit.form.get("content", ""), validate=True)
    except (Error, ValueError):
        return None
    return PostedFile(plain_name(visit.form.get("called", "")), content) if content else None


def _proposed(shop: Shop, visit: Visit, file: PostedFile) -> Proposed | None:
    """What the file shows; None where it shows nothing, which the line has said already."""
    try:
        with _read(file) as path:
            if visit.form.get("kind") == "bills":
                bill = bill_example(shop, path)
                found = [
                    *bill.facts.items(),
                    *((f"surcharge {ours}", theirs) for ours, theirs in bill.surcharges.items()),
                ]
                return Proposed(tuple(found), bill.questions, bill.left_alone)
            orders = example(shop, path, visit.form.get("name", "").strip())
            found = [*orders.mapping.columns.items()]
            found += [(ours, f"always: {text}") for ours, text in orders.mapping.fixed.items()]
            return Proposed(tuple(found), orders.questions, orders.left_alone)
    except (Refusal, ValidationError):
        return None


def _page(house: House, visit: Visit, told: Told, file: PostedFile | None) -> Response:
    is_kept = visit.form.get("line", "").startswith("keep ") and not told.is_refused
    proposed = None if file is None or is_kept else _proposed(house.shop, visit, file)
    return shown(
        "reading.html",
        visit,
        told=told,
        proposed=proposed,
        kinds=KINDS,
        kind=visit.form.get("kind") or visit.query.get("kind", "orders"),
        typed={} if is_kept else visit.form,
        answers=_answers(visit),
        content="" if file is None else b64encode(file.content).decode("ascii"),
        called="" if file is None else file.name,
        is_kept=is_kept,
        key=house.fresh(),
    )
