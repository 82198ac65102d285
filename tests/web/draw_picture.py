"""Draws the picture of the page that README shows: `python tests/web/draw_picture.py` (Debian's Chromium, playwright)."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

SAMPLE = Path(__file__).resolve().parents[2] / "geometry_samples" / "homestead" / "job.yaml"
PICTURE = Path(__file__).with_name("page.png")
_WAITS_MS = 120_000
_COLOURS = 32  # lines and letters need no more


def draw() -> None:
    """The homestead on the plan, its gable touched."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(SAMPLE, Path(folder) / "job.yaml")
        command = [sys.executable, "-u", "-m", "takeoff", "page", folder, "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server, sync_playwright() as started:
            assert server.stdout is not None
            browser = started.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1280, "height": 720})
            page.set_default_timeout(_WAITS_MS)
            page.goto(server.stdout.readline().strip())
            page.locator(".title-block").get_by_text("HOLD").wait_for()
            page.locator('[aria-label^="Edge 5 of roof main,"]').focus()
            page.get_by_text("Barge flashing").first.wait_for()
            shot = Image.open(io.BytesIO(page.screenshot()))
            browser.close()
            server.terminate()
    shot.convert("RGB").quantize(_COLOURS).save(PICTURE, optimize=True)


if __name__ == "__main__":
    draw()
