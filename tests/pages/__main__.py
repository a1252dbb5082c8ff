"""``python -m tests.pages``: builds the pages into ``build/pages``; ``--out DIR`` elsewhere. A warning is an error."""

import sys
from pathlib import Path

from tests.pages.stage import ROOT


def build(out: Path) -> int:
    """Builds all pages anew; 0 if nothing was to be said against them."""
    from sphinx.cmd.build import build_main

    done = build_main(["-q", "-E", "-a", "-W", "--keep-going", "-c", str(ROOT / ".docs"), str(ROOT), str(out)])
    if not done:
        (out / "index.html").write_text('<meta http-equiv="refresh" content="0; url=README.html">\n', "utf-8")
    return done


if __name__ == "__main__":
    where = Path(sys.argv[sys.argv.index("--out") + 1]) if "--out" in sys.argv else ROOT / "build" / "pages"
    failed = build(where)
    print(f"pages: {where / 'index.html'}" if not failed else "the pages are wrong: see above")
    raise SystemExit(failed)
