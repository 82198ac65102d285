"""Draw the plan and elevations of the sample `drawn_plan` again: python tests/golden/draw_sample_plan.py

A plain text drawing of the oldest kind that is still read, so that its bytes are the same every time: wall line as loose
lines in no order, elevations as polylines beside it, openings on layers of their own. Sizes are ours, in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

PLAN = Path(__file__).resolve().parents[2] / "geometry_samples" / "drawn_plan" / "plan.dxf"

Points = Sequence[tuple[int, int]]

# an L of 11.4 x 6.0 m and 6.6 x 4.2 m, with a nook of 0.9 x 1.0 m for the firewood in its left wall
WALLS: Points = (
    (0, 0), (11400, 0), (11400, 6000), (6600, 6000), (6600, 10200),
    (0, 10200), (0, 4900), (1000, 4900), (1000, 4000), (0, 4000),
)  # fmt: skip
FRONT: Points = ((20000, 0), (31400, 0), (31400, 2400), (20000, 2400))
GABLE: Points = ((35000, 0), (41000, 0), (41000, 2400), (38000, 3800), (35000, 2400))
WINDOWS: tuple[tuple[int, int, int, int], ...] = (
    (21200, 900, 1800, 1200),
    (27600, 900, 1800, 1200),
    (37400, 1000, 1200, 1000),
)
DOORS: tuple[tuple[int, int, int, int], ...] = ((24600, 0, 900, 2100),)


def drawing() -> str:
    """The drawing: pairs of lines, a code and its value."""
    pairs: list[tuple[int, object]] = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009")]
    pairs += [(9, "$INSUNITS"), (70, 4), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]
    sides = list(zip(WALLS, (*WALLS[1:], WALLS[0]), strict=True))
    for i in range(len(sides)):  # every third, so that none follows the one before it; the first one stays the first
        a, b = sides[i * 3 % len(sides)]
        pairs += _line("WALLS", *((b, a) if i % 2 else (a, b)))
    for layer, ring in (("FRONT", FRONT), ("GABLE END", GABLE)):
        pairs += _polyline(layer, ring)
    for layer, boxes in (("WINDOWS", WINDOWS), ("DOORS", DOORS)):
        for x, y, width, height in boxes:
            pairs += _polyline(layer, ((x, y), (x + width, y), (x + width, y + height), (x, y + height)))
    pairs += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def _line(layer: str, a: tuple[int, int], b: tuple[int, int]) -> Iterator[tuple[int, object]]:
    yield from ((0, "LINE"), (8, layer), (10, a[0]), (20, a[1]), (11, b[0]), (21, b[1]))


def _polyline(layer: str, ring: Points) -> Iterator[tuple[int, object]]:
    yield from ((0, "POLYLINE"), (8, layer), (66, 1), (70, 1))
    for x, y in ring:
        yield from ((0, "VERTEX"), (8, layer), (10, x), (20, y))
    yield from ((0, "SEQEND"), (8, layer))


if __name__ == "__main__":
    PLAN.parent.mkdir(exist_ok=True)
    PLAN.write_text(drawing(), encoding="ascii", newline="\n")
