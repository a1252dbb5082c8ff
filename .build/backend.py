"""How the project is built: setuptools, with the sources of ``.build/sources.in`` and a path for type checkers.

The folders ``cli`` and ``demo_catalog`` have other names in the wheel, so an editable install finds them by an import
hook, and no type checker runs import hooks. Beside the hook stands therefore a plain path, to a folder that holds the
three packages by their own names as links (``build/packages``). Where no links can be made, the hook alone is there.

An editable install makes the machine code of search and proof, too, on two cores while nobody waits for a plan; it is
kept beside the sources (numba's own cache). Where the libraries aren't there yet, as in an isolated build, or where it
fails, the first plan makes it, as after the install of a wheel.
"""

import os
import sys
import tomllib
from importlib.util import find_spec
from pathlib import Path
from subprocess import DEVNULL, Popen
from zipfile import ZipFile

from setuptools import build_meta
from setuptools.build_meta import *  # noqa: F403 - every hook of PEP 517 and PEP 660 but one is setuptools' own
from setuptools.command import egg_info

ROOT = Path(__file__).parents[1]
LINKS = ROOT / "build" / "packages"

egg_info.manifest_maker.template = ".build/sources.in"  # where setuptools looks for MANIFEST.in


def build_editable(wheel_directory, config_settings=None, metadata_directory=None):  # type: ignore[no-untyped-def]
    """As setuptools builds it, with the path beside."""
    name = build_meta.build_editable(wheel_directory, config_settings, metadata_directory)
    if _linked():
        with ZipFile(Path(wheel_directory) / name, "a") as wheel:
            wheel.writestr("fulfil_packages.pth", f"{LINKS}\n")
        _make_machine_code()
    return name


def _linked() -> bool:
    """Whether the folder of links stands."""
    names = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["package-dir"]
    LINKS.mkdir(parents=True, exist_ok=True)
    try:
        for package, folder in names.items():
            link = LINKS / package
            if not link.exists():
                link.unlink(missing_ok=True)
                link.symlink_to(Path("..", "..", folder), target_is_directory=True)
    except OSError:
        return False
    return True


def _make_machine_code() -> None:
    """Imports what compiles, in a process for the search and one for the proof; whatever they say is nobody's news."""
    if find_spec("numba") is None or os.environ.get("NUMBA_DISABLE_JIT") == "1":
        return
    told = {**os.environ, "PYTHONPATH": str(LINKS)}
    makes = "import importlib, fulfil.walks.bound_apart as apart; [*map(importlib.import_module, apart.{})]"
    making = [
        Popen([sys.executable, "-c", makes.format(kind)], env=told, stdout=DEVNULL, stderr=DEVNULL)  # noqa: S603
        for kind in ("SEARCH", "PROOF")
    ]
    for one in making:
        one.wait()
