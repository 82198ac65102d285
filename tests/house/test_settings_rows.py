"""Settings are asked for by name through the methods that note it, and every setting of the catalogue is asked for."""

from __future__ import annotations

import re
from pathlib import Path

import takeoff
from takeoff.read.catalogue import default_settings

PACKAGE = Path(takeoff.__file__).parent
SOURCES = {
    path.relative_to(PACKAGE).as_posix(): path.read_text(encoding="utf-8") for path in sorted(PACKAGE.rglob("*.py"))
}
LISTS_THEM = {"listing.py", "model/settings.py"}


def test_stages_look_no_setting_up_past_the_notes() -> None:
    """`values[...]` is not noted, so a figure made from it would stand in no basis."""
    stages = {name: text for name, text in SOURCES.items() if name.startswith(("shape/", "measure/", "order/"))}
    assert [name for name, text in stages.items() if re.search(r"settings\.values", text)] == []


def test_no_setting_stands_in_the_catalogue_that_nothing_asks_for() -> None:
    """A name made from parts counts by its parts: flashing_row_{category}_{band}_mm."""
    text = "\n".join(SOURCES.values())
    words = set(re.findall(r"[a-z0-9_]+", text))
    made = re.findall(r"f\"([a-z0-9_{}.()]+)\"", text)
    parts = [re.sub(r"\\?\{[^}]*\}", "[a-z0-9_]+", word.replace(".", "")) for word in made if not word.startswith("{")]
    starts = (
        "flashing_cover",
        "flashing_crests",
        "flashing_ribs",
        "flashing_turn_down",
        "flashing_upstand",
        "metal_fascia_",
        "fascia_board_",
    )
    unread = [
        name
        for name in default_settings()
        if name not in words and not any(re.fullmatch(part, name) for part in parts) and not name.startswith(starts)
    ]
    assert unread == []
