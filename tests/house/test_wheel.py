"""The wheel installs and brings nothing that clashes: no bare ``cli``, no ``tests``."""

import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_the_wheel_installs_beside_other_peoples_code(tmp_path):
    """Its top-level names are ours, and the installed command runs from it."""
    source = tmp_path / "source"
    subprocess.run(
        ["git", "clone", "-q", "--local", str(ROOT), str(source)],
        check=True,
    )
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path), str(source)]
    subprocess.run(build, check=True, capture_output=True)
    wheel = next(tmp_path.glob("*.whl"))

    tops = {name.split("/")[0] for name in ZipFile(wheel).namelist()}

    assert {top for top in tops if not top.endswith(".dist-info")} == {"fulfil", "fulfil_cli", "fulfil_demo_catalog"}

    target = tmp_path / "target"
    install = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", str(target), str(wheel)]
    subprocess.run(install, check=True, capture_output=True)
    code = (
        "import fulfil, fulfil_demo_catalog as d; from fulfil_cli.main import main; print(fulfil.__file__); "
        "print((d.FOLDER / 'parts.csv').exists())"
    )
    ran = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(target)!r}); {code}"],
        check=True, capture_output=True, text=True, cwd=tmp_path,
    )  # fmt: skip

    assert ran.stdout.splitlines() == [str(target / "fulfil" / "__init__.py"), "True"]
