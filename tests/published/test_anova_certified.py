"""Analysis of variance against certified values and a textbook data set.

SOURCES
- NIST Statistical Reference Datasets, Analysis of Variance: SiRstv, and SmLs01 to SmLs09 (Simon & Lesage 1989,
  Computational Statistics & Data Analysis 8, 325-332), https://www.itl.nist.gov/div898/strd/ (US government work).
  SiRstv is typed below; the nine SmLs files are read from the copy that SciPy installs with its own tests.
- Dyestuff yields (Davies 1947; Box & Tiao 1973), quoted from memory, its components recomputed.
"""

import importlib.util
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.weighing.anova import OneWay, one_way

SIRSTV = """
196.3052 196.1240 196.1890 196.2569 196.3403
196.3042 196.3825 196.1669 196.3257 196.0422
196.1303 196.2005 196.2889 196.0343 196.1811
196.2795 196.1748 196.1494 196.1485 195.9885
196.2119 196.1051 196.1850 196.0052 196.2090
"""
DYESTUFF = """
1545 1440 1440 1520 1580
1540 1555 1490 1560 1495
1595 1550 1605 1510 1560
1445 1440 1595 1465 1545
1595 1630 1515 1635 1625
1520 1455 1450 1480 1445
"""


def table_of(text: str) -> OneWay:
    """The analysis of rows of decimal readings, one lot a row."""
    return one_way([[Decimal(word) for word in line.split()] for line in text.strip().splitlines()])


def test_sirstv_to_all_certified_digits() -> None:
    """Silicon resistivity, 5 × 5: sums of squares, F, R² and residual s.d. as certified, to 14 digits."""
    table = table_of(SIRSTV)

    assert (table.df_between, table.df_within) == (4, 20)
    assert table.ss_between == pytest.approx(5.11462616000000e-02, rel=1e-14)
    assert table.ms_between == pytest.approx(1.27865654000000e-02, rel=1e-14)
    assert table.ss_within == pytest.approx(2.16636560000000e-01, rel=1e-14)
    assert table.ms_within == pytest.approx(1.08318280000000e-02, rel=1e-14)
    assert table.f == pytest.approx(1.18046237440255e00, rel=1e-14)
    assert table.r_squared == pytest.approx(1.90999039051129e-01, rel=1e-14)
    assert table.residual_sd == pytest.approx(1.04076068334656e-01, rel=1e-14)


def test_sirstv_components() -> None:
    """σ_L² 3.909475e-4, σ_L .01977239, intraclass correlation .0348352, p .349447, mean 196.189156 (computed)."""
    table = table_of(SIRSTV)

    assert table.lot_variance == pytest.approx(3.909475e-4, rel=1e-6)
    assert table.lot_sd == pytest.approx(0.01977239, rel=1e-6)
    assert table.intraclass_correlation == pytest.approx(0.0348352, rel=1e-5)
    assert table.p_value == pytest.approx(0.349447, rel=1e-5)
    assert table.mean == pytest.approx(196.189156, rel=1e-12)


@pytest.mark.parametrize("name", [f"SmLs0{i}" for i in range(1, 10)])
def test_no_digit_is_lost_behind_constant_leading_digits(name: str) -> None:
    """SmLs01–03 have 1 constant leading digit, 04–06 seven, 07–09 thirteen; decimal readings keep 13 digits."""
    path = certified_file(name)
    lines = path.read_text(encoding="ascii").splitlines()
    certified = [float(word) for word in " ".join(lines[40:47]).split() if is_exponential(word)]
    lots: dict[str, list[Decimal]] = {}
    for line in lines[60:]:
        lot, reading = line.split()
        lots.setdefault(lot, []).append(Decimal(reading))
    table = one_way(list(lots.values()))

    ss_between, ms_between, f, ss_within, ms_within, r_squared, residual_sd = certified
    assert [len(readings) for readings in lots.values()] == [{1: 21, 2: 201, 0: 2001}[int(name[-1]) % 3]] * 9
    assert table.ss_between == pytest.approx(ss_between, rel=1e-13)
    assert table.ms_between == pytest.approx(ms_between, rel=1e-13)
    assert table.f == pytest.approx(f, rel=1e-13)
    assert table.ss_within == pytest.approx(ss_within, rel=1e-13)
    assert table.ms_within == pytest.approx(ms_within, rel=1e-13)
    assert table.r_squared == pytest.approx(r_squared, rel=1e-13)
    assert table.residual_sd == pytest.approx(residual_sd, rel=1e-13)


def certified_file(name: str) -> Path:
    """The NIST file in SciPy's own tests, or a skip that says so."""
    spec = importlib.util.find_spec("scipy.stats")
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent / "tests" / "data" / "nist_anova" / f"{name}.dat"
    if not path.exists():
        pytest.skip(f"this SciPy was installed without its tests, which hold NIST's {name}.dat")
    return path


def is_exponential(word: str) -> bool:
    """True for 1.68000000000000E+00 and its like."""
    return len(word) > 10 and "E" in word and word[0].isdigit()


def test_dyestuff() -> None:
    """Mean 1527.5; SSB 56 357.5 (5), SSW 58 830 (24); F 4.598266, p .0043975; σ_L 42.0006, σ_e 49.5101."""
    table = table_of(DYESTUFF)

    assert (table.mean, table.ss_between, table.df_between) == (1527.5, 56357.5, 5)
    assert (table.ss_within, table.df_within) == (58830.0, 24)
    assert table.f == pytest.approx(4.598266, rel=1e-6)
    assert table.p_value == pytest.approx(0.0043975, rel=1e-4)
    assert table.lot_variance == pytest.approx(1764.05, rel=1e-9)
    assert table.lot_sd == pytest.approx(42.0006, abs=5e-5)
    assert table.residual_sd == pytest.approx(49.5101, abs=5e-5)
