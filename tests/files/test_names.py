"""Papers stay inside their folder, whatever an order is called."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.files.names import file_name
from fulfil.files.written import write_all


@pytest.mark.parametrize("name", ["../x.pdf", "/abs/x.pdf", "..", ".", "a/../../x.pdf", "..\\x.pdf", "a\x00b.pdf"])
def test_no_number_leads_out_of_the_folder(tmp_path, name):
    """Path traversal (OWASP, "File Upload Cheat Sheet": the file name is never the user's)."""
    folder = tmp_path / "papers"

    (written,) = write_all(folder, {name: b"paper"})

    assert written.parent == folder
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == [written]
    assert written.read_bytes() == b"paper"


def test_long_numbers_get_names_that_a_disk_takes(tmp_path):
    """Two numbers of 300 characters that differ in the last one have two files."""
    written = write_all(tmp_path, {f"{'x' * 300}{last}-packing-list.pdf": last.encode() for last in "12"})

    assert [path.read_bytes() for path in written] == [b"1", b"2"]
    assert all(path.suffix == ".pdf" for path in written)


@given(st.lists(st.text(min_size=1, max_size=40), unique=True, max_size=8))
def test_two_texts_never_share_a_name(texts):
    """And each is one plain name."""
    names = [file_name(text) for text in texts]

    assert len(set(names)) == len(texts)
    for name in names:
        assert Path("papers", name).resolve().parent == Path("papers").resolve()
        name.encode()
