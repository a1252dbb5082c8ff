"""How the project is built: setuptools, with the sources of ``.build/sources.in`` and a path for type checkers.

The folders ``cli`` and ``demo_catalog`` have other names in the wheel, so an editable install finds them by an import
hook, and no type checker runs import hooks. Beside the hook stands therefore a plain path, to a folder that holds the
three packages by their own names as links (``build/packages``). Where no links can be made, the hook alone is there.
"""

import tomllib
from pathlib import Path
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
