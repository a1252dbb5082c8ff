"""Each rule of the shop stays in its one room: what would be a second door is found by its shape.

Every check reads the source as a tree and is tried on a planted second door, too, so that it is known to fail.
"""

import ast
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = ("orders", "stock", "walks", "counting", "bench", "despatch", "shop")
SOURCE = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for room in (*(f"fulfil/{room}" for room in ROOMS), "cli")
    for path in sorted((ROOT / room).rglob("*.py"))
}

Check = Callable[[str, ast.Module], Iterator[str]]

NEVER_STORED = {
    "fulfil/walks/allocating.py": "a kit's line under a name of its own for one computation, never stored",
    "fulfil/stock/catalogue_bins.py": "10,000 bins of two validated records: validating again costs as much as reading",
}
"""Where a record is copied without validation, and why."""


def calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    """Every call, with the last name of what is called."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            yield name, node


def keywords(call: ast.Call) -> dict[str, ast.expr]:
    """The named arguments."""
    return {one.arg: one.value for one in call.keywords if one.arg}


def holds_text(node: ast.expr) -> bool:
    """Whether a literal text is in an expression that isn't made a member of the closed list."""
    if isinstance(node, ast.Call) and ast.unparse(node.func) == "Happening":
        return False
    return any(isinstance(one, ast.Constant) and isinstance(one.value, str) for one in ast.walk(node))


def unvalidated_changes(path: str, tree: ast.Module) -> Iterator[str]:
    """Records that are changed without validation."""
    for name, call in calls(tree):
        if name in ("model_copy", "model_construct") and path not in NEVER_STORED and (call.args or call.keywords):
            yield f"line {call.lineno}: {name}; use records.revised.revised"


def days_of_other_clocks(path: str, tree: ast.Module) -> Iterator[str]:
    """A day that isn't the shop's own.

    The maker of a paper is told the time on the shop's own clock (``fulfil.shop.asking``), so it may ask its day; so
    may ``shop.clock`` itself, and a day that a person typed.
    """
    if path == "fulfil/shop/clock.py" or path.startswith("cli/"):
        return
    told: set[ast.AST] = set()
    named = set()
    for name, call in calls(tree):
        if name in ("ByNumber", "ByName", "from_books"):
            values = [*call.args, *(one.value for one in call.keywords)]
            named |= {one.id for one in values if isinstance(one, ast.Name)}
            told |= {inner for one in values if isinstance(one, ast.Lambda) for inner in ast.walk(one)}
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name in named:
            told |= set(ast.walk(node))
    for name, call in calls(tree):
        zoned = isinstance(call.func, ast.Attribute) and ast.unparse(call.func.value) in ("local", "_NEVER")
        if name == "date" and isinstance(call.func, ast.Attribute) and not call.args and call not in told and not zoned:
            yield f"line {call.lineno}: {ast.unparse(call)}; use shop.clock.local_day"


def events_by_text(path: str, tree: ast.Module) -> Iterator[str]:
    """Events that are written or looked for by a text instead of ``Happening``."""
    for name, call in calls(tree):
        event = keywords(call).get("event")
        if name in ("find", "count", "journal", "get") and event is not None and holds_text(event):
            yield f"line {call.lineno}: event={ast.unparse(event)}; use records.happening.Happening"
    for node in ast.walk(tree):
        if not isinstance(node, ast.Compare):
            continue
        sides = [node.left, *node.comparators]
        if any(isinstance(one, ast.Attribute) and one.attr == "event" for one in sides) and any(map(holds_text, sides)):
            yield f"line {node.lineno}: {ast.unparse(node)}; use records.happening.Happening"


def own_checkers(path: str, tree: ast.Module) -> Iterator[str]:
    """Who picked a walk, decided anywhere but in ``bench.checkers``; a check that asks nobody."""
    if path == "fulfil/bench/checkers.py":
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and "picker" in ast.unparse(node) and "person" in ast.unparse(node):
            yield f"line {node.lineno}: {ast.unparse(node)}; use bench.checkers.must_not_be_picker"
    for name, call in calls(tree):
        if name == "journal" and "WALK_PICKED" in ast.unparse(call):
            yield f"line {call.lineno}: notes a picker; use bench.checkers.note_within"
        checks = name == "journal" and "BAG_CHECKED" in ast.unparse(call)
        if checks and "must_not_be_picker" not in {called for called, _ in calls(tree)}:
            yield f"line {call.lineno}: writes a check and asks not who picked"


def own_lots(path: str, tree: ast.Module) -> Iterator[str]:
    """One of several lots' unit weights, chosen anywhere but in ``counting.lot_weights``."""
    if path == "fulfil/counting/lot_weights.py":
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript) and "find(UnitWeight" in ast.unparse(node.value):
            yield f"line {node.lineno}: {ast.unparse(node)}; use counting.lot_weights.lot_weight"
    for name, call in calls(tree):
        said = ast.unparse(call)
        if name in ("max", "min", "sorted") and ("sampled_at" in said or ".as_of" in said) and "lot" in said:
            yield f"line {call.lineno}: {said}; use counting.lot_weights.weight_for_lot"


def own_moves(path: str, tree: ast.Module) -> Iterator[str]:
    """Pieces moved in the book of what is owed by anyone but ``orders.moving``."""
    for name, call in calls(tree):
        given = [*call.args, *(one.value for one in call.keywords if one.arg != "stock")]
        is_books = isinstance(call.func, ast.Attribute) and ast.unparse(call.func.value).endswith("books")
        owes = bool(call.args) or "owed" in keywords(call)
        if name == "move" and is_books and owes and given and path != "fulfil/orders/moving.py":
            yield f"line {call.lineno}: {ast.unparse(call)}; use a verb of orders.moving"
        if name == "OwedMove" and path != "fulfil/orders/move_building.py":
            yield f"line {call.lineno}: builds an OwedMove; use a verb of orders.moving"


def twice_named(source: Mapping[str, str]) -> dict[str, list[str]]:
    """Steps (public functions that are told who and when) of one name in two of the shop's rooms."""
    homes = defaultdict(list)
    for path, text in source.items():
        for node in ast.parse(text).body:
            if not isinstance(node, ast.FunctionDef) or node.name.startswith("_") or path.startswith("cli/"):
                continue
            told = {one.arg for one in (*node.args.args, *node.args.kwonlyargs)}
            if {"at", "person"} <= told:
                homes[node.name].append(path)
    return {name: paths for name, paths in homes.items() if len(paths) > 1}


PLANTED: list[tuple[Check, str, str]] = [
    (unvalidated_changes, "fulfil/orders/x.py", 'books.replace([order.model_copy(update={"currency": "zz9"})])'),
    (unvalidated_changes, "fulfil/stock/x.py", "Bin.model_construct(pieces=-1)"),
    (days_of_other_clocks, "fulfil/despatch/x.py", "found = [one for one in claims if one.at.date() >= since]"),
    (days_of_other_clocks, "fulfil/despatch/x.py", "def report(shop, at):\n    return report_day(shop, day=at.date())"),
    (events_by_text, "fulfil/despatch/x.py", 'books.find(JournalEntry, event="order cancelled")'),
    (events_by_text, "fulfil/despatch/x.py", 'gone = [one for one in entries if one.event == "order cancelled"]'),
    (events_by_text, "fulfil/despatch/x.py", 'books.journal(at=at, person=person, event="bag lost", subject=code)'),
    (own_checkers, "cli/bench/x.py", "if picker_of(books, walk) == person:\n    pass"),
    (own_checkers, "fulfil/bench/x.py", "books.journal(at=at, person=person, event=Happening.BAG_CHECKED)"),
    (own_checkers, "fulfil/walks/x.py", "books.journal(at=at, person=person, event=Happening.WALK_PICKED)"),
    (own_lots, "fulfil/despatch/x.py", "weight = books.find(UnitWeight, part_number=number)[0]"),
    (own_lots, "fulfil/walks/x.py", "last = max(weights, key=lambda one: (one.sampled_at, one.lot))"),
    (own_moves, "fulfil/stock/x.py", "books.move(owed, stock, at=at, person=person)"),
    (own_moves, "fulfil/stock/x.py", "OwedMove(pieces=1)"),
]
CHECKS = list(dict.fromkeys(check for check, _, _ in PLANTED))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_a_rule_has_one_door(check: Check) -> None:
    """Nothing of its shape stands outside its room."""
    found = {path: list(check(path, ast.parse(text))) for path, text in SOURCE.items()}

    assert len(found) > 100
    assert {path: said for path, said in found.items() if said} == {}


@pytest.mark.parametrize(("check", "path", "code"), PLANTED)
def test_a_planted_second_door_is_found(check: Check, path: str, code: str) -> None:
    """The check can fail."""
    assert list(check(path, ast.parse(code)))


def test_a_step_has_one_name_and_one_home() -> None:
    """Two functions of one name in two rooms have two sets of rules; a planted second one is found."""
    planted = {"fulfil/despatch/x.py": "def change_service(books, order, *, at, person): ..."}

    assert twice_named(SOURCE) == {}
    assert "change_service" in twice_named(SOURCE | planted)


def test_every_exception_is_still_needed() -> None:
    """A file that copies nothing any more is taken off the list."""
    assert {path for path in NEVER_STORED if "model_copy(update" not in SOURCE[path]} == set()
