"""The same job gives the same bytes whatever the machine is set to: hash seed, language, time zone, folder, threads."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SETTINGS: list[dict[str, str]] = [
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland", "LC_ALL": "C", "OMP_NUM_THREADS": "1"},
    {"PYTHONHASHSEED": "4242", "TZ": "America/St_Johns", "LC_ALL": "de_DE.UTF-8", "OMP_NUM_THREADS": "7",
     "OPENBLAS_NUM_THREADS": "3", "PYTHONUTF8": "0", "COLUMNS": "40", "SOURCE_DATE_EPOCH": "1"},
    {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "tr_TR.UTF-8", "PYTHONOPTIMIZE": "2", "HOME": "/nonexistent"},
]  # fmt: skip


def hashes(job: Path, out: Path, cwd: Path, settings: dict[str, str]) -> dict[str, str]:
    named = os.path.relpath(job, cwd) if cwd != ROOT else str(job)
    done = subprocess.run(
        [sys.executable, "-m", "takeoff", "run", named, "--out", str(out)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), **settings},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 6), done.stderr
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in sorted(out.iterdir())}


@pytest.mark.parametrize("sample", ["hip_12x8", "mesh_house"])
def test_the_same_bytes_wherever_it_runs(tmp_path: Path, sample: str) -> None:
    job = ROOT / "geometry_samples" / sample / "job.yaml"
    if not job.exists():
        pytest.fail(f"no sample {sample}")
    folders = [ROOT, tmp_path, job.parent]
    found = [
        hashes(job, tmp_path / f"out{n}", folder, settings)
        for n, (folder, settings) in enumerate(zip(folders, SETTINGS, strict=True))
    ]
    for other in found[1:]:
        assert {name for name in {*found[0], *other} if found[0].get(name) != other.get(name)} == set()
