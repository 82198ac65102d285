"""The rainwater plan: spouting with high points and falls, outlets, downpipes as numbered in the order and what they
drain, valleys with what they bring, and which tank each pipe is led to. Drawn in plan as the roof plan is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import hypot

from takeoff.basics.vectors import Point2
from takeoff.model.drainage import Downpipe, GutterRun
from takeoff.model.order import Document, Takeoff
from takeoff.model.roof import Roof
from takeoff.write.drawings.drawing import SMALL_MM, Drawing, Sketch
from takeoff.write.drawings.frame import A2, A3, title_block, wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place, draw_edges, draw_seen
from takeoff.write.drawings.plan_sheet import NOTES_MM, plan_sheet
from takeoff.write.words.words import number, plain, whole

_RIM = 26.0  # round the roof, for words [paper mm]
_OFF, _PIPE, _TICK = 1.6, 1.6, 2.0  # gutter off its eave, radius of an outlet, half a high point's mark [paper mm]
_SPOT = 1.2  # radius of the foot of a valley [paper mm]
_FAR = (6.0, 9.0, 12.0, 16.0, 20.0)  # how far from a spot its words are tried [paper mm]
_ROLES = {
    "GUTTER": "spouting; the arrows fall to the outlets",
    "RAIN-HIGH": "high point: the water parts here, half way between outlets",
    "DOWNPIPE": "outlet and downpipe, numbered as in the order, with the roof in plan that it drains and how far it is "
    "from the nearer end or corner of its gutter, seen from outside",
    "RAIN-VALLEY": "foot of a valley, with the roof in plan that it brings",
}


def rain_plan(takeoff: Takeoff) -> Drawing | None:
    """The rainwater plan; None for a job without spouting."""
    if not takeoff.gutters or not takeoff.roofs:
        return None
    sheet = plan_sheet(takeoff, (A3, A2), _RIM)
    _roofs(sheet.taken, sheet.place, takeoff)
    runs = [_Placed(sheet.taken, sheet.place, takeoff, run) for run in takeoff.gutters]
    for placed in runs:
        placed.draw()
    for placed in runs:
        placed.name()
    _notes(sheet.sketch, sheet.corner, takeoff)
    return sheet.finished("rainwater_plan", title_block(takeoff, "Rainwater plan", "R2", Document.ALL))


def _roofs(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """Edges and wall lines; what lies under a higher roof is dashed and thin, and words may stand on it."""
    for roof in takeoff.roofs:
        draw_edges(taken, place, roof)
        for ring in roof.wall_line_mm:
            points = [place.at(roof, point) for point in ring]
            taken.sketch.ring("WALL-LINE", points)
            taken.lines += zip(points, (*points[1:], points[0]), strict=True)


class _Placed:
    """One run on the plan: its legs moved out from the eaves, and where along them things stand."""

    def __init__(self, taken: Room, place: Place, takeoff: Takeoff, run: GutterRun) -> None:
        self.taken, self.run = taken, run
        roof = next((roof for roof in takeoff.roofs if roof.name == run.roof), takeoff.roofs[0])
        self.place, self.roof, self.under = place, roof, place.under(roof)
        plan = takeoff.gutter_plan(run.id)
        self.pipes = plan.pipes if plan is not None else ()
        self.tanks = _tanks(takeoff)

    def at(self, along_mm: float, off_paper_mm: float = _OFF) -> tuple[Point2, Point2]:
        """The point of the gutter there, and which way is outwards."""
        rest = along_mm % self.run.length_mm if self.run.ring else along_mm
        for leg in self.run.legs:
            if rest <= leg.length_mm + 1e-6 or leg is self.run.legs[-1]:
                a, b = _in_plan(self.place, self.roof, leg.a_mm), _in_plan(self.place, self.roof, leg.b_mm)
                length = max(hypot(b[0] - a[0], b[1] - a[1]), 1e-9)
                out = ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)
                t, off = min(max(rest / leg.length_mm, 0.0), 1.0), self.taken.sketch.paper(off_paper_mm)
                return (a[0] + (b[0] - a[0]) * t + out[0] * off, a[1] + (b[1] - a[1]) * t + out[1] * off), out
            rest -= leg.length_mm
        raise ValueError(f"{self.run.id}: no leg at {along_mm:.0f} mm")

    @property
    def highs_mm(self) -> list[float]:
        """Where the water parts between two outlets [mm along the run]."""
        along = [pipe.along_mm for pipe in self.pipes]
        if self.run.ring and along:
            along = [*along, along[0] + self.run.length_mm]
        return [(a + b) / 2.0 for a, b in pairwise(along)]

    def draw(self) -> None:
        """Gutter, high points, outlets, feet of valleys, and arrows of fall."""
        sketch = self.taken.sketch
        start = 0.0
        for leg in self.run.legs:
            ends = (self.at(start + 1e-3)[0], self.at(start + leg.length_mm - 1e-3)[0])
            draw_seen(self.taken, "GUTTER", ends, self.under)
            start += leg.length_mm
        for high in self.highs_mm:
            (x, y), out = self.at(high)
            tick = sketch.paper(_TICK)
            ends = ((x - out[0] * tick, y - out[1] * tick), (x + out[0] * tick, y + out[1] * tick))
            sketch.line("RAIN-HIGH", *ends)
            self.taken.lines.append(ends)
        for pipe in self.pipes:
            at, _ = self.at(pipe.along_mm)
            sketch.circle("DOWNPIPE", at, _PIPE)
            self.taken.boxes.append(self.taken.square(at, _PIPE))
            self._falls(pipe)
        for foot in self.run.valleys:
            at, _ = self.at(foot.along_mm, 0.0)
            sketch.circle("RAIN-VALLEY", at, _SPOT)
            self.taken.boxes.append(self.taken.square(at, _SPOT))

    def _falls(self, pipe: Downpipe) -> None:
        """An arrow along the gutter towards an outlet, from each side that brings water."""
        sketch = self.taken.sketch
        for side in (-1.0, 1.0):
            reach = self._reach(pipe.along_mm, side)
            tail, head = min(reach * 0.55, sketch.paper(16.0)), sketch.paper(_PIPE + 1.0)
            if tail - head < sketch.paper(4.0):
                continue
            a, _ = self.at(pipe.along_mm + side * tail, 3.4)
            b, _ = self.at(pipe.along_mm + side * head, 3.4)
            sketch.arrow("FALL-ARROW", a, b, 2.2)
            self.taken.lines.append((a, b))

    def _reach(self, along_mm: float, side: float) -> float:
        """How far the water of an outlet comes along the gutter from one side, or to the corner before that [mm]."""
        stops, length = [*self.highs_mm, *self._corners()], self.run.length_mm
        if not self.run.ring:
            stops += [0.0, length]
        away = [(stop - along_mm) * side for stop in stops]
        if self.run.ring:
            away = [off % length for off in away]
        return min((off for off in away if off > 1.0), default=0.0)

    def _corners(self) -> Iterator[float]:
        start = 0.0
        for leg in self.run.legs:
            yield start
            start += leg.length_mm
        yield start

    def name(self) -> None:
        """Words: pipes with what they drain and where they lead, feet of valleys, high points."""
        for pipe in self.pipes:
            at, out = self.at(pipe.along_mm)
            words, off = f"{pipe.id} {number(pipe.catchment_mm2 / 1e6, 1)} m2", self._off_end(pipe.along_mm)
            if pipe.onto:
                words += f", on to {plain(pipe.onto)}"
            elif pipe.id in self.tanks:
                words += f", to {plain(self.tanks[pipe.id])}"
            self._word("DOWNPIPE", at, out, words, off)
        for foot in self.run.valleys:
            at, out = self.at(foot.along_mm, 0.0)
            self._word(
                "RAIN-VALLEY", at, (-out[0], -out[1]), f"{foot.edge} {number(foot.plan_catchment_mm2 / 1e6, 1)} m2"
            )
        for high in self.highs_mm:
            at, out = self.at(high)
            self._word("RAIN-HIGH", at, out, "high")

    def _off_end(self, along_mm: float) -> str:
        """How far an outlet is from the nearer end of its straight length, left and right seen from outside."""
        start = 0.0
        rest = along_mm % self.run.length_mm if self.run.ring else along_mm
        for n, leg in enumerate(self.run.legs):
            last = leg is self.run.legs[-1]
            if rest <= start + leg.length_mm + 1e-6 or last:
                left, right = rest - start, start + leg.length_mm - rest
                ends = ("left corner", "right corner")
                if not self.run.ring:
                    ends = ("left end" if n == 0 else ends[0], "right end" if last else ends[1])
                off, end = (left, ends[0]) if left <= right else (right, ends[1])
                return f"{whole(max(0.0, off))} from {end}"
            start += leg.length_mm
        raise ValueError(f"{self.run.id}: no leg at {along_mm:.0f} mm")

    def _word(self, layer: str, at: Point2, out: Point2, *lines: str) -> None:
        """Words in one line or two over each other, near a spot; led out to it where they find no room."""
        sketch = self.taken.sketch
        long, pitch = max(map(len, lines)), sketch.paper(SMALL_MM + 1.1)
        choices: list[list[Label]] = []
        tried = [(far, along, aside) for sign in (1.0, -1.0) for far in _FAR for along, aside in _around(sign)]
        for far, along, aside in tried:
            reach = sketch.paper(far + 0.55 * SMALL_MM * long * abs(out[0]) * 0.5)
            reach += (len(lines) - 1) * pitch / 2.0 * abs(out[1])
            x = at[0] + (out[0] * along - out[1] * aside) * reach
            y = at[1] + (out[1] * along + out[0] * aside) * reach + (len(lines) - 1) * pitch / 2.0
            choices.append([Label(layer, (x, y - n * pitch), text, SMALL_MM) for n, text in enumerate(lines)])
        kept = self.taken.keep_first(choices)
        self.taken.draw(kept)
        if not kept:
            for n in range(len(lines)):
                self.taken.place([labels[n] for labels in choices], at)


def _around(sign: float) -> tuple[Point2, ...]:
    """Steps tried about a spot, outwards (or inwards) and aside of it."""
    return ((sign, 0.0), (0.7 * sign, 0.7), (0.7 * sign, -0.7), (0.0, 1.0), (0.0, -1.0))


def _in_plan(place: Place, roof: Roof, point: tuple[float, float, float]) -> Point2:
    return place.at(roof, point)


def _tanks(takeoff: Takeoff) -> Mapping[str, str]:
    """The tank that each pipe is led to, by the job."""
    return {pipe: tank.name for tank in takeoff.job.tanks for pipe in tank.pipes or ()}


def _notes(sketch: Sketch, top_left: Point2, takeoff: Takeoff) -> None:
    """What the signs are, and what holds for all of them."""
    x, y = top_left[0], top_left[1] - sketch.paper(8.0)
    feet = any(run.valleys for run in takeoff.gutters)
    highs = any(len(plan.pipes) > 1 for plan in takeoff.rainwater.downpipes)
    for layer, words in _ROLES.items():
        if (layer == "RAIN-VALLEY" and not feet) or (layer == "RAIN-HIGH" and not highs):
            continue
        mark = (x + sketch.paper(5.0), y + sketch.paper(1.0))
        if layer == "GUTTER":
            sketch.line(layer, (x, mark[1]), (x + sketch.paper(10.0), mark[1]))
        elif layer == "RAIN-HIGH":
            sketch.line(layer, (mark[0], mark[1] - sketch.paper(_TICK)), (mark[0], mark[1] + sketch.paper(_TICK)))
        else:
            sketch.circle(layer, mark, _PIPE if layer == "DOWNPIPE" else _SPOT)
        for text in wrap(words, NOTES_MM - 14.0, SMALL_MM):
            sketch.text("TEXT", (x + sketch.paper(13.0), y), text, SMALL_MM)
            y -= sketch.paper(4.2)
        y -= sketch.paper(1.0)
    y -= sketch.paper(3.0)
    for sentence in _sentences(takeoff):
        for text in wrap(sentence, NOTES_MM - 4.0, SMALL_MM):
            sketch.text("TEXT", (x, y), text, SMALL_MM)
            y -= sketch.paper(4.2)
        y -= sketch.paper(1.4)


def _sentences(takeoff: Takeoff) -> Iterator[str]:
    one_in = takeoff.settings.number("gutter_fall_one_in")
    yield f"Lay spouting to falls of at least 1 in {number(one_in, 0)} from its high points to its outlets."
    if any(run.wall_mm2 > 1e4 for run in takeoff.gutters):
        yield "Pipes are sized with half of the walls above a roof, which the areas shown leave out."
    for tank in takeoff.job.tanks:
        led = ", ".join(tank.pipes) if tank.pipes is not None else "all downpipes to the ground"
        yield f"Tank {plain(tank.name)}, {number(tank.volume_l, 0)} L, {tank.system}: {led}."
