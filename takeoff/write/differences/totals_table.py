"""What two results come to, side by side: the roof area and the metres of each item, before the lines that differ."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.snapshot import Snapshot
from takeoff.write.differences.tables import Table
from takeoff.write.words.words import plain


def totals_table(old: Snapshot, new: Snapshot) -> tuple[Table, ...]:
    """Roof area on the slope [m2] and metres bought by item where they changed; an item that only one result has stands
    with 0 in the other. No table where nothing changed."""
    sums: dict[tuple[str, str], list[float]] = {}
    names: dict[tuple[str, str], str] = {}
    for place, seen in enumerate((old, new)):
        area = sum(plane.area_m2 for plane in seen.planes)
        sums.setdefault(("roof", "m2"), [0.0, 0.0])[place] = area
        names["roof", "m2"] = "roof area on the slope"
        for line in seen.lines:
            if line.each_mm > 0.0:
                key = (line.item, line.total_unit)
                sums.setdefault(key, [0.0, 0.0])[place] += line.total
                names[key] = line.name
    rows = []
    for key, (before, after) in sums.items():
        one, two = half_up(before, 2), half_up(after, 2)
        if one != two:
            unit = key[1]
            by = f"{half_up(two - one, 2):+.2f} {unit}"
            rows.append((plain(names[key]), f"{one:.2f} {unit}", f"{two:.2f} {unit}", by))
    if not rows:
        return ()
    headings, right = ("what", "old", "new", "change"), (False, True, True, True)
    return (Table("Totals", "What changed in all.", headings, right, tuple(rows)),)
