"""Terms of delivery: the eleven rules of Incoterms 2020 (International Chamber of Commerce, publication 723E)."""

import pytest

from fulfil.errors import CodeRefused
from fulfil.standards import incoterms


def test_eleven_rules_seven_of_them_for_any_mode():
    """The published division: seven rules for any mode, four for sea and inland waterway (quoted from memory)."""
    assert (len(incoterms.ANY_MODE), len(incoterms.SEA_ONLY)) == (7, 4)
    assert len({*incoterms.ANY_MODE, *incoterms.SEA_ONLY}) == 11


@pytest.mark.parametrize("code", incoterms.ANY_MODE)
def test_a_rule_is_written_with_its_place_and_edition(code):
    """Small letters and spaces around are no matter."""
    assert incoterms.written(f" {code.lower()}", "Namibia") == f"{code} Namibia (Incoterms 2020)"


@pytest.mark.parametrize(
    ("code", "says"), [("FOB", "sea and inland waterway only"), ("DAT", "DPU has taken the place"), ("", "EXW, FCA")]
)
def test_what_is_no_rule_for_a_parcel_is_refused(code, says):
    """A rule for ships, one of the edition before, none."""
    with pytest.raises(CodeRefused, match=says):
        incoterms.parse(code)
