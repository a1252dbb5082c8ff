"""``fulfil shop``: make a shop, guide its first evening, say what is missing, hold its books against their moves."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fulfil.errors import FileRefused, StoreRefused

from .frame import Answer, Ask, Noun, command, listed, table

if TYPE_CHECKING:
    from fulfil.stock.starting.evening import Evening
    from fulfil.store.shop import Shop


@click.group(cls=Noun)
def shop() -> None:
    """Make a shop, guide its first evening, say what is missing, bring it up to this release."""


@command(shop, "create", "fulfil shop create --shop my-shop.sqlite")
def create(ask: Ask) -> Answer:
    """Makes an empty shop: one database file, or any SQLAlchemy URL."""
    with ask.shop(create=True):
        pass
    return Answer([f"Shop {ask.where} is ready. Next: fulfil catalogue import FOLDER."], {"shop": ask.where})


@command(shop, "upgrade", "fulfil shop upgrade --shop my-shop.sqlite")
def upgrade(ask: Ask) -> Answer:
    """Brings a shop made by an older release up to this one; a backup is made first."""
    from fulfil.store.shop import upgrade_shop

    upgrade_shop(ask.where)
    return Answer([f"Shop {ask.where} fits this release."], {"shop": ask.where})


@command(shop, "backup", "fulfil shop backup --out /mnt/stick/backups")
@click.option(
    "--out",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="The folder; else 'backups' beside the shop. Another disk is better.",
)
@click.option("--keep", type=click.IntRange(1, 10_000), default=14, show_default=True, help="Older ones are removed.")
def backup(ask: Ask, folder: Path | None, keep: int) -> Answer:
    """Copies the shop while everybody works, opens the copy and checks it; thins out older copies."""
    from fulfil.orders.verify import alterations
    from fulfil.store.safe.copies import back_up
    from fulfil.store.shop import open_shop

    path = _file_of(ask)
    made = back_up(path, folder or path.parent / "backups", at=ask.at, keep=keep)
    with open_shop(made.path) as copy, copy.reading() as books:
        found = [*alterations(books)]
    lines = [
        f"{made.path}, opened and checked: {made.bytes_:,} bytes.",
        *[f"removed {path}" for path in made.removed],
        *(
            ["The record in it was altered; keep older copies, and run fulfil shop verify:", *listed(found)]
            if found
            else []
        ),
        *([] if folder else ["It is on the same disk as the shop: copy it to another one, too."]),
    ]
    facts = {"backup": str(made.path), "bytes": made.bytes_, "removed": [str(path) for path in made.removed],
             "findings": [one.as_dict() for one in found]}  # fmt: skip
    return Answer(lines, facts, must_act=bool(found))


@command(shop, "restore", "fulfil shop restore backups/my-shop-20260302T180000Z.sqlite --shop my-shop.sqlite")
@click.argument("backup_file", metavar="BACKUP", type=click.Path(path_type=Path, dir_okay=False))
def restore_(ask: Ask, backup_file: Path) -> Answer:
    """Makes a shop of a backup; it writes over nothing, so move a damaged shop aside first."""
    from fulfil.store.safe.copies import restore

    made = restore(backup_file, _file_of(ask))
    with ask.shop():
        pass
    when = f"; enter again what was done after {made.last_recorded} UTC" if made.last_recorded else ""
    lines = [f"Shop {made.path} is as it was in {backup_file.name}{when}.", "Next: fulfil shop verify."]
    return Answer(lines, {"shop": str(made.path), "last_recorded": made.last_recorded})


@command(shop, "export", "fulfil shop export my-shop.zip")
@click.argument("archive", metavar="ARCHIVE", type=click.Path(path_type=Path, dir_okay=False))
def export(ask: Ask, archive: Path) -> Answer:
    """Writes the whole shop as an open archive (JSON lines in a zip), for another store, machine or release."""
    from fulfil.store.safe.archive import export_shop

    made = export_shop(ask.needed(), archive)
    lines = [
        f"{made.path}: {made.rows:,} rows of {made.tables} tables, migration {made.migration}.",
        "It holds the customers' names and addresses: keep it as you keep the shop.",
        f"To make a shop of it: fulfil shop import {made.path} --shop NEW-PLACE",
    ]
    return Answer(lines, {"archive": str(made.path), "rows": made.rows, "migration": made.migration})


@command(shop, "import", "fulfil shop import my-shop.zip --shop postgresql+psycopg://host/shop", has_dry_run=True)
@click.argument("archive", metavar="ARCHIVE", type=click.Path(path_type=Path, dir_okay=False))
def import_(ask: Ask, archive: Path) -> Answer:
    """Makes a shop of an archive where none is yet, whole or not at all, and recomputes its books and seals."""
    from fulfil.orders.verify import verify_shop
    from fulfil.store.safe.archive import import_shop

    made = import_shop(archive, ask.needed())
    with ask.shop() as opened:
        found = verify_shop(opened)
    says = "Both books add up; nothing recorded was altered." if not found else "It is not right in itself:"
    lines = [f"The shop has its {made.rows:,} rows of {made.tables} tables. {says}", *listed(found)]
    facts = {"rows": made.rows, "migration": made.migration, "findings": [one.as_dict() for one in found]}
    return Answer(lines, facts, must_act=bool(found))


@command(shop, "roles", "fulfil shop roles | psql shop")
def roles(ask: Ask) -> Answer:
    """Prints the rights of bench and clerk on PostgreSQL, for its owner: nobody writes over what was recorded."""
    from fulfil.store.safe.roles import roles_sql

    says = roles_sql()
    return Answer(says.splitlines(), {"sql": says})


def _file_of(ask: Ask) -> Path:
    if "://" in ask.needed():
        raise StoreRefused(
            "copy the shop", ask.where.split("@")[-1], "an SQLite file; of a server's shop: fulfil shop export ARCHIVE"
        )
    return Path(ask.where)


@command(shop, "verify", "fulfil shop verify")
@click.option("--seal", "head", default="", help="The seal on an earlier day report: is it still in the record?")
def verify(ask: Ask, head: str) -> Answer:
    """Recomputes both books of pieces and the seals of what was recorded, names every difference; changes nothing."""
    from fulfil.orders.verify import verify_shop

    with ask.shop() as opened:
        found = verify_shop(opened, "".join(head.split()))
        with opened.reading() as books:
            steps, digest = books.head()
    says = "Both books add up: every piece has one place; nothing recorded was altered."
    lines = [f"{len(found)} differences:" if found else says, *listed(found), f"Seal {digest[:16]}, step {steps}."]
    facts = {"findings": [one.as_dict() for one in found], "steps": steps, "seal": digest}
    return Answer(lines, facts, must_act=bool(found))


@command(shop, "start", "fulfil shop start my-catalogue --shop my-shop.sqlite")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.option(
    "--answers", type=click.File(encoding="utf-8"), default=None, help="'question: answer' lines; - reads them."
)
def start(ask: Ask, folder: Path, answers: Any) -> Answer:
    """Guides the first evening: address, scales, bags, boxes, services, room, first parts; writes FOLDER, imports it.

    The CSV files in FOLDER stay the source: edit them and import again. A file that is there is not asked about. `<`
    goes one answer back; after Ctrl-C the same command goes on where it stopped.
    """
    from fulfil.records.draft import Draft
    from fulfil.shop.conversation import Conversation
    from fulfil.shop.drafts import START, keep_draft
    from fulfil.stock.starting.evening import evening_script

    from .talking import Ended, talk

    with ask.shop(create=True) as shop:
        with shop.reading() as books:
            draft = books.get(Draft, START)
        said = {} if draft is None else draft.answers
        if answers is not None:
            said |= _lines(answers)
        talked: Conversation[Evening] = Conversation(lambda: evening_script(folder), said)

        def keep(given: Mapping[str, str]) -> None:
            keep_draft(shop, START, given, source=folder.name, at=ask.at, person=ask.person)

        if answers is not None:
            evening, faults = talked.at_once()
            if evening is None:
                keep(talked.answers)
                lines = [f"  {key}{f' {text!r}' if text else ''}: {why}" for key, text, why in faults]
                found = [{"question": key, "answer": text, "says": why} for key, text, why in faults]
                return Answer(["Nothing was written. Correct these answers:", *lines], {"faults": found}, must_act=True)
            return _written(ask, shop, folder, evening)
        try:
            talk(talked, keep)
        except Ended:
            return Answer(
                ["Nothing is written yet. Go on: fulfil shop start " + str(folder)], {"files": []}, must_act=True
            )
        assert talked.result is not None  # noqa: S101 - the talk came to its end
        return _written(ask, shop, folder, talked.result)


def _written(ask: Ask, opened: "Shop", folder: Path, evening: "Evening") -> Answer:
    """The files, the drawing, the import, and what is missing now."""
    from fulfil.records.draft import Draft
    from fulfil.shop.drafts import START, drop_draft
    from fulfil.stock.catalogue import import_catalogue
    from fulfil.stock.starting.evening import missing_after
    from fulfil.walks.drawings import draw_room
    from fulfil.walks.room_check import check_folder

    written = evening.write(folder)
    with opened.reading() as books:
        has_draft = books.get(Draft, START) is not None
    if has_draft:
        drop_draft(opened, START)
    lines = [f"written {path}" for path in written]
    facts: dict[str, Any] = {"files": [str(path) for path in written], "notes": list(evening.notes)}
    if missing := missing_after(folder):
        lines.append(f"Still to come in {folder}: {', '.join(missing)}. Then: fulfil catalogue import {folder}")
        return Answer(lines, facts | {"missing": list(missing)}, must_act=True)
    done = import_catalogue(opened, folder, at=ask.at, person=ask.person)
    facts["findings"] = [finding.as_dict() for finding in done.findings]
    if done.findings:
        lines += ["Nothing was imported. Correct these, then: fulfil catalogue import " + str(folder)]
        return Answer([*lines, *listed(done.findings)], facts, must_act=True)
    with opened.reading() as books:
        settings = books.settings()
    room = check_folder(folder)
    if room.floor is not None:
        drawing = draw_room(
            room.floor, folder / "room.pdf", settings=settings, day=ask.day(opened), bins=len(room.bins), findings=0
        )
        lines.append(f"drawn {drawing}: each part is in the bin that bins.csv says; put it there, or change the file")
        facts["drawing"] = str(drawing)
    lines += [f"Note: {note}." for note in done.notes]
    checked = check_answer(opened)
    return Answer([*lines, "", *checked.lines], facts | checked.facts, must_act=False)


def check_answer(opened: "Shop") -> Answer:
    """What works and what is missing, step by step."""
    from fulfil.despatch.first_day import first_day

    with opened.reading() as books:
        steps = first_day(books)
    rows = []
    for step in steps:
        rows.append((step.state, f"{step.name}{f': {step.has}' if step.has else ''}"))
        rows += [("", f"- {lack}") for lack in step.lacks]
    lines = table(rows, ("state", "step"))
    waits = [step for step in steps if step.state == "waits"]
    facts = {
        "steps": [
            {"step": step.name, "state": step.state, "has": step.has,
             "lacks": [{"says": lack.says, "without": lack.without, "do": lack.do} for lack in step.lacks]}
            for step in steps
        ]
    }  # fmt: skip
    return Answer(lines, facts, must_act=bool(waits))


@command(shop, "check", "fulfil shop check")
def check(ask: Ask) -> Answer:
    """Says for each step of the day, in its order, whether it works already, and what is missing for it."""
    with ask.shop() as opened:
        return check_answer(opened)


def _lines(file: Any) -> dict[str, str]:
    """``question: answer`` lines; empty ones and those that begin with # are passed over."""
    said: dict[str, str] = {}
    for number, line in enumerate(file, start=1):
        text = line.strip()
        if not text or text.startswith("#"):
            continue
        key, colon, answer = text.partition(":")
        if not colon:
            raise FileRefused("read the answers", f"line {number}", f"'question: answer', got '{text[:60]}'")
        said[" ".join(key.casefold().split())] = answer.strip()
    return said
