"""The figures of the day as a sheet: values in words, bars against the largest of all days."""

from datetime import datetime
from statistics import median

from fulfil.despatch.figures.day_figures import Course, DayFigures, day_figures
from fulfil.papers.day import day_figures as paper
from fulfil.papers.day.day_figures import DayFiguresSheet, FigureRow
from fulfil.papers.sheet import head
from fulfil.shop.asking import from_books
from fulfil.store.books import Books

_GROUPS = (
    ("Where the hours went", ("walking", "searching and counting", "checking", "packing")),
    ("How it went", (
        "walking saved against one walk per order", "counts proven by weight", "bags sent back", "lines short",
        "cost an order",
    )),
)  # fmt: skip
_MOST_PAIRS = 8
REMARKS = (
    "Hours are measured: walks from begun to ended, benches from one weighing to the next, without pauses over five "
    "minutes. Walking is the walks' length by the speed in the settings. A stroke: nothing was written down that day.",
    "Cost an order is what the services are expected to charge for the day's packages; wages aren't in it. Drift "
    "stands on the day report.",
)


def day_figures_sheet(books: Books, figures: DayFigures) -> DayFiguresSheet:
    """The day on one page."""
    by_name = {one.name: one for one in figures.courses}
    days = f"{figures.days} working day{'' if figures.days == 1 else 's'}"
    usual = f"Usual is the median of the {days} before." if figures.days else "No day before this one is on record."
    return DayFiguresSheet(
        **head(books.settings(), paper.NUMBERED.number(figures.day), figures.day),
        sentence=f"{usual} {_most_hours(figures)}".strip(),
        groups=tuple((title, tuple(_row(by_name[name]) for name in names)) for title, names in _GROUPS),
        pairs=tuple((wanted, taken, str(bags)) for wanted, taken, bags in figures.pairs[:_MOST_PAIRS]),
        remarks=REMARKS,
    )


def usual(course: Course) -> float | None:
    """The median of the days before of which something is known."""
    known = [one for one in course.before if one is not None]
    return median(known) if known else None


def said(value: float | None, course: Course) -> str:
    """A value as people say it.

    >>> said(2.4166, Course("walking", "hours", None, ())), said(None, Course("walking", "hours", None, ()))
    ('2 h 25 min', 'not known')
    """
    if value is None:
        return "not known"
    if course.unit == "hours":
        minutes = round(value * 60)
        return f"{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{minutes} min"
    if course.unit == "%":
        return f"{value:.1f} %"
    return f"{value:.2f} {course.unit}" if course.unit else f"{value:.0f}"


def _row(course: Course) -> FigureRow:
    values = (*course.before, course.today)
    largest = max((one for one in values if one is not None), default=0.0) or 1.0
    return FigureRow(
        name=course.name,
        today=said(course.today, course),
        usual=said(usual(course), course),
        bars=tuple(-1.0 if one is None else round(max(0.0, one) / largest, 3) for one in values),
    )


def _most_hours(figures: DayFigures) -> str:
    """Where most of today's hours went."""
    hours = [(one.today, one.name) for one in figures.courses if one.unit == "hours" and one.today]
    if not hours:
        return "No hours were written down today: say when a walk begins and ends."
    most, name = max(hours)
    return f"Most of today's measured hours went into {name}: {100 * most / sum(one for one, _ in hours):.0f} %."


def _of_the_day(books: Books, at: datetime) -> tuple[DayFiguresSheet, ...]:
    return (day_figures_sheet(books, day_figures(books, at.date())),)


BY_NAME = (from_books(DayFiguresSheet, _of_the_day),)
