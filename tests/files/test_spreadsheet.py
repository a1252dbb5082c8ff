"""A spreadsheet neither runs nor changes a cell of the export made for it; the other export is as stored."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.files.spreadsheet import csv_bytes, guarded


@pytest.mark.parametrize("text", ["=1+1", "+1", "-M3W", "@SUM(A1)", "\t=1", "\r=1", "=M4N", "+M3N"])
def test_what_a_spreadsheet_runs_is_guarded(text):
    """Source: OWASP, "CSV Injection": cells that begin with = + - @, tab or carriage return."""
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", ["0012", "990015", "1E05", "MAR03", "1/2", "3-4", "12:30", "TRUE", "5 Sep"])
def test_what_a_spreadsheet_retypes_is_guarded(text):
    """Part numbers that look like numbers, dates or truth values (common practice)."""
    assert guarded(text) == f"'{text}"


@given(st.lists(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=8),
                         min_size=2, max_size=2), max_size=5))  # fmt: skip
def test_the_export_for_programs_comes_back_as_it_was(rows):
    """Read by the standard CSV reader, every cell is what it was."""
    text = csv_bytes(("a", "b"), rows).decode()

    assert list(csv.reader(io.StringIO(text, newline="")))[1:] == rows
