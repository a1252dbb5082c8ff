"""A schedule of walks in words and as facts: who goes what when, then what each service has to expect.

>>> in_hundred(0.004), in_hundred(0.5), in_hundred(0.998)
('under 1 %', '50 %', 'over 99 %')
"""

from datetime import datetime
from typing import TYPE_CHECKING, Any

from ..frame import table

if TYPE_CHECKING:
    from fulfil.walks.waves import Foreseen, Help, Schedule


def in_hundred(chance: float) -> str:
    """A chance as a person reads it; never quite 0 or 100 %, which nobody can know."""
    if chance < 0.01:
        return "under 1 %"
    return "over 99 %" if chance > 0.99 else f"{chance:.0%}".replace("%", " %")


def schedule_lines(done: "Schedule", *, could_begin_earlier: bool) -> list[str]:
    """What people read."""
    shared = done.waves.shared
    if not shared.turns:
        return ["No walk is open."]
    rows = []
    for turn in shared.turns:
        hands = done.hands.get(turn.walk)
        service = f"{_when(done, done.cut_offs[turn.walk])} {done.services[turn.walk].name}"
        late = f"{-(-turn.late_s // 60)} min late" if turn.late_s else f"{(turn.spare_s or 0) // 60} min to spare"
        begins = f"{hands.person} is out" if hands else _when(done, done.at(turn.begins_s))
        rows.append((turn.picker, turn.walk, begins, _when(done, done.at(turn.ends_s)), service, late))
    lines = table(rows, ("picker", "walk", "begins", "ends", "cut-off", ""))
    ends, bound = (_when(done, done.at(seconds)) for seconds in (shared.ends_s, shared.bound_s))
    lines += [f"All is walked at {ends}; no way to share it out ends before {bound}."]
    lines += _remedy_lines(done, could_begin_earlier=could_begin_earlier)
    lines.append("")
    for one in done.foreseen:
        lines += _service_lines(done, one)
    return lines


def _remedy_lines(done: "Schedule", *, could_begin_earlier: bool) -> list[str]:
    remedy = done.waves.remedy
    if remedy is None:
        return []
    late = len(done.waves.shared.late)
    lines = [f"{late} walk{' is' if late == 1 else 's are'} late even if each takes just its likely time."]
    if remedy.pickers is not None:
        lines.append(f"  {remedy.pickers} pickers instead of {done.pickers} would be in time.")
    if could_begin_earlier:
        lines.append(f"  Everyone beginning {-(-remedy.begin_earlier_s // 60)} min earlier would be in time.")
    if remedy.too_long:
        lines.append(f"  No number of pickers can save {', '.join(remedy.too_long)}: longer than there is time.")
    return lines


def _service_lines(done: "Schedule", one: "Foreseen") -> list[str]:
    limit, likely = done.must_end[one.service], _when(done, done.at(one.likely_s))
    says = (
        f"{done.names[one.service]}: walks must end by {_when(done, limit)}; they likely end by {likely},"
        f" 9 times in 10 by {_when(done, done.at(one.nine_in_ten_s))}."
    )
    chance = in_hundred(one.chance_late)
    if not one.is_at_risk:
        return [f"{says} Chance to be late: {chance}."]
    helps = [f"  {_help_words(help)}: {in_hundred(help.chance_late)}." for help in one.helps]
    helps = helps or ["  Neither one picker more, nor another order of the walks, nor one in two would help."]
    return [says, f"  AT RISK. Chance to be late: {chance}.", *helps]


def _help_words(help: "Help") -> str:
    if not help.walk:
        return "With one picker more"
    return f"With walk {help.walk} {help.kind.removeprefix('this walk ')}"


def _when(done: "Schedule", at: datetime) -> str:
    """The time of day; with the day where it is another."""
    return f"{at:%H:%M}" if at.date() == done.begins.date() else f"{at:%Y-%m-%d %H:%M}"


def schedule_facts(done: "Schedule") -> dict[str, Any]:
    """What programs read."""
    shared, remedy = done.waves.shared, done.waves.remedy
    return {
        "begins": done.begins.isoformat(),
        "pickers": done.pickers,
        "turns": [
            {
                "picker": turn.picker,
                "walk": turn.walk,
                "out": done.hands[turn.walk].person if turn.walk in done.hands else None,
                "begins": done.at(turn.begins_s).isoformat(),
                "ends": done.at(turn.ends_s).isoformat(),
                "late_s": turn.late_s,
                "spare_s": turn.spare_s,
                "service": done.services[turn.walk].code,
            }
            for turn in shared.turns
        ],
        "waves": [
            {
                "walks": list(wave.walks),
                "release_by": done.at(wave.release_by_s).isoformat(),
                "spare_s": wave.spare_s,
                "late": wave.late,
            }
            for wave in done.waves.waves
        ],
        "ends": done.at(shared.ends_s).isoformat(),
        "bound": done.at(shared.bound_s).isoformat(),
        "is_proven": shared.is_proven,
        "remedy": None
        if remedy is None
        else {
            "pickers": remedy.pickers,
            "begin_earlier_s": remedy.begin_earlier_s,
            "too_long": list(remedy.too_long),
        },
        "services": [
            {
                "service": one.service,
                "must_end": done.must_end[one.service].isoformat(),
                "likely": done.at(one.likely_s).isoformat(),
                "nine_in_ten": done.at(one.nine_in_ten_s).isoformat(),
                "chance_late": one.chance_late,
                "is_at_risk": one.is_at_risk,
                "helps": [{"what": h.kind, "walk": h.walk, "chance_late": h.chance_late} for h in one.helps],
            }
            for one in done.foreseen
        ],
        "not_said": [entry.subject for entry in done.not_said],
    }
