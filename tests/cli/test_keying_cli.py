"""``fulfil orders add`` as it is typed: piped answers, an end in the middle, options with faults, JSON."""

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fulfil_cli.main import main

from tests.harbour_shop import NOW, open_harbour

ANSWERS = (
    "Žofie Vzorková", "", "Atlantis", "Nový Zéland", "2 Sample Quay", "<", "1 Sample Quay", "8016", "Waitangi-Sample",
    "", "zofie@home", "zofie@example.invalid", "road", "reel", "REED-A", "3", "", "", "pad well", "", "note", "packer",
    "pad very well", "",
)  # fmt: skip
"""A call with an unknown country, a way back, a wrong e-mail address, a part by a wrong word, a change at the end."""
ONE_LINE = ("--name", "Ann Invented", "--street", "1 Sample Quay", "--city", "Waitangi-Sample", "--post-code", "8016")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The harbour shop, closed."""
    with open_harbour(tmp_path) as shop:
        return Path(shop.where)


def run(path: Path, *words: str, typed: str = "") -> Result:
    """Says ``fulfil orders …``."""
    more = ["--shop", str(path), "--at", NOW.isoformat(), "--by", "ngaio", "--json"]
    return CliRunner().invoke(main, ["orders", *words, *more], input=typed, catch_exceptions=False)


def facts(ran: Result) -> dict:
    """The answer for programs."""
    return json.loads(ran.stdout)


def test_a_call_is_typed_with_its_mistakes(path: Path) -> None:
    """Each mistake is said and asked again; at the end the order is read back, one answer changed, and it is in."""
    ran = run(path, "add", typed="\n".join(ANSWERS) + "\n")
    assert ran.exit_code == 0, ran.output
    assert facts(ran)["order"] == "T2607140001"
    for said in ("Cannot find the country 'Atlantis'", "Cannot read the e-mail address 'zofie@home'",
                 "Cannot find the part 'reel'", "together NZD 3.60", "Note for the packer: pad very well"):  # fmt: skip
        assert said in ran.stderr
    order = facts(run(path, "show", "1"))["order"]
    assert (order["country"], order["email"]) == ("NZ", "zofie@example.invalid")
    assert order["note_packer"] == "pad very well"
    assert run(path, "drafts").exit_code == 0


def test_an_end_in_the_middle_keeps_what_was_keyed(path: Path) -> None:
    """The input ends after four answers: a draft, and how to go on with it; then it is in."""
    ran = run(path, "add", typed="Ann Invented\n\n\n1 Sample Quay\n")
    assert ran.exit_code == 1
    draft = facts(ran)["draft"]
    assert facts(run(path, "drafts"))["drafts"][0]["code"] == draft

    again = run(path, "add", "--draft", draft[-2:], typed="8016\nWaitangi-Sample\n\n\nROAD\nCAM-7\n1\n\n\n\n\n\n")
    assert again.exit_code == 0, again.output
    assert "Who gets it?" not in again.stderr
    assert facts(run(path, "drafts"))["drafts"] == []


def test_all_faults_of_options_are_said_at_once_and_kept(path: Path) -> None:
    """Three wrong options of nine: three findings, nothing lost; the two right words and the order is in."""
    more = ("--country", "Atlantis", "--service", "road", "--new-line", "cog:2", "--new-line", "CAM-7:none")
    ran = run(path, "add", *ONE_LINE, *more)
    assert ran.exit_code == 1
    assert [one["field"] for one in facts(ran)["findings"]] == ["country", "part 1", "pieces 2"]
    draft = facts(ran)["draft"]

    again = run(path, "add", "--draft", draft, "--country", "NZ", typed="REED-A\n4\n\n")
    assert again.exit_code == 0, again.output


def test_an_order_comes_as_json(path: Path) -> None:
    """The same names; lower-case codes, a country by name; a name that is none is refused."""
    order = {"name": "Ann Invented", "street": "1 Sample Quay", "city": "Waitangi-Sample", "post_code": "8016",
             "country": "neuseeland", "service": "road", "note_packer": "pad", "ship_complete": True,
             "lines": [{"part": "cam-7", "pieces": 2}, "REED-A:1"]}  # fmt: skip
    ran = run(path, "add", "--answers", "-", typed=json.dumps(order))
    assert ran.exit_code == 0, ran.output
    kept = facts(run(path, "show", "1"))
    assert (kept["order"]["note_packer"], kept["order"]["ship_complete"]) == ("pad", True)
    assert [line["part_number"] for line in kept["lines"]] == ["CAM-7", "REED-A"]

    assert run(path, "add", "--answers", "-", typed='{"nmae": "x"}').exit_code == 2
    assert run(path, "add", "--answers", "-", typed="[1]").exit_code == 2
    half = run(path, "add", "--answers", "-", typed='{"name": "Ann"}')
    assert half.exit_code == 1
    assert {one["field"] for one in facts(half)["findings"]} == {"street", "city", "service", "part 1", "pieces 1"}


def test_a_draft_is_forgotten_when_it_is_said(path: Path) -> None:
    """Nothing else forgets it; one that isn't there is refused."""
    draft = facts(run(path, "add", typed="Ann Invented\n"))["draft"]
    assert facts(run(path, "drafts", "--drop", draft))["dropped"]["code"] == draft
    assert run(path, "drafts", "--drop", draft).exit_code == 2
    assert run(path, "add", "--draft", draft).exit_code == 2
    assert facts(run(path, "add", typed=""))["draft"] is None


def test_ctrl_c_at_a_terminal_keeps_what_was_keyed(path: Path) -> None:
    """A real terminal and a real interrupt: the exit says how to go on, and the draft is in the shop."""
    ours, theirs = pty.openpty()
    # As at a terminal, also where the tests run in the background of a shell, which has its jobs ignore interrupts.
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from fulfil_cli.main import main; main()"
    )
    asked = [sys.executable, "-c", code, "orders", "add", "--shop", str(path)]
    with subprocess.Popen(asked, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True) as going:
        try:
            os.close(theirs)
            _read_until(ours, b"Who gets it?")
            os.write(ours, b"Ann Invented\n")
            _read_until(ours, b"Company?")
            going.send_signal(signal.SIGINT)
            said = _read_until(ours, b"--draft")
            assert going.wait(20) == 1
        finally:
            going.kill()
    os.close(ours)
    assert b"What was keyed is kept" in said
    (draft,) = facts(run(path, "drafts"))["drafts"]
    assert json.loads(draft["answers_json"]) == {"name": "Ann Invented"}


def _read_until(terminal: int, words: bytes) -> bytes:
    said, until = b"", time.monotonic() + 60
    while words not in said and time.monotonic() < until:
        if select.select([terminal], [], [], 1)[0]:
            said += os.read(terminal, 4096)
    assert words in said, said
    return said
