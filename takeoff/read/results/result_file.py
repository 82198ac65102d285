"""A written result (takeoff.json) read back as far as comparing needs it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from math import cos, radians, sin
from pathlib import Path
from typing import NoReturn

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.basics.vectors import Point2
from takeoff.model.snapshot import (
    RESULT_FORMAT,
    RESULT_VERSION,
    WORD,
    SeenEdge,
    SeenLine,
    SeenPipe,
    SeenPlane,
    SeenSheet,
    SeenSide,
    Snapshot,
)
from takeoff.read.results.data_node import Json, Node
from takeoff.read.results.result_terms import opening_words, side_terms, snapshot_terms

MOST_BYTES = 300_000_000


def read_result(path: Path) -> Snapshot:
    """A result from its file. Raises UnreadableFileError for a file that is none, or is of a newer version."""
    try:
        text = read_bounded(path, MOST_BYTES, "result").decode("utf-8-sig")
    except UnicodeDecodeError as err:
        raise UnreadableFileError(f"{path}: byte {err.start} is not UTF-8 text, so it is no result") from None
    return parse_result(text, str(path))


def parse_result(text: str, name: str) -> Snapshot:
    """A result from its text; `name` stands before the place in messages."""
    try:
        value = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as err:
        raise UnreadableFileError(f"{name}: not the data of a result: {err}") from None
    return snapshot_of(value, name)


def snapshot_of(value: Json, name: str) -> Snapshot:
    """A result from its data, as a file of it holds it. Raises UnreadableFileError, by place, for what is none."""
    node = Node(value, name)
    if not node.has("format") or node.text("format") != RESULT_FORMAT:
        raise UnreadableFileError(f"{name}: not a result of this program: its format is not {RESULT_FORMAT}")
    if node.number("version") > RESULT_VERSION:
        raise node.at("version").fault(
            f"{node.number('version'):g} is newer than the {RESULT_VERSION} that is read here"
        )
    return _snapshot(node)


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is no figure")


class _Ground:
    """Plan places turned to true north and moved to the ground's own origin."""

    def __init__(self, north_deg: float, origin: tuple[float, ...]) -> None:
        self.cos, self.sin = cos(radians(north_deg)), sin(radians(north_deg))
        self.origin = origin

    def turn(self, x: float, y: float) -> Point2:
        """A plan direction to east and north."""
        return (x * self.cos + y * self.sin, y * self.cos - x * self.sin)

    def place(self, point: tuple[float, ...]) -> Point2:
        """A place measured from the roof's origin to east and north [mm]."""
        return self.turn(point[0] + self.origin[0], point[1] + self.origin[1])


def _snapshot(node: Node) -> Snapshot:
    job = node.at("job")
    north_deg = job.number("north_deg")
    roofs = node.items("roofs")
    grounds = {roof.text("name"): _Ground(north_deg, roof.point("origin_mm")) for roof in roofs}
    first = next(iter(grounds.values()), _Ground(north_deg, (0.0, 0.0)))
    planes = frozenset(plane.text("id") for roof in roofs for plane in roof.items("planes"))
    order = node.at("order") if node.has("order") else None
    return Snapshot(
        name=f"{job.text('job')}, revision {job.text('revision')}",
        terms=snapshot_terms(node),
        planes=tuple(plane for roof in roofs for plane in _planes(roof, node, grounds[roof.text("name")])),
        edges=tuple(_edge(edge, grounds[roof.text("name")], planes) for roof in roofs for edge in roof.items("edges")),
        sides=tuple(side for roof in roofs for side in _sides(roof, job, grounds[roof.text("name")])),
        walls=tuple(_wall(wall, node, grounds.get(_wall_roof(job), first)) for wall in node.items("elevations")),
        pipes=tuple(pipe for pipe in _pipes(node, grounds, first)),
        lines=tuple(_line(line) for line in order.items("lines")) if order is not None else (),
        withheld=order is None,
        job=job.text("job"),
        revision=job.text("revision"),
        word=_word(node.at("settings")),
        own=tuple(job.texts_within()),
    )


def _word(settings: Node) -> str:
    """What the trade of the place calls what runs round the eaves; "" where the result does not say."""
    return settings.at(WORD).text("value") if settings.has(WORD) else ""


def _wall_roof(job: Node) -> str:
    walls = job.at("walls")
    return walls.text("roof") if walls.has("roof") else ""


def _planes(roof: Node, result: Node, ground: _Ground) -> list[SeenPlane]:
    sheets = {entry.text("plane"): entry for entry in result.at("roofing").items("sheets")}
    bought = _bought(result)
    found = []
    for plane in roof.items("planes"):
        frame = plane.at("frame")
        o, u, v = (frame.point(name) for name in ("origin_mm", "u", "v"))
        ring = tuple(
            ground.place((o[0] + a * u[0] + b * v[0], o[1] + a * u[1] + b * v[1]))
            for a, b in (point.point()[:2] for point in plane.items("rings_uv")[0].entries())
        )
        own = sheets.get(plane.text("id"))
        found.append(
            SeenPlane(
                id=plane.text("id"),
                roof=plane.text("roof"),
                ring=ring,
                origin=ground.place(o),
                level=ground.turn(u[0], u[1]),
                pitch_deg=plane.number("pitch_deg"),
                bearing_deg=plane.number("bearing_deg"),
                area_m2=plane.number("area_mm2") / 1e6,
                fascia_height_mm=plane.number("fascia_height_mm"),
                covering=plane.text("covering"),
                profile=own.text("profile") if own is not None else "",
                start_side=own.text("start_side") if own is not None else "",
                sheets=tuple(_sheet(piece, bought) for piece in own.items("pieces")) if own is not None else (),
            )
        )
    return found


def _sheet(piece: Node, bought: Mapping[str, tuple[float, str]]) -> SeenSheet:
    points = [point.point() for ring in piece.items("cover_uv") for point in ring.entries()]
    points = points or [point.point() for point in piece.items("outline_uv")]
    if not points:
        raise piece.fault("has no outline")
    mark = piece.text("mark")
    length, cut_from = bought.get(mark, (0.0, ""))
    return SeenSheet(
        mark=mark,
        u0_mm=min(point[0] for point in points),
        u1_mm=max(point[0] for point in points),
        v0_mm=min(point[1] for point in points),
        v1_mm=max(point[1] for point in points),
        bought_mm=length or piece.number("order_mm"),
        left_mm=piece.number("left_mm"),
        right_mm=piece.number("right_mm"),
        foot=_cut(piece.at("foot")),
        top=_cut(piece.at("top")),
        cut_from=cut_from,
    )


def _bought(result: Node) -> dict[str, tuple[float, str]]:
    """By mark the length bought for a sheet [mm], or the mark of the sheet out of whose length it comes, "site" and its
    mark for one that lies there."""
    order = result.at("order") if result.has("order") else None
    found: dict[str, tuple[float, str]] = {}
    for blank in order.items("blanks") if order is not None and order.has("blanks") else ():
        first, *rest = [part.text("mark") for part in blank.items("pieces")] or [""]
        found[first] = (blank.number("length_mm"), "")
        found |= dict.fromkeys(rest, (0.0, first))
    for blank in order.items("site_blanks") if order is not None and order.has("site_blanks") else ():
        where = f"site {blank.text('mark')}".rstrip()
        found |= dict.fromkeys((part.text("mark") for part in blank.items("pieces")), (0.0, where))
    return found


def _cut(cut: Node) -> str:
    words = cut.text("shape")
    if words == "raked":
        words += f" {cut.number('rake_deg'):.1f} degrees, longer on the {cut.text('hand')}"
    return words


def _edge(edge: Node, ground: _Ground, planes: frozenset[str]) -> SeenEdge:
    return SeenEdge(
        id=edge.text("id"),
        kind=edge.text("kind"),
        a=ground.place(edge.point("a_mm")),
        b=ground.place(edge.point("b_mm")),
        length_mm=edge.number("length_mm"),
        planes=tuple(face for face in edge.texts("faces") if face in planes),
    )


def _sides(roof: Node, job: Node, ground: _Ground) -> list[SeenSide]:
    roof_job = next((entry for entry in job.items("roofs") if entry.text("name") == roof.text("name")), None)
    numbers = [[int(number.figure()) for number in ring.entries()] for ring in roof.items("edge_numbers")]
    names = roof.texts("edge_names")
    found = []
    for ring, of_ring in zip(roof.items("outline_mm"), numbers, strict=False):
        points = [ground.place(point.point()) for point in ring.entries()]
        for a, b, number in zip(points, [*points[1:], *points[:1]], of_ring, strict=False):
            kind = names[number - 1] if 0 < number <= len(names) else "eave"
            terms, own = side_terms(roof_job, number, kind)
            found.append(SeenSide(f"edge {number}", a, b, terms, own))
    return found


def _wall(wall: Node, result: Node, ground: _Ground) -> SeenSide:
    number = int(wall.number("wall"))
    terms = {
        "width": f"{wall.number('width_mm'):.0f} mm",
        "frame height": f"{wall.number('height_mm'):.0f} mm",
        "ground": " to ".join(f"{end.figure():.0f}" for end in wall.items("ground_mm")) + " mm",
    }
    boards = [entry for entry in result.at("cladding").items("boards") if entry.number("wall") == number]
    terms["boards"] = "; ".join(
        f"{entry.text('direction')} {entry.text('board')}, cover {entry.number('cover_mm'):.1f} mm" for entry in boards
    )
    terms |= {f"opening {name}": words for name, words in opening_words(wall)}
    ends = (ground.place(wall.point("a_mm")), ground.place(wall.point("b_mm")))
    return SeenSide(f"wall {number}", *ends, terms, frozenset(terms))


def _pipes(result: Node, grounds: dict[str, _Ground], first: _Ground) -> list[SeenPipe]:
    rainwater = result.at("rainwater")
    of_run = {run.text("id"): grounds.get(run.text("roof"), first) for run in rainwater.items("gutters")}
    return [
        SeenPipe(
            id=pipe.text("id"),
            at=of_run.get(pipe.text("run"), first).place(pipe.point("at_mm")),
            height_mm=pipe.number("height_mm"),
            catchment_m2=pipe.number("catchment_mm2") / 1e6,
        )
        for plan in rainwater.items("downpipes")
        for pipe in plan.items("pipes")
    ]


def _line(line: Node) -> SeenLine:
    return SeenLine(
        id=line.text("id"),
        delivery=line.text("delivery"),
        item=line.text("item"),
        name=line.text("name"),
        each_mm=line.number("each_mm"),
        unit=line.text("unit"),
        count=line.number("count"),
        total=line.number("total"),
        total_unit=line.text("total_unit"),
    )
