"""The page's colours can be read: words against what lies under them at least 4.5 to 1, signs and lines that say
something 3 to 1 (Web Content Accessibility Guidelines 2.1, 1.4.3 and 1.4.11; luminance by its own formula)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import takeoff

LOOK = Path(takeoff.__file__).parent / "web" / "look"
CSS = "\n".join(path.read_text(encoding="utf-8") for path in sorted(LOOK.glob("*.css")))
NAMED = {name: value.lower() for name, value in re.findall(r"--([\w-]+):\s*(#[0-9a-fA-F]{6})\b", CSS)}
UNDER = ("paper", "wash", "touched-wash", "stop-wash", "notice")  # what words lie on
OF_NO_WORDS = {"line", "faint", *UNDER}  # thin lines that only part what stands beside them


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ends() -> None:
    """Black on white is 21 to 1, and #767676 is the lightest grey that passes on white (published with the rule)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("words", sorted(set(NAMED) - OF_NO_WORDS))
def test_words_can_be_read(words: str) -> None:
    assert {
        under: contrast(NAMED[words], NAMED[under]) for under in UNDER if contrast(NAMED[words], NAMED[under]) < 4.5
    } == {}


def test_lines_that_part_can_be_seen() -> None:
    assert contrast(NAMED["line"], NAMED["paper"]) >= 3.0


def test_words_have_named_colours_alone() -> None:
    """So that what is measured here is what is seen: `color` is given by name, and nothing is made fainter."""
    rules = re.findall(r"(?<![\w-])color:\s*([^;}]+)", CSS)
    assert [value for value in rules if not re.fullmatch(r"var\(--[\w-]+\)|inherit", value.strip())] == []
    assert [value for value in re.findall(r"(?<![\w-])opacity:\s*([^;}]+)", CSS) if float(value) < 1] == []


def test_nothing_is_fetched_from_elsewhere() -> None:
    assert re.findall(r"url\((?!#)|@import|https?:", CSS) == []


def test_what_has_the_focus_is_seen() -> None:
    assert ":focus-visible" in CSS
    assert not re.search(r"outline:\s*(none|0)\b", CSS)
