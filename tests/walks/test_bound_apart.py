"""A bound proven in another process: its answer, or a refusal when it ended without one."""

import sys
from subprocess import PIPE, Popen

import pytest

from fulfil.errors import StateRefused
from fulfil.walks.bound_apart import make_ready, result


def process(code: str) -> "Popen[str]":
    """A process that stands in for a proof."""
    return Popen([sys.executable, "-c", code], stdout=PIPE, text=True)


def test_the_answer_is_the_bound_and_whether_it_is_closed():
    """JSON on the standard output."""
    assert result(process("""print('{"bound_mm": 12000, "closed": true}')""")) == (12000, True)


def test_a_proof_that_ended_without_an_answer_is_refused():
    """Exit code 3, nothing said."""
    with pytest.raises(StateRefused, match="Cannot prove the plan in process"):
        result(process("raise SystemExit(3)"))


def test_machine_code_is_made_by_importing():
    """The other process imports the modules and ends."""
    assert make_ready("fulfil.errors", "fulfil.quantities").wait() == 0
