"""``orders forget``: our own old papers go, other files stay, and it says where else the customers still are."""

import json
import os
from pathlib import Path

from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.records.despatch.dispatch import Manifest
from fulfil.shop.printing import print_papers
from fulfil.store.safe.copies import back_up
from tests.despatch.forgetting import ALL, LATER, NOW, shop_of_the_past


def test_old_papers_go_and_the_rest_is_named(tmp_path: Path) -> None:
    """Of three old files only the one that fulfil printed goes; a young one of ours stays; the backup is named."""
    papers = tmp_path / "papers"
    with shop_of_the_past(tmp_path / "shop.db") as shop:
        with shop.reading() as books:
            number = books.find(Manifest)[0].number
        (old,), (young,) = (
            print_papers(shop, papers, lambda books: printed_manifest(books, number), name=name)
            for name in ("old", "young")
        )
    theirs, notes = papers / "theirs.pdf", papers / "notes.txt"
    theirs.write_bytes(b"%PDF-1.4 /Creator (another program)")
    notes.write_text("mine")
    for path in (old, theirs, notes):
        os.utime(path, (NOW.timestamp(), NOW.timestamp()))
    os.utime(young, (LATER.timestamp(), LATER.timestamp()))
    backup = back_up(tmp_path / "shop.db", tmp_path / "backups", at=NOW).path
    words = ["orders", "forget", "--older-than-days", "400", "--papers", str(papers), "--at", LATER.isoformat()]

    ran = CliRunner().invoke(main, [*words, "--shop", str(tmp_path / "shop.db"), "--json"])

    said = json.loads(ran.stdout)
    assert ran.exit_code == 0
    assert (said["orders"], said["removed"], said["backups"]) == ([*ALL], [str(old)], [str(backup)])
    assert sorted(path.name for path in papers.iterdir()) == ["notes.txt", "theirs.pdf", young.name]
