"""The templates and the catalogue are found however the program was installed."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROBE = """
import takeoff
from takeoff.basics.files import template_path
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.write.letters.pdf_letters import width
assert takeoff.__file__.startswith({home!r}), takeoff.__file__
assert "jobs:" not in template_path("starter.yaml").read_text() and template_path("order_sheet.xlsx").stat().st_size > 1000
assert load_catalogue().profiles["corrugated"].cover_mm == 762 and default_settings()
assert width("M", 10.0) > 5.0 and width("M", 10.0, bold=True) > width("M", 10.0)
print(template_path("starter.yaml"))
"""


def build(source: Path, target: Path, kind: str) -> Path:
    """Build one distribution without fetching anything: the build backend is in the test extra."""
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", f"--{kind}", "--outdir", str(target), str(source)],
        check=True,
        capture_output=True,
    )
    (made,) = target.glob("*.whl" if kind == "wheel" else "*.tar.gz")
    return made


def probe_installed(wheel: Path, home: Path) -> str:
    """Install a wheel into a folder of its own and ask the program there for its data."""
    pip = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--no-deps",
        "--no-index",
        "--quiet",
        "--target",
        str(home),
        str(wheel),
    ]
    subprocess.run(pip, check=True, capture_output=True)
    environment = {**os.environ, "PYTHONPATH": str(home)}
    code = PROBE.format(home=str(home))
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=home, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture(scope="module")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(ROOT, tmp_path_factory.mktemp("sdist"), "sdist")


def test_an_installed_wheel_finds_its_data(tmp_path: Path) -> None:
    wheel = build(ROOT, tmp_path / "dist", "wheel")
    home = tmp_path / "home"
    assert probe_installed(wheel, home).startswith(str(home))
    names = zipfile.ZipFile(wheel).namelist()
    assert "takeoff/write/house_view/page/house_3d.js" in names
    assert not [name for name in names if name.startswith(("tests/", "geometry_samples/", ".venv"))]


def test_a_wheel_built_from_the_source_distribution_finds_its_data(sdist: Path, tmp_path: Path) -> None:
    with tarfile.open(sdist) as archive:
        archive.extractall(tmp_path / "source", filter="data")
    (source,) = (tmp_path / "source").iterdir()
    home = tmp_path / "home"
    assert probe_installed(build(source, tmp_path / "dist", "wheel"), home).startswith(str(home))


def test_the_source_distribution_holds_what_it_should_and_no_more(sdist: Path) -> None:
    with tarfile.open(sdist) as archive:
        tops = {name.split("/")[1] for name in archive.getnames() if "/" in name}
    assert tops <= {
        "takeoff", "templates", "geometry_samples", "tests", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml",
        "PKG-INFO", ".gitignore",
    }  # fmt: skip
    assert {"takeoff", "templates", "tests", "LICENSE"} <= tops


def test_a_checkout_finds_the_templates_beside_the_package() -> None:
    from takeoff.basics.files import template_path

    assert template_path("starter.yaml").is_file()
