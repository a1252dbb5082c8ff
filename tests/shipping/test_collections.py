"""When a package leaves: weekdays, cut-offs, holidays, closures, against numpy's and datetime's own calendars."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import StateRefused
from fulfil.records.despatch.service import WEEK, Closure
from fulfil.records.settings import Settings
from fulfil.records.tiny import SERVICE
from fulfil.shipping.collections import Collections
from fulfil.standards.public_holidays import name_of

ROAD = SERVICE.model_copy(update={"code": "ROAD", "collection_days": "Mon Tue Wed Thu Fri", "cut_off": time(16, 30)})
HELSINKI = ZoneInfo("Europe/Helsinki")


def shop(*closures: Closure, holidays: str = "", zone: str = "Europe/Helsinki") -> Collections:
    """A calendar."""
    return Collections(Settings(time_zone=zone, public_holidays=holidays), closures)


def at(text: str, zone: str = "Europe/Helsinki") -> datetime:
    """A moment by a clock on the wall."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


@pytest.mark.parametrize(
    ("ready", "leaves"),
    [
        ("2026-03-06 16:30", "2026-03-06 16:30"),  # a Friday: ready at the cut-off is in time
        ("2026-03-06 16:31", "2026-03-09 16:30"),
        ("2026-03-07 20:00", "2026-03-09 16:30"),  # a Saturday evening
        ("2026-03-08 23:59", "2026-03-09 16:30"),
        ("2026-03-09 00:00", "2026-03-09 16:30"),
    ],
)
def test_a_service_from_monday_to_friday_collects_on_no_saturday(ready, leaves):
    """What is ready after Friday's collection leaves on Monday."""
    assert shop().leaving(ROAD, at(ready)).at == at(leaves)


def test_it_says_why_and_until_when():
    """The person at the bench reads the reason first, then the day with its weekday, and the clock that is meant."""
    assert shop().leaving(ROAD, at("2026-03-07 20:00")).says == (
        "no collection on a Saturday: leaves Monday 2026-03-09 at 16:30 EET"
    )
    assert shop().leaving(ROAD, at("2026-03-06 16:31")).says == (
        "too late for today's collection at 16:30: leaves Monday 2026-03-09 at 16:30 EET"
    )


def test_a_weekday_may_have_a_cut_off_of_its_own():
    """Fridays at 14:00, Saturdays at 11:30."""
    six = ROAD.model_copy(update={"collection_days": "Mon Tue Wed Thu Fri Sat", "cut_offs": "Fri 14:00 Sat 11:30"})

    assert shop().leaving(six, at("2026-03-06 14:01")).at == at("2026-03-07 11:30")
    assert shop().leaving(six, at("2026-03-07 11:31")).at == at("2026-03-09 16:30")


def test_nobody_collects_on_a_holiday_of_the_carrier_or_the_shop():
    """6 January is kept in Finland, 26 October in Austria: an Austrian shop with a Finnish carrier keeps both."""
    finnish = ROAD.model_copy(update={"holidays": "FI"})
    calendar = shop(holidays="AT", zone="Europe/Vienna")

    assert calendar.why_none(finnish, date(2026, 12, 6)) == "no collection on a Sunday"
    assert calendar.why_none(finnish, date(2027, 12, 6)) == "Independence Day (FI)"
    assert calendar.why_none(ROAD, date(2027, 12, 6)) == ""
    assert calendar.why_none(finnish, date(2026, 10, 26)) == "National Day (AT)"
    keeps_none = ROAD.model_copy(update={"holidays": "none"})
    assert calendar.why_none(keeps_none, date(2026, 10, 26)) == "National Day (AT)"
    assert shop(holidays="").why_none(keeps_none, date(2026, 12, 25)) == ""


def test_closures_of_shop_and_carrier_are_named():
    """The shop takes stock on Monday, the carrier strikes for two days: what is ready leaves on Thursday."""
    calendar = shop(
        Closure(first_day=date(2026, 3, 9), last_day=date(2026, 3, 9), why="stocktaking"),
        Closure(service_code="ROAD", first_day=date(2026, 3, 10), last_day=date(2026, 3, 11), why="strike"),
        Closure(service_code="OTHER", first_day=date(2026, 3, 12), last_day=date(2026, 3, 12)),
    )

    assert calendar.leaving(ROAD, at("2026-03-06 17:00")).says == (
        "too late for today's collection at 16:30: leaves Thursday 2026-03-12 at 16:30 EET, "
        "after the shop is closed (stocktaking), ROAD does not collect (strike)"
    )


def test_the_shops_clock_decides_which_day_it_is():
    """20:30 in UTC on Friday is Saturday morning in Auckland, where a service collects until noon."""
    saturdays = ROAD.model_copy(update={"collection_days": "Sat", "cut_off": time(12)})
    calendar = shop(zone="Pacific/Auckland")

    leaving = calendar.leaving(saturdays, datetime(2026, 3, 6, 20, 30, tzinfo=UTC))

    assert (leaving.at, leaving.is_today) == (at("2026-03-07 12:00", "Pacific/Auckland"), True)


def test_the_night_of_a_clock_change_keeps_the_cut_off_by_the_wall():
    """Helsinki, 29 March 2026, clocks go from 03:00 to 04:00: noon is 10:00 UTC on Saturday and 09:00 UTC on Sunday."""
    every_day = ROAD.model_copy(update={"collection_days": "", "cut_off": time(12)})
    noons = [shop().leaving(every_day, at(f"2026-03-{day} 06:00")).at.astimezone(UTC).hour for day in (28, 29)]
    assert noons == [10, 9]
    # A cut-off that the night skips is as much later as the clock jumps; none comes before the moment asked for.
    night = every_day.model_copy(update={"cut_off": time(3, 30)})
    assert shop().leaving(night, at("2026-03-29 02:00")).at.astimezone(UTC) == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    # In autumn 03:30 comes twice; the first is the cut-off, and the second is too late.
    late = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert shop().leaving(night, late).at == at("2026-10-26 03:30")


def test_a_service_that_never_collects_is_refused():
    """The sentence says today's reason and where the calendar stands."""
    ever = Closure(service_code="ROAD", first_day=date(2026, 1, 1), last_day=date(2027, 12, 31), why="given up")

    with pytest.raises(StateRefused, match=r"'ROAD'.*2026-03-09: ROAD does not collect \(given up\).*closures.csv"):
        shop(ever).leaving(ROAD, at("2026-03-09 08:00"))


MOMENTS = st.builds(
    lambda day, hour: datetime.combine(day, hour, HELSINKI),
    st.dates(date(2020, 1, 1), date(2031, 12, 1)),
    st.times(),
)


@given(MOMENTS, st.sets(st.sampled_from(WEEK), min_size=1), st.sampled_from(["LU", "US", "NZ-OTA", "DE-BY"]),
       st.times())  # fmt: skip
def test_numpys_business_days_say_the_same_day(moment, days, country, cut_off):
    """``numpy.busday_offset`` with this week and these holidays rolls to the day that the package leaves."""
    ready = moment
    cut_off = cut_off.replace(second=0, microsecond=0, fold=0)
    service = ROAD.model_copy(update={"collection_days": " ".join(days), "cut_off": cut_off})
    first = ready.date() + timedelta(days=int(ready.astimezone(UTC) > ready.replace(
        hour=cut_off.hour, minute=cut_off.minute, second=0, microsecond=0).astimezone(UTC)))  # fmt: skip
    kept = [day for n in range(120) if name_of(country, day := first + timedelta(days=n))]
    week = [day in days for day in WEEK]

    expected = np.busday_offset(first, 0, roll="forward", weekmask=week, holidays=kept).astype(date)

    leaving = shop(holidays=country).leaving(service, ready)
    assert leaving.at.date() == expected
    assert len(leaving.skipped) == (expected - ready.date()).days
    assert leaving.at.astimezone(UTC) >= ready.astimezone(UTC)


@given(MOMENTS, st.integers(0, 3000))
def test_who_is_ready_later_never_leaves_earlier(moment, minutes):
    """And what leaves at a collection could have been ready at that very moment."""
    ready = moment
    calendar = shop(holidays="FI")

    first = calendar.leaving(ROAD, ready)

    assert first.at <= calendar.leaving(ROAD, ready + timedelta(minutes=minutes)).at
    assert calendar.leaving(ROAD, first.at).at == first.at
