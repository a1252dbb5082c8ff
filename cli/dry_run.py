"""A dry run: the step itself, done on a copy of the shop that is thrown away; papers go into the bin with it.

What is said is therefore what the step would say, refusals and findings included; numbers that it gives may be given
to others before it is done for good. A shop on a server is copied through its archive, which takes longer.
"""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from .asking import Answer, Ask
from .saying import json_text

SAYS = "A dry run, on a copy of the shop: nothing is changed. Done for good, it would say:"


def tried(ask: Ask, given: dict[str, Any], do: Callable[[Ask, dict[str, Any]], Answer]) -> Answer:
    """What a step would answer.

    Raises:
        Refusal: as the step itself.
    """
    with TemporaryDirectory(prefix="fulfil-dry-run-") as name:
        copy, papers = Path(name) / "shop.sqlite", Path(name) / "papers"
        _copy(ask, Path(name), copy)
        out = given.get("out")
        own = given | ({"out": papers} if isinstance(out, Path) else {})
        answer = do(replace(ask, where=str(copy), copied_from=ask.where), own)

    def meant(text: str) -> str:
        """As it would be said of the real places."""
        return text.replace(str(papers), str(out)).replace(str(copy), ask.where)

    facts = json.loads(meant(json_text(answer.facts)))
    return replace(answer, lines=[SAYS, *map(meant, answer.lines)], facts=facts | {"dry_run": True})


def _copy(ask: Ask, folder: Path, copy: Path) -> None:
    """The shop as it is now, where there is one; a step that makes one makes it in the copy's place."""
    from fulfil.store.safe.archive import export_shop, import_shop
    from fulfil.store.safe.copies import restore

    where = ask.needed()
    if "://" in where:
        import_shop(export_shop(where, folder / "shop.zip").path, str(copy))
    elif Path(where).exists():
        with ask.shop():
            pass
        restore(Path(where), copy)
