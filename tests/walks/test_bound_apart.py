"""A bound proven in another process: its answer, or a refusal when it ended without one."""

import json
import sys
from subprocess import PIPE, Popen

import pytest

from fulfil.errors import StateRefused
from fulfil.walks.bound_apart import ask, begin, main, result, wait_until_ready
from tests.harbour_shop import DAY, key, open_harbour, plan


def process(code: str) -> "Popen[str]":
    """A process that stands in for a proof."""
    return Popen([sys.executable, "-c", code], stdin=PIPE, stdout=PIPE, text=True)


def test_the_answer_is_the_bound_and_whether_it_is_closed():
    """JSON on the standard output."""
    assert result(process("""print('{"bound_mm": 12000, "closed": true}')""")) == (12000, True)


def test_a_proof_that_ended_without_an_answer_is_refused():
    """Exit code 3, nothing said; it was ready for nothing, and asking it breaks nothing."""
    ended = process("raise SystemExit(3)")
    assert not wait_until_ready(ended)
    ended.wait()
    ask(ended, "shop.sqlite", DAY, 1)
    with pytest.raises(StateRefused, match="Cannot prove the plan in process"):
        result(ended)


def test_one_that_began_before_there_was_a_plan_proves_the_same(tmp_path, capsys):
    """Begun before the shop is there, asked once it is planned: the bound that the process given its plan prints."""
    proving = begin()
    with open_harbour(tmp_path) as shop:
        key(shop, "A-1", ("SPRING-2", 20), ("PIN-08", 60))
        key(shop, "A-2", ("REED-A", 30), ("CAM-7", 4), minutes=1)
        plan(shop)
        assert wait_until_ready(proving)
        ask(proving, str(shop.where), DAY, 400)
        found = result(proving)
        main(str(shop.where), DAY.isoformat(), "400")
    alone = json.loads(capsys.readouterr().out)

    assert found == (alone["bound_mm"], alone["closed"])
    assert alone["bound_mm"] > 0


def test_one_that_is_asked_nothing_ends_by_itself():
    """A demo that was refused its files leaves no process behind."""
    proving = begin()
    assert wait_until_ready(proving)
    proving.communicate()
    assert proving.returncode == 0
