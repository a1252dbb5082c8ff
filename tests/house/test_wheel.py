"""What is handed out: wheel and source archive build without going online, install clean, and run outside the tree.

The environments are new and hold the wheel alone; the libraries that it needs are this environment's, on a path behind
it, so nothing is fetched.
"""

import os
import subprocess
import sys
import sysconfig
import tarfile
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]
LIBRARIES = sorted({sysconfig.get_path("purelib"), sysconfig.get_path("platlib")})
TESTS = [
    "tests/house/test_public_names.py",
    "tests/published/test_s10.py",
    "tests/weighing/test_sampling.py",
    "tests/cli/test_help.py::test_an_unknown_noun_is_wrong_use",
]
"""Of the names, a standard, counting, the command line: enough to see that the archive's tests run on the wheel."""


def run(*words: object, at: Path, **more: str) -> str:
    """Runs a program; what it printed."""
    ran = subprocess.run([*map(str, words)], cwd=at, capture_output=True, text=True, check=False, env=more or None)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh clone."""
    source = tmp_path_factory.mktemp("clone") / "source"
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    run("git", "clone", "-q", "--no-hardlinks", ROOT, source, at=ROOT)
    return source


@pytest.fixture(scope="module")
def built(source: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Source archive and wheel, the wheel built from the archive."""
    out = tmp_path_factory.mktemp("built")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", out, source, at=out)
    return out


@pytest.fixture(scope="module")
def installed(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new environment with the wheel: the folder of its programs."""
    return environment(tmp_path_factory.mktemp("new"), next(built.glob("*.whl")))


def environment(folder: Path, wheel: Path) -> Path:
    """A new environment with one wheel, and this one's libraries behind it: the folder of its programs."""
    run(sys.executable, "-m", "venv", "--without-pip", folder / "venv", at=folder)
    programs = folder / "venv" / "bin"
    run(sys.executable, "-m", "pip", "--python", programs / "python", "install", "-q", "--no-deps", wheel, at=folder)
    packages = run(
        programs / "python", "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", at=folder
    ).strip()
    (Path(packages) / "zz_libraries.pth").write_text("\n".join(_found_by_this_one()) + "\n", "utf-8")
    return programs


def _found_by_this_one() -> list[str]:
    """Where this environment finds its libraries: what its own path files add, too, but not the tree."""
    tree = {str(ROOT), str(ROOT / "build" / "packages")}
    return [one for one in sys.path if Path(one).is_dir() and "packages" in one and one not in tree] or LIBRARIES


@pytest.mark.slow
def test_the_wheel_brings_nothing_that_clashes(built: Path) -> None:
    """Its top-level names are ours: no bare ``cli``, no ``tests``."""
    tops = {name.split("/")[0] for name in ZipFile(next(built.glob("*.whl"))).namelist()}

    assert {top for top in tops if not top.endswith(".dist-info")} == {"fulfil", "fulfil_cli", "fulfil_demo_catalog"}


@pytest.mark.slow
def test_the_source_archive_holds_what_git_holds(source: Path, built: Path) -> None:
    """Tests, pages, fragments and the lock; only lists that are made beside it are more."""
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        held = {one.name.partition("/")[2] for one in archive.getmembers() if one.isfile()}
    tracked = set(run("git", "ls-files", at=source).splitlines())

    assert tracked - held == set()
    assert {one for one in held - tracked if not one.startswith("fulfil.egg-info/")} == {"PKG-INFO", "setup.cfg"}


@pytest.mark.slow
def test_the_installed_command_runs_a_small_shop(installed: Path, tmp_path: Path) -> None:
    """From an empty folder, by the wheel's own code: help of the demo, a shop with its verdict, a page of paper."""
    fulfil = installed / "fulfil"
    python = installed / "python"

    where = run(
        python, "-c", "import fulfil, fulfil_demo_catalog as d; print(fulfil.__file__); print(d.FOLDER)", at=tmp_path
    )
    assert all(line.startswith(str(installed.parent)) for line in where.splitlines())
    assert "Example: fulfil demo --out demo-day" in run(fulfil, "demo", "--help", at=tmp_path)
    run(fulfil, "shop", "create", "--shop", "shop.sqlite", at=tmp_path)
    assert "Both books add up" in run(fulfil, "shop", "verify", "--shop", "shop.sqlite", at=tmp_path)
    run(fulfil, "papers", "calibrate", "--out", "page.pdf", at=tmp_path)
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")
    assert (Path(where.splitlines()[1]) / "parts.csv").exists()


@pytest.mark.slow
def test_the_archives_tests_pass_on_the_wheel(built: Path, installed: Path, tmp_path: Path) -> None:
    """Unpacked elsewhere, without the library's sources beside them."""
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        archive.extractall(tmp_path, filter="data")
    (unpacked,) = tmp_path.iterdir()
    (unpacked / "fulfil").rename(tmp_path / "not-here")

    # The names are to open; machine code for their new place would take most of the test, and none of it runs here.
    told = {**os.environ, "NUMBA_DISABLE_JIT": "1"}
    ran = run(installed / "python", "-m", "pytest", "-p", "no:cacheprovider", *TESTS, at=unpacked, **told)

    assert " passed" in ran


@pytest.mark.slow
def test_an_editable_install_is_found_by_a_type_checker(source: Path, tmp_path: Path) -> None:
    """A type checker runs no import hooks: it finds the package on a plain path, with its marker ``py.typed``."""
    from mypy.modulefinder import BuildSourceSet, FindModuleCache, SearchPaths
    from mypy.options import Options

    build = (
        f"import sys; sys.path.insert(0, '.build'); import backend; print(backend.build_editable({str(tmp_path)!r}))"
    )
    # The machine code that the install makes beside is not asked for here.
    name = run(sys.executable, "-c", build, at=source, **{**os.environ, "NUMBA_DISABLE_JIT": "1"}).splitlines()[-1]
    programs = environment(tmp_path, tmp_path / name)
    paths = run(programs / "python", "-c", "import sys; print('\\n'.join(sys.path[1:]))", at=tmp_path).splitlines()
    search = SearchPaths((), (), tuple(one for one in paths if "zz" not in one), ())

    found = FindModuleCache(search, None, Options(), source_set=BuildSourceSet([])).find_module("fulfil")

    assert found == str(source / "build" / "packages" / "fulfil" / "__init__.py")
    assert (source / "build" / "packages" / "fulfil_cli" / "main.py").exists()
