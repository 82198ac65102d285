"""Files that are given to the page get a harmless name, and write over nothing."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from takeoff.web.uploads import harmless, kept_beside


@pytest.mark.parametrize(
    ("given", "due"),
    [
        ("rain.csv", "rain.csv"),
        ("../../etc/passwd", "passwd"),
        ("C:\\temp\\Plan 1.DXF", "Plan 1.DXF"),
        (".job.yaml", "job.yaml"),
        ("", "file"),
        ("..", "file"),
        ("<img src=x onerror=alert(1)>.png", "img src_x onerror_alert(1).png"),
        ("aux.png", "_aux.png"),
        ("pl\u202egnp.exe", "pl_gnp.exe"),
        ("a\x00b\n.csv", "a_b.csv"),
        ("Māui ō.png", "Māui ō.png"),
    ],
)
def test_names(given: str, due: str) -> None:
    assert harmless(given) == due


def test_long_names_keep_their_end() -> None:
    name = harmless("x" * 5000 + ".geojson")
    assert len(name) == 80
    assert name.endswith("x.geojson")


def test_nothing_is_written_over(tmp_path: Path) -> None:
    (tmp_path / "plan.png").write_bytes(b"other")
    (tmp_path / "link.png").symlink_to(tmp_path / "nowhere")
    kept = [asyncio.run(kept_beside(tmp_path, name, b"mine")) for name in ("plan.png", "plan.png", "link.png")]
    assert kept == ["plan-2.png", "plan-2.png", "link-2.png"]
    assert (tmp_path / "plan.png").read_bytes() == b"other"
    assert not (tmp_path / "nowhere").exists()
