"""What the journal's entries say in plain words: who, then a verb, then what it was done to.

>>> from datetime import UTC, datetime
>>> at = datetime(2026, 3, 2, 8, tzinfo=UTC)
>>> said = '{"lines": 3, "pieces": 20, "source": "web"}'
>>> in_words(JournalEntry(at=at, person="ann", event="order received", subject="A-1", particulars=said))
'took in order A-1 from web: 3 lines, 20 pieces'

An entry of a kind that has no words here, or that lacks what its words name, is told as it stands:

>>> in_words(JournalEntry(at=at, person="ann", event="lamp changed", subject="aisle 3", particulars='{"watt": 7}'))
'lamp changed: aisle 3 (watt 7)'
"""

import json
from collections.abc import Callable, Mapping
from typing import Any

from fulfil.records.despatch.dispatch import JournalEntry

Said = Mapping[str, Any]


def in_words(entry: JournalEntry) -> str:
    """The entry as a sentence without its person and time."""
    said: dict[str, Any] = json.loads(entry.particulars)
    station = said.pop("station", "")
    words = WORDS.get(entry.event)
    try:
        says = None if words is None else words(said | {"it": entry.subject})
    except (KeyError, TypeError, ValueError, AttributeError, IndexError):
        says = None
    if says is None:
        says = f"{entry.event}: {entry.subject}{_rest(said)}"
    if station and said.get("bench") != station:
        says = f"{says}, at {station}"
    return f"{says} (simulated)" if entry.is_simulated else says


def _rest(said: Said) -> str:
    shown = [f"{name} {_shown(value)}" for name, value in said.items() if value not in ("", None, [], {})]
    return f" ({'; '.join(shown)})" if shown else ""


def _shown(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_shown, value))
    if isinstance(value, dict):
        return ", ".join(f"{name} {_shown(one)}" for name, one in value.items())
    return str(value)


def _words(pattern: str) -> Callable[[Said], str]:
    """A sentence with places for what the entry says; a list is told with commas."""
    return lambda said: pattern.format_map({name: _shown(value) for name, value in said.items()})


def _why(pattern: str, name: str = "reason") -> Callable[[Said], str]:
    """A sentence, and after it a reason where one was given."""
    return lambda said: _words(pattern)(said) + (f": {said[name]}" if said.get(name) else "")


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _received(said: Said) -> str:
    counts = f"{_many(said['lines'], 'line')}, {_many(said['pieces'], 'piece')}"
    return f"took in order {said['it']} from {said['source']}: {counts}"


def _order_changed(said: Said) -> str:
    changes = []
    if "address" in said:
        changes.append(f"address ({_shown(said['address'])})" if said["address"] else "address (nothing new)")
    if "service" in said:
        changes.append("service from {} to {}".format(*said["service"]))
    if "notes" in said:
        changes.append("notes")
    for line_no, (before, now) in said.get("lines", {}).items():
        changes.append(f"line {line_no} from {before} to {now}")
    if not changes and said.keys() - {"it", "reason", "lines"}:
        raise KeyError(said["it"])
    why = f": {said['reason']}" if said.get("reason") else ""
    return f"changed order {said['it']}, {', '.join(changes) or 'nothing of its lines'}{why}"


def _checked(said: Said) -> str:
    causes = f" {said['causes'][0]}" if said.get("causes") else ""
    why = f" ({said['reason']})" if said.get("reason") else ""
    return f"checked bag {said['it']}: {said['verdict']}{why}.{causes}".removesuffix(".")


def _weighed(said: Said) -> str:
    found = f"; {'; '.join(said['findings'])}" if said.get("findings") else ""
    why = f" ({said['reason']})" if said.get("reason") else ""
    return f"weighed package {said['it']}: {said['verdict']}{why}{found}"


def _stock(verb: str) -> Callable[[Said], str]:
    return lambda said: (
        f"{verb} bin {said['it']}: {said['before']} before, {said['after']} now"
        + (f" ({said['why']})" if said["why"] else "")
    )


def _bin_counted(said: Said) -> str:
    if "counted" in said:
        why = f" ({said['reason']})" if said.get("reason") else ""
        return f"counted bin {said['it']}: {said['book']} in the books, {said['counted']} counted{why}"
    between = f"{said['pieces']} pieces ({said['lower']} to {said['upper']})"
    return f"weighed bin {said['it']}: {between}, booked {said['booked']:+}"


def _changed(noun: str, verb: str) -> Callable[[Said], str]:
    def words(said: Said) -> str:
        cells = [f"{name} {before or 'empty'} → {now or 'empty'}" if verb == "changed" else f"{name} {now}"
                 for name, (before, now) in ((name, pair) for name, pair in said.items() if name != "it")]  # fmt: skip
        return f"{verb} {noun} {said['it']}: {', '.join(cells)}"

    return words


def _imported(said: Said) -> str:
    kinds = {name: one for name, one in said.items() if isinstance(one, dict) and any(one.values())}
    counts = [f"{name} ({', '.join(f'{n} {what}' for what, n in one.items() if n)})" for name, one in kinds.items()]
    counted = ", with a count of every bin" if said.get("with_stock") else ""
    return f"imported the catalogue {said['folder']}{counted}: {', '.join(counts)}"


WORDS: dict[str, Callable[[Said], str]] = {
    "order received": _received,
    "order changed": _order_changed,
    "order held": _why("held order {it}"),
    "order resumed": _words("let order {it} go on; it is {to}"),
    "order cancelled": _why("cancelled order {it}"),
    "order shipped": _why("cancelled what was still owed of order {it}"),
    "order rushed": _words("sent order {it} out in a rush on walks {walks}"),
    "order taken": _words("took order {it} in hand at bench {bench}"),
    "order let go": _words("let order {it} go at bench {bench}"),
    "order freed": _why("freed order {it} from bench {benches}"),
    "orders combined": _words("put orders {from} into order {it}"),
    "service changed": _why("changed the service of order {it} from {from} to {to}"),
    "numbers issued": _words("issued numbers for order {it}: {numbers}"),
    "return matched": _words("found {pieces} pieces of {by} on order {it}"),
    "walks planned": _words("planned the walks of {it}: {walks} walks, {bags} bags"),
    "plan bounded": _words("proved how good the plan of {it} is"),
    "walk released": _words("released walk {it} with orders {orders}"),
    "walk begun": _words("began walk {it}"),
    "walk ended": _words("ended walk {it}"),
    "walk handed over": _words("took walk {it} over from {from}"),
    "walk split": _words("split walk {from} after stop {after_stop}; its bags {bags} are on walk {it}"),
    "walk picked": _words("picked walk {it}"),
    "walk at bench": _words("took walk {it} to bench {bench}"),
    "bag filled": _words("filled bag {it} from bin {bin} on walk {walk}"),
    "bag not filled": _words("said that bag {it} on walk {walk} is not filled after all"),
    "bag checked": _checked,
    "check undone": _words("took back the check of bag {it}, which was {was}"),
    "bag left empty": _words("left bag {it} of order {order} empty: bin {bin} lacks its {pieces} pieces"),
    "bag there twice": _words("found bag {it} a second time"),
    "bag put aside": _words("put bag {it} aside"),
    "bag pulled": _why("pulled bag {it} of order {order}, {pieces} pieces"),
    "bag put back": _words("put {pieces} pieces of bag {it} back into bin {bin}"),
    "bag boxed": _words("put bag {it} into its box"),
    "bag unboxed": _words("took bag {it} out of its box"),
    "boxes chosen": _words("chose boxes for order {it}: packages {packages}"),
    "boxes undone": _words("took back the boxes of order {it}: packages {packages}"),
    "empty box weighed": _why("weighed the empty box of package {it}: {weight_g} g"),
    "empty box's weight taken back": _words("took back the empty box's weight of package {it}, {weight_g} g"),
    "package sealed": lambda said: _weighed(said).replace("weighed", "sealed", 1),
    "package weighed": _weighed,
    "package reopened": _why("opened package {it} again"),
    "package voided": _why("voided package {it}, replaced by {replaced_by}"),
    "package came back": _why("took package {it} back and apart"),
    "papers printed": _words("printed the papers of {packages} packages: orders {orders}"),
    "customs papers waived": _why("closed manifest {it} without the customs papers of {packages}"),
    "carrier's numbers noted": _words("noted carrier's numbers, {it}: {numbers}"),
    "hazards reviewed": _why("reviewed the hazards of package {it} ({hazards})"),
    "manifest opened": _words("opened manifest {it}"),
    "manifest closed": _words("closed manifest {it}: {packages} packages, {weight_g} g"),
    "claim received": _words("took down claim {it} on order {order}, line {line}: {cause}, {pieces} pieces"),
    "claim settled": _why("settled claim {it}", "answer"),
    "claim open again": _why("opened claim {it} again, its order {order} was cancelled", "reason"),
    "pieces returned": _why("took {pieces} of {part} back from order {order} ({it}), {outcome}"),
    "job made": _why("asked for {pieces} of {part}, job {it}"),
    "job booked in": _words("booked {pieces} pieces of job {it} into bin {bin}"),
    "job closed": _why("closed job {it}"),
    "stock counted": _stock("counted"),
    "stock adjusted": _stock("adjusted"),
    "stock received": _stock("received into"),
    "stock rejected": _stock("rejected pieces of"),
    "stock moved": _why("carried {pieces} pieces from bin {it} to bin {to}", "why"),
    "bin counted": _bin_counted,
    "goods in": _words("weighed {pieces} pieces ({lower} to {upper}) into bin {it}"),
    "bin lacks pieces": _words("said that bin {it} lacks pieces: {was} by the books, {level} there"),
    "bin added": _changed("bin", "added"),
    "bin changed": _changed("bin", "changed"),
    "bin retired": lambda said: f"retired bin {said['it']}{_rest({k: v for k, v in said.items() if k != 'it'})}",
    "part added": _changed("part", "added"),
    "part changed": _changed("part", "changed"),
    "service added": _changed("service", "added"),
    "service terms changed": _changed("service", "changed"),
    "printer set": _words("said of printer {it}: {dpi} dpi, {media}, gets {papers}, {language}, to {sends_to}"),
    "printer retired": _words("took printer {it} out of use"),
    "scale added": _changed("scale", "added"),
    "scale changed": _changed("scale", "changed"),
    "sample set aside": _why("set aside a sample of part {it}: {contradictions}"),
    "no whole number": _words("weighed bin {it} and booked nothing: {net_g} g is no whole number of pieces"),
    "part sampled": _words("sampled part {it}: {pieces} pieces, {mean_g} g each"),
    "scale alarm acted on": _why("said what was done about scale {it}, off since {since}"),
    "goods alarm acted on": _why("said what was done about {kind} {it}, off since {since}"),
    "unit weights learned": _words("learned {unit_weights} unit weights from {weighings} weighings of {it}"),
    "scale checked": _words("checked scale {it}: {verdict}"),
    "catalogue imported": _imported,
    "kits imported": _words("imported kits {kits}"),
    "kit set": _words("said what kit {it} is made of: {parts}"),
    "mapping kept": _words("kept how files of {it} are read"),
    # Entries of older releases name the country as it was said in their subject.
    "country explained": lambda said: _words("said that the country {said} is {country}")(
        {"said": said["it"]} | {**said}
    ),
    "customers forgotten": _words("forgot the customers of {orders} orders and {returns} returns before {before}"),
    "customs particulars noted": lambda said: f"noted for customs what order {said['it']} is besides its goods",
    "SDR rate entered": _words("entered the SDR rate {it}: {per_sdr}"),
    "range given": _words("took in the range of numbers {it}"),
    "bill taken in": _words("took in the bill {it}: {lines} lines"),
    "difference settled": _why("said of difference {it} ({says}) that it is {outcome}"),
    "closing agreed": _words("agreed with {with} to close {it}"),
    "day closed": _words("closed the day {it}: {shipped} of {ordered} pieces shipped, {packages} packages"),
    "signed in": _words("signed in at bench {bench}"),
    "signed out": _words("signed out at {bench}"),
    "sign-in refused": _words("was refused at {bench}: badge and PIN did not belong together"),
    "person added": _words("let {it} work here: {roles}"),
    "person changed": lambda said: (
        f"said that {said['it']} may {said['roles']}" + (", with a new PIN" if said["new_pin"] else "")
    ),
    "person retired": _words("said that {it} works here no more"),
    "station added": _words("set up station {it}: {kind}"),
    "station paired": _words("gave station {it} to a device"),
    "station retired": _words("took station {it} out of use"),
}
"""The words for each kind of entry."""
