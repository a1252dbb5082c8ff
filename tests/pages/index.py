"""The order of the pages: the index that README.md gives them, link by link.

README.md is read on its own, too, so it can't hold the builder's directives; its section *Pages* is turned into one
while the pages are built. A page that the index forgets stops the build.
"""

import re
from typing import Any

SECTION = "## Pages\n"


def links(readme: str) -> list[str]:
    """The pages that the index names, in order, without their ending."""
    _, _, section = readme.partition(SECTION)
    return re.findall(r"\]\(([\w./-]+)\.md\)", section.partition("\n## ")[0])


def with_order(app: Any, docname: str, content: list[str]) -> None:
    """Hands the builder README.md's index as its table of contents."""
    if docname == "README":
        order = "\n".join(links(content[0]))
        content[0] = f"{content[0]}\n\n```{{toctree}}\n:hidden:\n\n{order}\n```\n"
