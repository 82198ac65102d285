"""The page opens, in one tab and in two, and asks nobody else for anything."""

from __future__ import annotations

from typing import Any

HUT = """\
job: Hut
roofs:
  - outline: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]]
    pitch_deg: 25
    fascia_height_mm: 2450
"""


def test_it_opens_and_is_titled(page_server: Any, browser_page: Any) -> None:
    server = page_server(HUT)
    seen = browser_page(server.address)
    seen.page.get_by_role("heading", name="Hut").wait_for()
    seen.tab().page.get_by_role("heading", name="Hut").wait_for()
