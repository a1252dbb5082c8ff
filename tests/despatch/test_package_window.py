"""The window of a package keeps the shop's two risks apart: worked out here with normal quantiles."""

from decimal import Decimal
from math import sqrt
from pathlib import Path
from statistics import NormalDist

import pytest

from fulfil.despatch.boxes import BagMass, for_scale, packing_by_type, window_of
from fulfil.records.despatch.dispatch import Package
from fulfil.records.equipment import BoxType, ScaleRecord
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.store.shop import open_shop

SCALE = ScaleRecord(code="TENTH", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.1"), max_g=Decimal(6000),
                    min_g=Decimal(5), repeatability_g=0.1)  # fmt: skip
BOX = BoxType(code="CASE", length_mm=200, width_mm=150, height_mm=90, tare_g=Decimal("71.5"), tare_sd_g=0.8,
              max_load_g=Decimal(3000), fill_fraction=0.7, cushioning_g=Decimal("14.5"),
              cushioning_sd_g=0.6)  # fmt: skip
MASSES = [BagMass(Decimal("120.0"), 0.3, is_weighed=True), BagMass(Decimal("301.0"), 0.4, is_weighed=False)]


@pytest.mark.parametrize(("risk_pass", "risk_reject"), [(0.001, 0.05), (0.02, 0.004)])
def test_each_risk_sets_its_own_limit(tmp_path: Path, risk_pass: float, risk_reject: float) -> None:
    """Sent back though right: half the reject risk a side. Passed though something is missing: the pass risk.

    u² = 0.3² + 0.4² (bags) + 0.8² (box) + 0.6² (cushioning) + 0.1² (reading); an indication at a limit stands for loads
    up to half an interval beyond it.
    """
    with open_shop(tmp_path / "shop.db", create=True) as shop:
        with shop.writing() as books:
            books.replace([Settings(shop_name="Invented cases", risk_pass=risk_pass, risk_reject=risk_reject)])
        with shop.reading() as books:
            window = window_of(books, packing_by_type(BOX), MASSES, SCALE)

    u_g = sqrt(0.3**2 + 0.4**2 + 0.8**2 + 0.6**2 + 0.1**2)
    reject, passed = NormalDist().inv_cdf(1 - risk_reject / 2), NormalDist().inv_cdf(1 - risk_pass)
    assert window.expected_g == Decimal("507.0")
    half_g = float(window.upper_g - window.expected_g) + 0.05
    assert 0 <= half_g - reject * u_g < 0.1
    assert window.expected_g - window.lower_g == window.upper_g - window.expected_g
    assert 0 <= float(window.visible_from_g) - half_g - passed * u_g < 0.1


@pytest.mark.parametrize(("spare_g", "chosen"), [("0", "TENTH"), ("0.1", "TENTH"), ("-0.1", "LARGE")])
def test_a_scale_is_used_up_to_its_max_and_no_further(tmp_path: Path, spare_g: str, chosen: str) -> None:
    """An empty case of 86 g: its window ends exactly at Max of the finer scale, or a tenth beyond.

    Max is a load that the scale may weigh (OIML R 76-1:2006, T.3.1.1), so the limit itself is within.
    """
    large = revised(SCALE, {"code": "LARGE", "d_g": Decimal(1), "e_g": Decimal(1), "min_g": Decimal(20)})
    with open_shop(tmp_path / "shop.db", create=True) as shop:
        with shop.writing() as books:
            books.replace([Settings(shop_name="Invented cases")])
            scales = [revised(SCALE, {"use": "packages"}), revised(large, {"use": "packages"})]
            books.add([BOX, *scales])
        with shop.reading() as books:
            top_g = window_of(books, packing_by_type(BOX), [], scales[0]).upper_g
        with shop.writing() as books:
            books.replace([revised(scales[0], {"max_g": top_g + Decimal(spare_g)})])
            package = Package(number="P1", order_number="A", service_code="ROAD", box_type="CASE",
                              expected_g=Decimal(0), lower_g=Decimal(0), upper_g=Decimal(0),
                              visible_from_g=Decimal(0))  # fmt: skip
            _, scale = for_scale(books, package)

    assert scale.code == chosen
