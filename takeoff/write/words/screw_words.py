"""The screws of a plane in a roofer's words, for the sheet layout, the cutting list and the packs."""

from __future__ import annotations

from takeoff.model.order import Takeoff


def screw_words(takeoff: Takeoff, plane: str) -> str:
    """The pattern, the length of a screw and how many the plane takes; "" for a plane without sheets."""
    found = next((screws for screws in takeoff.roofing.screws if screws.plane == plane), None)
    if found is None:
        return ""
    total = sum(count for _, count in found.rows)
    if not found.length_mm:
        return f"CLIPS: {found.pattern}, {total} in all."
    return f"SCREWS {found.pattern}; {found.length_mm} mm, {total} in all before spares."
