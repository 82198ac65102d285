"""Bounds of the walls: boards against net wall, battens against wall over spacing, wrap and closer against widths."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.model.walls import Elevation, WallBoards
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.line_bounds import counted, packed, whole

PAST_M = 0.15  # how far cladding reaches past the framing at a corner, cavity and board; more at an acute one
_NET_SHARE = 0.01
_NET_M2 = 0.05


@record
class WallGround:
    """A wall by its corners [m, m2]: area inside them, of its openings, its width and height, its openings' widths."""

    wall: Elevation
    gross_m2: float
    openings_m2: float
    width_m: float
    high_m: float
    heads_m: float
    past_m: float

    @property
    def openings(self) -> int:
        """How many windows and doors it has."""
        return len(self.wall.openings)


def wall_ground(wall: Elevation) -> WallGround:
    """A wall by the corners of its outline and of its openings, what lies beyond the outline off."""
    xs, ys = [x for x, _ in wall.outline_xy], [y for _, y in wall.outline_xy]
    openings = heads = 0.0
    for opening in wall.openings:
        wide = min(opening.from_left_mm + opening.width_mm, max(xs)) - max(opening.from_left_mm, min(xs))
        high = min(opening.head_mm, max(ys)) - max(opening.sill_mm, min(ys))
        openings += max(0.0, wide) * max(0.0, high) / 1e6
        heads += max(0.0, wide) / 1000.0
    turn = min(min(wall.left_corner.angle_deg or 90.0, wall.right_corner.angle_deg or 90.0), 90.0)
    return WallGround(
        wall=wall,
        gross_m2=(abs(signed_area(wall.outline_xy)) - sum(abs(signed_area(r)) for r in wall.covered_xy)) / 1e6,
        openings_m2=openings,
        width_m=(max(xs) - min(xs)) / 1000.0,
        high_m=(max(ys) - min(ys)) / 1000.0,
        heads_m=heads,
        past_m=PAST_M * max(1.0, 90.0 / max(turn, 1.0)),
    )


def _walls(case: Case) -> tuple[tuple[WallGround, tuple[WallBoards, ...]], ...]:
    """Every clad wall with the boards of its zones."""
    boards = case.takeoff.cladding.boards
    found = ((wall_ground(wall), tuple(b for b in boards if b.wall == wall.wall)) for wall in case.takeoff.elevations)
    return tuple((wall, own) for wall, own in found if own)


def _left_out(case: Case) -> bool:
    """Whether a zone of the job is left out: how much of a wall is clad is then not to be told from its corners."""
    job = case.takeoff.job.walls
    return job is not None and any(zone.direction == "none" for zone in job.zones)


def _bare_parts(case: Case, wall: int) -> int:
    """How many zones leave a part of a wall bare by its height or shape, over which cladding may stand again."""
    job = case.takeoff.job.walls
    return sum(
        zone.direction == "none"
        and (zone.walls is None or wall in zone.walls)
        and any(part is not None for part in (zone.from_mm, zone.to_mm, zone.polygon))
        for zone in (job.zones if job else ())
    )


def wall_areas(case: Case) -> Iterator[Bounded]:
    """Net area of every wall's cladding against its corners, its openings and what it reaches past the framing."""
    for wall, own in _walls(case):
        net = wall.gross_m2 - wall.openings_m2
        slack = _NET_SHARE * wall.gross_m2 + _NET_M2 + 2.0 * wall.past_m * wall.high_m
        words = f"wall of {wall.gross_m2:.2f} m2 less openings of {wall.openings_m2:.2f} m2"
        ref = f"wall {wall.wall.wall}"
        low = 0.0 if _left_out(case) else net - slack
        yield Bounded(sum(b.net_mm2 for b in own) / 1e6, low, net + slack, "m2", words, ref, (ref,))


def board_metres(case: Case) -> Iterator[Bounded]:
    """Length x cover of every wall's boards against its net area: a board that an opening notches is whole, the board
    at each end, top and jamb covers more than is seen, and a raked end costs half a cover twice."""
    for wall, own in _walls(case):
        low, high = _board_range(wall, own)
        figure = sum(piece.length_mm * boards.cover_mm for boards in own for piece in boards.pieces) / 1e6
        ref = f"wall {wall.wall.wall}"
        words = f"net wall of {sum(b.net_mm2 for b in own) / 1e6:.2f} m2 and a board round its edges and openings"
        low = 0.0 if _left_out(case) else low
        yield Bounded(figure, low, high, "m2", words, f"boards of {ref}", (ref,))


def _board_range(wall: WallGround, own: tuple[WallBoards, ...]) -> tuple[float, float]:
    net = wall.gross_m2 - wall.openings_m2
    wide = max(max(boards.board_width_mm, boards.cover_mm) for boards in own) / 1000.0
    rings = (wall.wall.outline_xy, *wall.wall.covered_xy)
    around = sum(dist(a, b) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)) / 1000.0
    around *= len(own)
    jambs = sum(o.width_mm + o.height_mm for o in wall.wall.openings) * 2.0 / 1000.0
    slack = _NET_SHARE * wall.gross_m2 + _NET_M2 + 2.0 * wall.past_m * (wall.high_m + wide)
    return max(0.0, net - slack - 0.3 * wide * around), net + slack + wide * (around + jambs)


def batten_metres(case: Case) -> Iterator[Bounded]:
    """Metres of battens of each wall against its area over the spacing, both ends, the top and beside openings."""
    takeoff = case.takeoff
    job = takeoff.job.walls
    if job is None:
        return
    stud = (job.stud_mm or takeoff.settings.number("stud_mm")) / 1000.0
    nog = takeoff.settings.number("nog_most_mm") / 1000.0
    for wall, own in _walls(case):
        across = own[0].direction == "horizontal"
        if len(own) > 1 or _left_out(case) or wall.wall.covered_xy:
            yield _battens_at_most(case, wall, own, min(stud, nog))
            continue
        spacing = stud if across else nog
        figure = sum(dist(b.a_xy, b.b_xy) for b in takeoff.cladding.battens if b.wall == wall.wall.wall) / 1000.0
        net = wall.gross_m2 - wall.openings_m2
        end, other = (wall.high_m, wall.width_m) if across else (wall.width_m, wall.high_m)
        low = net / spacing - end - 1.0 - 2.0 * sum(o.height_mm for o in wall.wall.openings) / 1000.0
        most = net / (spacing if across else 0.6 * spacing) + 3.0 * end + 1.5 * other + 1.0
        most += wall.openings * 2.0 * (end if across else 0.0) + 2.0 * wall.past_m * wall.high_m / spacing
        ref = f"wall {wall.wall.wall}"
        words = f"net wall of {net:.2f} m2 at {spacing * 1000.0:g} mm"
        yield Bounded(figure, max(0.0, low), most, "m", words, f"battens of {ref}", (ref,))


def _battens_at_most(case: Case, wall: WallGround, own: tuple[WallBoards, ...], spacing: float) -> Bounded:
    """Battens of a wall with several zones or a lower roof before it: at most those of the whole wall both ways, and
    along the edges of each part."""
    figure = sum(dist(b.a_xy, b.b_xy) for b in case.takeoff.cladding.battens if b.wall == wall.wall.wall) / 1000.0
    parts = len(own) + len(wall.wall.covered_xy)
    most = wall.gross_m2 / (0.6 * spacing) + 6.0 * parts * (wall.width_m + wall.high_m) * (1 + wall.openings)
    ref = f"wall {wall.wall.wall}"
    return Bounded(figure, 0.0, most, "m", f"wall of {wall.gross_m2:.2f} m2 in parts", f"battens of {ref}", (ref,))


def base_closer(case: Case) -> Iterator[Bounded]:
    """Base closer against the widths of the walls, doors off; a lower roof before a wall gives it a second foot, and so
    does each part that is left bare below its top."""
    clad = [wall for wall, _ in _walls(case)]
    figure = sum(plan.placed_mm for plan in case.order.plans if plan.item == "base_closer") / 1000.0
    at = sum(wall.width_m for wall in clad)
    past = sum(2.0 * wall.past_m for wall in clad)
    heads = sum(wall.heads_m for wall in clad)
    more = sum(wall.width_m for wall in clad if wall.wall.covered_xy)
    more += sum(_bare_parts(case, wall.wall.wall) * wall.width_m for wall in clad)
    parts = bool(more) or _left_out(case)
    if clad:
        words = f"walls {at:.2f} m wide with {heads:.2f} m of openings"
        yield Bounded(figure, 0.0 if parts else max(0.0, at - past - heads), at + past + more, "m", words)


def wall_wrap(case: Case) -> Iterator[Bounded]:
    """Rolls of wrap against the area of the walls over the roll, laps and a strip's height on each wall."""
    takeoff = case.takeoff
    job = takeoff.job.walls
    clad = [wall for wall, _ in _walls(case)]
    if job is None or not clad:
        return
    roll = takeoff.catalogue.rolls[job.wrap or takeoff.settings.word("wall_wrap")]
    wide, long = roll.width_mm / 1000.0, roll.length_mm / 1000.0
    lap, end = (takeoff.settings.number(f"wrap_lap_{way}_mm") / 1000.0 for way in ("level", "upright"))
    low = sum(wall.gross_m2 - 2.0 * wall.past_m * wall.high_m for wall in clad) / wide
    low = 0.0 if _left_out(case) else low
    strips = sum(wall.high_m / (wide - lap) + 1.0 for wall in clad)
    high = sum(
        (wall.width_m + 2.0 * wall.past_m + 2.0 * end * (1 + len(wall.wall.covered_xy)))
        * (wall.high_m / (wide - lap) + 1.0)
        for wall in clad
    )
    words = f"{sum(wall.gross_m2 for wall in clad):.2f} m2 of wall in at most {strips:.0f} strips"
    yield Bounded(counted(case, roll.id), whole(low, long), whole(high, long), "roll", words)


def wall_fixings(case: Case) -> Iterator[Bounded]:
    """Nails and staples of battens and wrap against the metres and areas they hold."""
    settings = case.takeoff.settings
    clad = [wall for wall, _ in _walls(case)]
    job = case.takeoff.job.walls
    if job is None or not clad:
        return
    spare = 1.0 + settings.number("nail_spare_pct") / 100.0
    stud = job.stud_mm or settings.number("stud_mm")
    cell = stud * settings.number("wrap_staple_mm") / 1e6
    if cell > 0.0:
        gross = sum(wall.gross_m2 for wall in clad)
        past = sum(2.0 * wall.past_m * wall.high_m for wall in clad) + _NET_M2
        low, high = ((gross + way * past) / cell * spare for way in (-1.0, 1.0))
        low = 0.0 if _left_out(case) else low
        yield packed(case, "wall wrap staple", low, high + 1.0, f"{gross:.2f} m2 of wall, one in {cell:.3f} m2")
    spacing = settings.number("batten_nail_mm")
    lengths = [dist(line.a_xy, line.b_xy) for line in case.takeoff.cladding.battens]
    if spacing > 0.0 and lengths:
        low, high = (spare * sum(length / spacing + more for length in lengths) for more in (0.5, 2.2))
        words = f"{len(lengths)} battens of {sum(lengths) / 1000.0:.1f} m at {spacing:g} mm"
        item = next((key for key, known in case.takeoff.items.items() if known.sort == "batten nail"), "batten nail")
        yield packed(case, item, low, high, words)
