"""Several wall lines, storeys, and walls above a lower roof: areas and feet by hand.

The house is two storeys high, 8 x 6 m on framing, its eaves at 5200 without overhang; at its south wall stands a
lean-to of 5 x 3 m with walls of its own. Clearance over a lower roof 35 (E2/AS1, as restated), apron and sheets 30 over
their underside (common practice, no source): 65. Floor lap 50.
"""

from __future__ import annotations

import json
from math import radians, sin, tan
from pathlib import Path
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError, ShapeError
from takeoff.basics.vectors import Ring2
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.read.job.job_file import parse_job

TWO = {
    "name": "house",
    "wall_line": [[0, 0], [8000, 0], [8000, 6000], [0, 6000]],
    "fascia_height_mm": 5200,
    "pitch_deg": 20,
}
LEAN = {
    "name": "lean",
    "below": "house",
    "wall_line": [[1000, -3000], [6000, -3000], [6000, 0], [1000, 0]],
    "fascia_height_mm": 2300,
    "pitch_deg": 10,
    "edges": {"2": {"kind": "gable"}, "3": {"kind": "wall"}, "4": {"kind": "gable"}},
}
WALLS = {
    "ground_mm": -450,
    "zones": [{"board": {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"}}],
    "storeys": [
        {"roof": "house", "floor_mm": 0, "height_mm": 2400},
        {"roof": "house", "floor_mm": 2700, "height_mm": 2400},
        {"roof": "lean", "floor_mm": 0, "height_mm": 2300},
    ],
}
T10, T20 = tan(radians(10)), tan(radians(20))


def taken(*roofs: dict[str, Any], **walls: Any) -> Takeoff:
    job = {"job": "by hand", "roofs": list(roofs), "walls": {**WALLS, **walls}}
    return pipeline.run(parse_job(json.dumps(job)), until=pipeline.Stage.MEASURE)


def wall(house: Takeoff, number: int) -> Elevation:
    return next(found for found in house.elevations if found.wall == number)


def corners(ring: Ring2) -> list[float]:
    return [value for point in sorted(set(ring)) for value in point]


def test_walls_of_every_line_are_numbered_on() -> None:
    house = taken(TWO, LEAN)
    # the lean-to's side against the house, wall 7, is none
    assert [(found.wall, found.roof, found.width_mm) for found in house.elevations] == [
        (1, "house", 8000), (2, "house", 6000), (3, "house", 8000), (4, "house", 6000),
        (5, "lean", 5000), (6, "lean", 3000), (8, "lean", 3000),
    ]  # fmt: skip
    assert wall(house, 1).floors_mm == (0, 2700)
    assert (wall(house, 1).base_mm, wall(house, 1).height_mm) == (-50, 5100)
    # the lean-to's sides meet the house's wall in inside corners
    assert (wall(house, 6).left_corner.kind, wall(house, 6).right_corner.kind) == ("external", "internal")
    assert (wall(house, 8).left_corner.kind, wall(house, 8).right_corner.kind) == ("internal", "external")


def test_a_wall_behind_a_closed_lean_to_starts_over_its_apron() -> None:
    house = taken(TWO, LEAN)
    (covered,) = wall(house, 1).covered_xy
    # the lean-to rises 3000 x tan 10 = 529 to 2829 at the wall: cladding from 2894; its own walls stand 38 before them
    top = 2300 + 3000 * T10 + 65
    assert corners(covered) == pytest.approx([962, -50, 962, top, 6038, -50, 6038, top], abs=0.2)
    (boards,) = (found for found in house.cladding.boards if found.wall == 1)
    # face 8076 wide (38 past both corners) and 5150 high, less 5076 x (2893.97 + 50)
    assert boards.gross_mm2 == pytest.approx(8076 * 5150 - 5076 * (top + 50), abs=2000)
    # course 1 in two parts beside the lean-to, the highest in one
    rows = [[piece.length_mm for piece in boards.pieces if piece.row == row] for row in (1, boards.courses)]
    assert rows == [pytest.approx([1000, 2000]), pytest.approx([8076])]


def test_the_sides_of_the_lean_to_rake_up_to_the_house() -> None:
    house = taken(TWO, LEAN)
    (boards,) = (found for found in house.cladding.boards if found.wall == 6)
    # clad to 150 under its sheets at the gable: 2150 at the front (the frame of 2300 is higher, so its top stays 2300
    # where the rake is lower); face from 38 past the front corner to 38 short of the house
    rake = [2300 + x * T10 - 150 for x in (0, 3000)]
    level = (2300 - rake[0]) / T10
    area = 38 * 2350 + level * 2350 + (2962 - level) * ((2350 + rake[1] - 38 * T10 + 50) / 2)
    assert boards.gross_mm2 == pytest.approx(area, rel=1e-4)


def test_an_open_roof_leaves_the_wall_under_it_clad() -> None:
    # the same lean-to as a verandah: without a wall line the wall goes on below it, 150 under its sheets
    outline = {**{k: v for k, v in LEAN.items() if k != "wall_line"}, "outline": LEAN["wall_line"]}
    house = taken(TWO, outline, storeys=WALLS["storeys"][:2])
    (covered,) = wall(house, 1).covered_xy
    z = 2300 + 3000 * T10
    assert corners(covered) == pytest.approx([1000, z - 150, 1000, z + 65, 6000, z - 150, 6000, z + 65], abs=0.2)
    (boards,) = (found for found in house.cladding.boards if found.wall == 1)
    assert boards.gross_mm2 == pytest.approx(8076 * 5150 - 5000 * 215, abs=2000)


def test_a_lean_to_flush_with_the_house_has_no_corner_there() -> None:
    """Its east side goes on in line with the house's: level boards run on; sheets there meet them in an upright line as
    high as the lean-to's side stands at the house, 38 short of it: 2300 + 2962 tan 10 - 150 and 50 under the floor. The
    house's own corner begins over the apron, at 2894."""
    flush = {**LEAN, "wall_line": [[3000, -3000], [8000, -3000], [8000, 0], [3000, 0]]}
    high = 2300 + 2962 * T10 - 150 + 50
    alike = taken(TWO, flush).cladding.junctions
    assert sorted(line.detail for line in alike if line.detail[0] in "IU") == ["I.HH"]
    sheets = [*WALLS["zones"], {"walls": [6], "direction": "sheets", "profile": "corrugated"}]
    lines = taken(TWO, flush, zones=sheets).cladding.junctions
    (met,) = (line for line in lines if line.detail[0] == "U")
    assert (met.detail, met.walls, met.length_mm) == ("U.HS", (6, 2), pytest.approx(high, abs=1.0))
    (corner,) = (line for line in lines if line.walls == (2, 1))
    assert corner.length_mm == pytest.approx(5100 - (2300 + 3000 * T10 + 65), abs=0.2)


def dormer() -> Takeoff:
    gables = {"kind": "gable"}
    low = {"name": "low", "wall_line": [[0, 0], [10000, 0], [10000, 8000], [0, 8000]], "fascia_height_mm": 2400}
    up = {"name": "dormer", "wall_line": [[4000, 1500], [6000, 1500], [6000, 3500], [4000, 3500]]}
    storeys = [
        {"roof": "low", "floor_mm": 0, "height_mm": 2400},
        {"roof": "dormer", "floor_mm": 2700, "height_mm": 2400},
    ]
    return taken(
        {**low, "pitch_deg": 40, "edges": {"2": gables, "4": gables}},
        {**up, "fascia_height_mm": 5200, "pitch_deg": 20, "edges": {"1": gables, "3": gables}},
        storeys=storeys,
    )


def test_the_cheeks_of_a_dormer_stand_over_the_roof() -> None:
    """A house of 10 x 8 m at 40 degrees, a dormer of 2 m from 1.5 m up the roof in plan: sill line of its cheeks raked
    at 40 degrees, its front over the roof at 1.5 m."""
    t40 = tan(radians(40))
    house = dormer()
    front, cheek = wall(house, 5), wall(house, 6)
    foot = [2400 + y * t40 + 65 for y in (1500, 3500)]
    (covered,) = front.covered_xy
    assert max(y for _, y in covered) == pytest.approx(foot[0], abs=0.6)
    (covered,) = cheek.covered_xy
    # at its front end the cheek stands over the roof at 1500, from there it rakes up; it ends at its frame, 5100
    heights = {round(x): y for x, y in covered if y > 2700}
    assert heights[0] == pytest.approx(foot[0], abs=0.6)
    (boards,) = (found for found in house.cladding.boards if found.wall == 6)
    high = 5100 - foot[0]
    # a triangle but for the 38 past its front corner: as high as 5100 - 3723.6, as long as that over tan 40
    assert boards.gross_mm2 == pytest.approx(high * high / t40 / 2 + 38 * high, rel=2e-3)
    # the dormer's back lies within the roof
    assert not any(found.wall == 7 for found in house.elevations)
    assert all(piece.length_mm > 0 for piece in boards.pieces)


def test_the_corners_of_a_dormer_begin_over_the_roof() -> None:
    """Its front stands at 1.5 m up the roof: both corners are clad from 2400 + 1500 tan 40 + 65 = 3723.6 to 5100; its
    back lies within the roof and has none. Each cheek's foot is 1376.4 / sin 40 along the roof's apron."""
    high = 5100 - (2400 + 1500 * tan(radians(40)) + 65)
    lines = [line for line in dormer().cladding.junctions if min(line.walls) > 4]
    corners = sorted((line.walls, line.length_mm) for line in lines if line.detail == "E.HH")
    assert corners == [((5, 8), pytest.approx(high, abs=0.1)), ((6, 5), pytest.approx(high, abs=0.1))]
    feet = [line.length_mm for line in lines if line.detail == "R.H"]
    assert feet == pytest.approx([high / sin(radians(40))] * 2, abs=0.2)


def test_boards_over_a_raked_foot_reach_through_their_lap() -> None:
    t40 = tan(radians(40))
    house = dormer()
    (boards,) = (found for found in house.cladding.boards if found.wall == 6)
    second = next(piece for piece in boards.pieces if piece.row == 2)
    # its foot line is 150 over the lowest point: seen up to 300, its lap 37 higher: 337 / tan 40, and 38 past the corner
    assert second.length_mm == pytest.approx(38 + 337 / t40, abs=1.0)


def test_a_wall_line_that_nothing_clads_is_told() -> None:
    house = taken(TWO, LEAN, roof="house", storeys=WALLS["storeys"][:2])
    assert [found.wall for found in house.elevations] == [1, 2, 3, 4]
    told = [finding for finding in house.findings if finding.code == "wall-line-unclad"]
    assert [finding.refs for finding in told] == [("lean",)]


@pytest.mark.parametrize(
    ("walls", "words"),
    [
        ({"storeys": [*WALLS["storeys"][1::-1], WALLS["storeys"][2]]}, "walls.storeys[2].floor_mm: 0 is under"),
        ({"storeys": [{"roof": "hose", "floor_mm": 0, "height_mm": 2400}]}, "hose"),
        ({"elevations": [{"name": "wall 2", "width_mm": 3000, "height_mm": 2400}]}, "wall 2 is a wall of the building"),
        (
            {
                "openings": [
                    {"wall": 5, "from_left_mm": 500, "sill_mm": 900, "width_mm": 600, "height_mm": 600, "storey": 2}
                ]
            },
            "walls.openings[1].storey: wall 5 has 1 storeys",
        ),
    ],
)
def test_what_cannot_be_is_refused(walls: dict[str, Any], words: str) -> None:
    with pytest.raises(JobError) as caught:
        taken(TWO, LEAN, **walls)
    assert words in " ".join(caught.value.faults)


def test_walls_given_by_hand_stand_beside_those_of_the_building() -> None:
    hut = {"name": "hut", "width_mm": 3000, "height_mm": 2400}
    house = taken(TWO, LEAN, elevations=[hut])
    assert [found.id for found in house.elevations][-1] == "hut"
    assert house.elevations[-1].wall == 9
    # and alone where the job gives no height
    assert [found.id for found in taken(TWO, elevations=[hut], storeys=[]).elevations] == ["hut"]


def test_sills_are_counted_from_the_floor_of_their_storey() -> None:
    window = {"wall": 3, "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200, "storey": 2}
    (opening,) = wall(taken(TWO, LEAN, openings=[window]), 3).openings
    assert (opening.sill_mm, opening.head_mm) == (3600, 4800)


BAD = """job: bad
roofs:
  - name: house
    wall_line: [[0, 0], [8000, 0], [8000, 6000], [0, 6000]]
    fascia_height_mm: 5200
    pitch_deg: 20
walls:
  storeys:
    - {roof: house, floor_mm: 0, height_mm: 2400}
    - {roof: house, floor_mm: 2700, height_mm: 2400}
  zones:
    - {board: bevel_187}
    - {walls: [1], to_mm: 900, board: bevel_187}
    - {walls: [1], from_left_mm: 1000, width_mm: 2000, board: bevel_187}
    - {walls: [2], from_left_mm: 5000, width_mm: 2000, board: bevel_187}
"""


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("", "", "job.yaml:14:7: walls.zones[3]: it overlaps zone 2"),
        ("", "", "job.yaml:15:7: walls.zones[4]: it ends 1000 mm past"),
        ("floor_mm: 2700", "floor_mm: 2000", "job.yaml:10:31: walls.storeys[2].floor_mm: 2000 is under"),
        (
            "[8000, 6000], [0, 6000]",
            "[0, 6000], [8000, 6000]",
            "job.yaml:4:25: roof house: wall line: edges 2 and 4 cross",
        ),
    ],
)
def test_what_cannot_be_stands_at_its_line_and_column(old: str, new: str, place: str, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(BAD.replace(old, new) if old else BAD, encoding="utf-8")
    with pytest.raises((JobError, ShapeError)) as caught:
        pipeline.run_file(tmp_path, pipeline.Stage.MEASURE)
    assert any(fault.startswith(place) for fault in caught.value.faults), caught.value.faults


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        # storeys typed the wrong way round: the upper one's frame ends at 5100, the main floor's storey comes after it
        (
            """    - {roof: house, floor_mm: 0, height_mm: 2400}
    - {roof: house, floor_mm: 2700, height_mm: 2400}
""",
            """    - {roof: house, floor_mm: 2700, height_mm: 2400}
    - {roof: house, floor_mm: 0, height_mm: 2400}
""",
            (
                "job.yaml:10:31: walls.storeys[2].floor_mm: 0 is under the top of storey 1 (5100); give the storeys of "
                "house from the lowest up, each floor over the frame below it."
            ),
        ),
        (
            "{roof: house, floor_mm: 0,",
            "{roof: hous, floor_mm: 0,",
            "job.yaml:9:14: walls.storeys[1].roof: unknown roof hous; did you mean house?",
        ),
    ],
)
def test_storeys_that_cannot_be_are_one_fault(old: str, new: str, told: str, tmp_path: Path) -> None:
    """No wall or opening is blamed for what the storeys are wrong about; no other height is asked for."""
    job = BAD[: BAD.index("    - {walls: [1], to_mm")] + "  openings: [{wall: 1, from_left_mm: 900, sill_mm: 900, "
    job += "width_mm: 900, height_mm: 900}]\n"
    assert old in job
    (tmp_path / "job.yaml").write_text(job.replace(old, new), encoding="utf-8")
    with pytest.raises(JobError) as caught:
        pipeline.run_file(tmp_path, pipeline.Stage.MEASURE)
    assert caught.value.faults == (told,)
