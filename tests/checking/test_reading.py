"""Readings of a scale that sends by itself: one load counts once, everything else is ignored for a reason."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.checking.reading import LineReader, Pan, ScaleReading, Sifted, sift
from fulfil.errors import WeighingRefused

D = Decimal("0.01")


def sifted(*masses, steady_run=1, wanted_since_s=0.0, pan=None):
    """What each reading of a series is good for; one a second from second 1."""
    pan = pan or Pan()
    found = []
    for second, mass in enumerate(masses, start=1):
        reading = mass if isinstance(mass, ScaleReading) else ScaleReading(Decimal(mass))
        kind, pan = sift(
            reading, pan, d_g=D, sent_at_s=second, wanted_since_s=wanted_since_s, steady_run=steady_run
        )  # fmt: skip
        found.append(kind.value)
    return found


def test_a_load_counts_once():
    """The same load sent again is repeated; after an empty pan the same mass counts anew."""
    assert sifted("47.10", "47.11", "0.00", "47.10") == ["counts", "repeated", "empty", "counts"]


def test_a_load_that_was_changed_counts_without_an_empty_pan():
    """More than two d from the last one is another load."""
    assert sifted("47.10", "47.12", "47.13") == ["counts", "repeated", "counts"]


def test_a_moving_load_never_counts():
    """Unsteady by its mark, or not yet equal three times in a row."""
    assert sifted(ScaleReading(Decimal("40.00"), is_steady=False), "47.10") == ["unsteady", "counts"]
    assert sifted("10.00", "47.10", "47.10", "47.11", steady_run=3) == ["unsteady", "unsteady", "unsteady", "counts"]


def test_a_negative_reading_says_so_and_empties_the_pan():
    """A tare that was lifted off with its load, or a zero that moved."""
    assert sifted("47.10", "-3.20", "47.10") == ["counts", "negative", "counts"]


def test_what_was_sent_before_the_bag_came_is_stale():
    """The load on the pan before the scan isn't the bag's; sent again after it, it counts."""
    assert sifted("47.10", "47.10", wanted_since_s=1.5) == ["stale", "counts"]


@given(st.lists(st.sampled_from(["0.00", "47.10", "47.11", "52.30"]), max_size=30))
def test_between_two_weights_that_count_the_pan_changed(masses):
    """Two counts in a row differ by more than two d, or an empty pan lies between."""
    last = None
    for mass, kind in zip(masses, sifted(*masses), strict=True):
        if kind == "empty":
            last = None
        elif kind == "counts":
            assert last is None or abs(Decimal(mass) - last) > 2 * D
            last = Decimal(mass)


@pytest.mark.parametrize(
    ("line", "mass", "is_steady"),
    [
        ("47.10 g", "47.10", True),
        ("  +  47.10 g ", "47.10", True),
        ("- 0.5g", "-0.5", True),
        ("0.523 kg", "523", True),
        ("~ 46.8 g", "46.8", False),
        ("net 47.10 g  #0012", "47.10", True),
    ],
)
def test_lines_of_the_default_pattern(line, mass, is_steady):
    """A mass with its unit, anything around it, a mark where the load moves."""
    assert LineReader().read(line) == ScaleReading(Decimal(mass), is_steady)


@pytest.mark.parametrize("line", ["", "error 7", "47.10", "12 lb", "g"])
def test_lines_without_a_mass_are_no_reading(line):
    """No unit, no number, another unit: nothing is guessed."""
    assert LineReader().read(line) is None


def test_the_pattern_is_the_shops_to_set():
    """A maker's own lines are read by a pattern with a group for the mass; grams where there is no unit."""
    reader = LineReader(r"^(?P<unsteady>U )?W=(?P<mass>-?[0-9.]+)$")

    assert reader.read("W=47.10") == ScaleReading(Decimal("47.10"))
    assert reader.read("U W=47.10") == ScaleReading(Decimal("47.10"), is_steady=False)
    assert reader.read("W=4.7.1") is None


@pytest.mark.parametrize(("pattern", "expected"), [("(", "a regular expression"), ("[0-9]+", "a group named mass")])
def test_a_pattern_that_can_t_read_is_refused(pattern, expected):
    """Not a regular expression, or one without the group."""
    with pytest.raises(WeighingRefused, match=expected):
        LineReader(pattern)


def test_all_kinds_are_reached():
    """Every outcome that the bench speaks of exists."""
    assert {kind.value for kind in Sifted} == {"counts", "unsteady", "negative", "empty", "stale", "repeated"}
