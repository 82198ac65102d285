"""Two results line by line: what was set otherwise, which planes, edges, sheets, downpipes and walls differ, and what
that does to the order. Things are matched by where they lie, never by their marks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.differences import Change, Comparison
from takeoff.model.snapshot import SeenEdge, SeenLine, SeenPipe, SeenPlane, SeenSheet, SeenSide, Snapshot
from takeoff.order.comparing.lay_over import Motion, lay_over
from takeoff.order.comparing.match_places import Pairs, pair_best, pair_planes, pair_sheets, pair_sides

_SAME_MM = TOLERANCES.same_point_mm
_SAME_DEG = TOLERANCES.compare_deg
_SAME_M2 = TOLERANCES.compare_m2
_PIPE_MM = TOLERANCES.compare_place_mm
_NOT_GIVEN = "not given"


def compare(old: Snapshot, new: Snapshot) -> Comparison:
    """Everything that is not as it was, in the order of cause: terms, sides, planes, edges, sheets, rainwater, walls,
    order lines. Names, revisions and dates are no changes."""
    motion = lay_over(old, new)
    planes = pair_planes(old.planes, new.planes, motion)
    sheets = [(one, two, pair_sheets(one, two, motion)) for one, two in planes.both]
    now = {before.mark: after.mark for _, _, pairs in sheets for before, after in pairs.both}
    changes = [
        *_terms("", old.terms, new.terms),
        *_turned(motion),
        *_sides("term", pair_sides(old.sides, new.sides, motion)),
        *_planes(planes),
        *_edges(old, new, planes, motion),
        *(change for one, two, pairs in sheets for change in _sheets(pairs, now)),
        *_lost_sheets(planes),
        *_pipes(old, new, motion),
        *_sides("wall", pair_sides(old.walls, new.walls, motion)),
        *_lines(old.lines, new.lines),
    ]
    if old.withheld != new.withheld:
        words = ["withheld by a stop finding" if seen.withheld else "given" for seen in (old, new)]
        changes.insert(0, Change("term", "the order", "", "", words[0], words[1]))
    matched = sum(len(pairs.both) for _, _, pairs in sheets)
    return Comparison(old.name, new.name, tuple(changes), len(planes.both), matched, motion.words)


def _terms(name: str, old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[Change]:
    """Terms that have another value; a term of a product that only one result uses is none."""
    for term in dict.fromkeys((*old, *new)):
        if term.startswith("product ") and (term not in old or term not in new):
            continue
        before, after = old.get(term, _NOT_GIVEN), new.get(term, _NOT_GIVEN)
        if before != after:
            yield Change("term", term, name, name, before, after)


def _turned(motion: Motion) -> Iterator[Change]:
    if abs(motion.turn_deg) > 0.05:
        yield Change("term", "house against north", "", "", "", f"turned by {motion.turn_deg:.1f} degrees")


def _sides(kind: str, pairs: Pairs[SeenSide]) -> Iterator[Change]:
    for one, two in pairs.both:
        for term in dict.fromkeys((*one.terms, *two.terms)):
            if term not in one.own and term not in two.own:
                continue
            before, after = one.terms.get(term, _NOT_GIVEN), two.terms.get(term, _NOT_GIVEN)
            if before != after:
                yield Change(kind, term, one.id, two.id, before, after)
    yield from (
        Change(kind, "outline" if kind == "term" else "wall", one.id, "", "there", "gone") for one in pairs.gone
    )
    yield from (Change(kind, "outline" if kind == "term" else "wall", "", two.id, "", "new") for two in pairs.new)


def _figure(
    kind: str, what: str, names: tuple[str, str], figures: tuple[float, float], unit: str, same: float, places: int
) -> Iterator[Change]:
    before, after = figures
    if abs(after - before) > same:
        words = (f"{before:.{places}f} {unit}", f"{after:.{places}f} {unit}")
        yield Change(kind, what, *names, *words, f"{after - before:+.{places}f} {unit}")


def _planes(pairs: Pairs[SeenPlane]) -> Iterator[Change]:
    for one, two in pairs.both:
        names = (one.id, two.id)
        yield from _figure("plane", "pitch", names, (one.pitch_deg, two.pitch_deg), "deg", _SAME_DEG, 2)
        yield from _figure("plane", "area", names, (one.area_m2, two.area_m2), "m2", _SAME_M2, 2)
        heights = (one.fascia_height_mm, two.fascia_height_mm)
        yield from _figure("plane", "fascia height", names, heights, "mm", _SAME_MM, 0)
        for what, before, after in (
            ("covering", one.covering, two.covering),
            ("profile", one.profile, two.profile),
            ("laid from", one.start_side, two.start_side),
        ):
            if before != after:
                yield Change("plane", what, *names, before or "none", after or "none")
    yield from (Change("plane", "plane", one.id, "", f"{one.area_m2:.2f} m2", "gone") for one in pairs.gone)
    yield from (Change("plane", "plane", "", two.id, "", f"new, {two.area_m2:.2f} m2") for two in pairs.new)


def _edges(old: Snapshot, new: Snapshot, planes: Pairs[SeenPlane], motion: Motion) -> Iterator[Change]:
    """Edges of one kind between the same planes, the nearest first."""
    names = {one.id: two.id for one, two in planes.both}

    def near(one: SeenEdge, two: SeenEdge) -> float | None:
        if one.kind != two.kind or {names.get(plane) for plane in one.planes} != set(two.planes):
            return None
        a, b = motion.place(one.a), motion.place(one.b)
        return -hypot(a[0] + b[0] - two.a[0] - two.b[0], a[1] + b[1] - two.a[1] - two.b[1])

    pairs = pair_best(old.edges, new.edges, near)
    for one, two in pairs.both:
        lengths = (one.length_mm, two.length_mm)
        yield from _figure("edge", f"{one.kind}, length", (one.id, two.id), lengths, "mm", _SAME_MM, 0)
    yield from (Change("edge", one.kind, one.id, "", f"{one.length_mm:.0f} mm", "gone") for one in pairs.gone)
    yield from (Change("edge", two.kind, "", two.id, "", f"new, {two.length_mm:.0f} mm") for two in pairs.new)


def _sheets(pairs: Pairs[SeenSheet], now: Mapping[str, str]) -> Iterator[Change]:
    """A line a sheet: what it is bought in where that changed, else its sides, else its cuts. `now` leads old marks to
    new ones."""
    for one, two in pairs.both:
        names = (one.mark, two.mark)
        changed = list(_bought(one, two, now))
        if not changed:
            changed += _figure("sheet", "left side", names, (one.left_mm, two.left_mm), "mm", _SAME_MM, 0)
            changed += _figure("sheet", "right side", names, (one.right_mm, two.right_mm), "mm", _SAME_MM, 0)
        if not changed:
            for what, before, after in (("foot", one.foot, two.foot), ("top", one.top, two.top)):
                if before != after:
                    changed.append(Change("sheet", what, *names, before, after))
        yield from changed
    yield from (_gone(sheet) for sheet in pairs.gone)
    yield from (_new(sheet) for sheet in pairs.new)


def _bought(one: SeenSheet, two: SeenSheet, now: Mapping[str, str]) -> Iterator[Change]:
    """The length bought, or whose length it comes out of, where it is another."""
    names = (one.mark, two.mark)
    if not one.cut_from and not two.cut_from:
        yield from _figure("sheet", "bought", names, (one.bought_mm, two.bought_mm), "mm", _SAME_MM, 0)
    elif now.get(one.cut_from, one.cut_from) != two.cut_from:
        yield Change("sheet", "bought", *names, _bought_words(one), _bought_words(two))
    else:
        yield from _figure("sheet", "length alone", names, (one.bought_mm, two.bought_mm), "mm", _SAME_MM, 0)


def _bought_words(sheet: SeenSheet) -> str:
    return f"from {sheet.cut_from}" if sheet.cut_from else f"{sheet.bought_mm:.0f} mm"


def _lost_sheets(planes: Pairs[SeenPlane]) -> Iterator[Change]:
    yield from (_gone(sheet) for plane in planes.gone for sheet in plane.sheets)
    yield from (_new(sheet) for plane in planes.new for sheet in plane.sheets)


def _gone(sheet: SeenSheet) -> Change:
    by = "" if sheet.cut_from else f"{-sheet.bought_mm:+.0f} mm"
    return Change("sheet", "bought", sheet.mark, "", _bought_words(sheet), "gone", by)


def _new(sheet: SeenSheet) -> Change:
    by = "" if sheet.cut_from else f"{sheet.bought_mm:+.0f} mm"
    return Change("sheet", "bought", "", sheet.mark, "", f"new, {_bought_words(sheet)}", by)


def _pipes(old: Snapshot, new: Snapshot, motion: Motion) -> Iterator[Change]:
    def near(one: SeenPipe, two: SeenPipe) -> float | None:
        x, y = motion.place(one.at)
        off = hypot(x - two.at[0], y - two.at[1])
        return -off if off <= _PIPE_MM else None

    pairs = pair_best(old.pipes, new.pipes, near)
    for one, two in pairs.both:
        off = -(near(one, two) or 0.0)
        names = (one.id, two.id)
        if off > _SAME_MM:
            yield Change("downpipe", "place", *names, "", "moved", f"{off:.0f} mm")
        yield from _figure("downpipe", "height", names, (one.height_mm, two.height_mm), "mm", _SAME_MM, 0)
        drains = (one.catchment_m2, two.catchment_m2)
        yield from _figure("downpipe", "roof drained", names, drains, "m2", _SAME_M2, 2)
    yield from (Change("downpipe", "downpipe", one.id, "", "there", "gone") for one in pairs.gone)
    yield from (Change("downpipe", "downpipe", "", two.id, "", "new") for two in pairs.new)


def _lines(old: Sequence[SeenLine], new: Sequence[SeenLine]) -> Iterator[Change]:
    yield from _totals(old, new)
    before, after = _by_item(old), _by_item(new)
    for key in dict.fromkeys((*before, *after)):
        one, two = before.get(key, []), after.get(key, [])
        line = (two or one)[0]
        length = f", {line.each_mm:.0f} mm" if line.each_mm > 0.0 else ""
        names = (one[0].id if one else "", two[0].id if two else "")
        counts = (sum(entry.count for entry in one), sum(entry.count for entry in two))
        if abs(counts[1] - counts[0]) > 1e-9:
            words = [f"{count:,.10g} {line.unit}" if count else "none" for count in counts]
            by = f"{counts[1] - counts[0]:+,.10g} {line.unit}"
            yield Change("order line", f"{line.name}{length}", *names, words[0], words[1], by)
        elif one[0].name != two[0].name:
            yield Change("order line", f"{line.item}{length}", *names, one[0].name, two[0].name)


def _totals(old: Sequence[SeenLine], new: Sequence[SeenLine]) -> Iterator[Change]:
    """Items bought by length, in both results: what all their lines come to."""
    sums: dict[tuple[str, str], list[float]] = {}
    names: dict[tuple[str, str], str] = {}
    for place, lines in enumerate((old, new)):
        for line in lines:
            if line.each_mm > 0.0:
                key = (line.item, line.total_unit)
                sums.setdefault(key, [0.0, 0.0])[place] += line.total
                names[key] = line.name
    for (item, unit), (before, after) in sums.items():
        if before and after:
            what = f"{names[(item, unit)]}, all lengths"
            yield from _figure("order line", what, ("", ""), (before, after), unit, 0.0005, 3)


def _by_item(lines: Sequence[SeenLine]) -> dict[tuple[str, str, float, str], list[SeenLine]]:
    found: dict[tuple[str, str, float, str], list[SeenLine]] = {}
    for line in lines:
        found.setdefault((line.delivery, line.item, round(line.each_mm, 3), line.unit), []).append(line)
    return found
