"""What keeps a package from a service."""

from decimal import Decimal

import pytest

from fulfil.records.tiny import SERVICE
from fulfil.shipping.limits import limits_broken


def broken(service=SERVICE, country="DE", gross="1500", outside=(300, 200, 100), hazards=()):
    """The fields that are off."""
    return [one.field for one in limits_broken(service, country, Decimal(gross), outside, hazards, "P1")]


def test_nothing_is_found_within_all_limits():
    """1 500 g, 300 mm, no hazards."""
    assert broken() == []


@pytest.mark.parametrize(("gross", "off"), [("2000", []), ("2000.1", ["gross_g"])])
def test_the_weight_limit_is_included(gross, off):
    """Exactly 2 kg goes, a tenth of a gram more doesn't."""
    assert broken(gross=gross) == off


@pytest.mark.parametrize(("outside", "off"), [((600, 10, 10), []), ((601, 10, 10), ["longest_mm"])])
def test_the_longest_side(outside, off):
    """600 mm goes."""
    assert broken(outside=outside) == off


def test_length_and_girth():
    """Length plus girth of 500 × 300 × 250: 500 + 2 (300 + 250) = 1 600 mm.

    Source: the girth rule of parcel post, twice the sum of the two smaller sides (as restated in public guidance).
    """
    limited = SERVICE.model_copy(update={"max_length_girth_mm": 1600})

    assert broken(limited, outside=(500, 300, 250)) == []
    assert broken(limited, outside=(500, 300, 251)) == ["length_girth_mm"]


def test_a_country_that_the_service_does_not_reach():
    """A service to two countries."""
    near = SERVICE.model_copy(update={"countries": "DE FR"})

    assert broken(near, country="NA") == ["country"]
    assert broken(near, country="FR") == []


def test_a_refused_hazard_stops_for_review_and_is_never_cleared():
    """The finding defers to a trained person, the data sheet and local codes."""
    found = limits_broken(SERVICE, "DE", Decimal(100), (10, 10, 10), ["flammable", "sharp"], "P1")

    assert [one.value for one in found] == ["flammable"]
    assert "stop for review" in found[0].do
    assert "local codes govern" in found[0].do
