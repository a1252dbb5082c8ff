"""The public doors: what README shows is there, typed, and cheap to open."""

import subprocess
import sys

import pytest

import fulfil


@pytest.mark.parametrize("name", fulfil.__all__)
def test_every_public_name_opens(name):
    """Each name is found in its home and says what it is for."""
    assert getattr(fulfil, name).__doc__


def test_an_unknown_name_is_refused_as_python_does():
    """AttributeError, with the name."""
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        getattr(fulfil, "nothing")  # noqa: B009 - a type checker knows that it is not there


@pytest.mark.parametrize("module", ["fulfil", "fulfil_cli.main"])
def test_opening_the_door_loads_nothing_heavy(module):
    """No arrays, no database, no PDF library until they are asked for."""
    heavy = ("numpy", "sqlalchemy", "reportlab", "pandas", "numba")
    code = f"import {module}, sys; print([m for m in {heavy} if m in sys.modules])"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert loaded.stdout.strip() == "[]"


@pytest.mark.parametrize("module", ["fulfil.bench.check", "fulfil.stock.levels", "fulfil.walks.times"])
def test_a_bench_command_waits_for_no_compiler_and_no_tables(module):
    """What `bags check`, `stock levels` and `walks begin` import first: no numba, SciPy, pandas, no PDF library."""
    code = f"import {module}, sys; print([m for m in ('numba', 'scipy', 'pandas', 'reportlab') if m in sys.modules])"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert loaded.stdout.strip() == "[]"


def test_planning_compiles_nothing_before_it_knows_the_room():
    """A demo's shop is imported while another process makes the machine code: importing the plan makes none here."""
    code = (
        "import fulfil.walks.plan, sys; print([m for m in ('fulfil.room.kernel', 'scipy.sparse') if m in sys.modules])"
    )
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert loaded.stdout.strip() == "[]"
