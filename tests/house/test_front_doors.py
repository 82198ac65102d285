"""What starts fast stays fast: the help imports no heavy library, a job from an outline needs no library of meshes,
drawings or workbooks."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HEAVY = {"numpy", "shapely", "trimesh", "ezdxf", "openpyxl", "pydantic", "scipy", "yaml", "highspy"}
SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def imported_by(*arguments: str) -> set[str]:
    """Top-level packages that a run of the command line imports."""
    result = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "takeoff", *arguments], capture_output=True, text=True, check=False
    )
    assert result.returncode == 0, result.stderr[-2000:]
    lines = [line for line in result.stderr.splitlines() if line.startswith("import time:")]
    return {line.rsplit("|", 1)[1].strip().split(".")[0] for line in lines}


def test_help_imports_no_heavy_library() -> None:
    assert imported_by("--help") & HEAVY == set()


def test_an_outline_job_needs_no_library_of_meshes_drawings_or_workbooks(tmp_path: Path) -> None:
    """What is written into prepared parts needs the library no more that prepared them."""
    seen = imported_by("run", str(SAMPLES / "hip_12x8" / "job.yaml"), "--out", str(tmp_path / "out"))
    assert seen & {"trimesh", "scipy", "networkx", "ezdxf", "openpyxl"} == set()
    assert "pydantic" in seen  # the probe itself sees what a run imports
