"""Corners of aprons and the pieces where flashings meet, counted by hand (common practice, no source)."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.measure.roofing.flashings.junctions import junctions_of, meetings_of
from takeoff.model.order import Takeoff
from takeoff.model.roof import Covering, Roof
from takeoff.read.job.job_file import parse_job
from takeoff.shape.together.joint import roofs_in_place
from takeoff.write.explain.explain_words import explain

SAMPLES = sorted(job.parent for job in Path("geometry_samples").glob("*/job.yaml"))


def taken(*roofs: dict[str, Any]) -> Takeoff:
    job = {"job": "corners", "rainwater": {"ground_mm": -300}, "roofs": list(roofs)}
    return pipeline.run(parse_job(json.dumps(job)))


def pieces(takeoff: Takeoff) -> dict[str, float]:
    assert takeoff.order is not None
    lines = [line for line in takeoff.order.lines if line.item.startswith("junction_")]
    return {line.item.removeprefix("junction_"): line.count for line in lines}


def flashed_at(roof: Roof, node: str) -> list[str]:
    """Edges with a flashing that end at a node, worked out from the edges alone."""
    sheeted = {plane.id for plane in roof.planes if plane.covering is Covering.SHEETS}
    return [
        edge.id
        for edge in roof.edges
        if node in (edge.low, edge.high) and edge.kind.row.flashing and sheeted & set(edge.faces)
    ]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_every_pair_at_every_node_has_a_piece_or_a_reason(sample: Path) -> None:
    takeoff = pipeline.run_file(sample / "job.yaml", pipeline.Stage.SHAPE)
    for roof in roofs_in_place(takeoff.roofs):
        meetings = {(m.node, frozenset(m.edges)): m for m in meetings_of(roof)}
        for node in roof.nodes:
            here = flashed_at(roof, node.id)
            for i, one in enumerate(here):
                for two in here[i + 1 :]:
                    found = meetings[(node.id, frozenset((one, two)))]
                    assert bool(found.pieces) != bool(found.reason), (node.at_mm, one, two)
        assert "site mitre" not in {junction.kind for junction in junctions_of(roof)}


def test_what_joins_a_flashing_to_its_neighbours_is_explained() -> None:
    """At the head of a gable's ridge each barge is joined by the ridge end; by hand, from the drawing of the sample."""
    takeoff = pipeline.run_file(Path("geometry_samples/dormer"))
    (ridge,) = explain(takeoff, "R1")
    assert "at its right end the flashing meets B1 by ridge end; B2 by ridge end" in ridge.facts
    (valley,) = explain(takeoff, "V1")
    assert "at its foot the flashing meets S2 by valley foot on roof" in valley.facts
    # every pair of the house is said from each side
    for meeting in takeoff.roofing.meetings:
        for edge, other in (meeting.edges, meeting.edges[::-1]):
            told = " ".join(fact for one in explain(takeoff, edge) for fact in one.facts)
            assert f"{other} by {' and '.join(meeting.pieces)}" in told or f"{other}, {meeting.reason}" in told


def test_a_dormer_front_has_a_left_and_a_right_outside_corner() -> None:
    """By hand: the apron in front (2.0 m) meets an apron up each cheek at the front's two corners."""
    found = pieces(pipeline.run_file(Path("geometry_samples/dormer")))
    assert (found["apron_corner_outside_left"], found["apron_corner_outside_right"]) == (1.0, 1.0)
    assert "apron_end" not in found


def test_a_verandah_round_three_sides_has_two_outside_corners_and_two_ends() -> None:
    found = pieces(pipeline.run_file(Path("geometry_samples/verandah")))
    assert (found["apron_corner_outside"], found["apron_end"]) == (2.0, 2.0)


def test_a_lean_to_in_an_inside_corner() -> None:
    """Walls behind and at the right: one inside corner at the right end of the head, an end at the left one, and a
    kick-out where the spouting meets the right wall."""
    found = pieces(
        taken(
            {
                "name": "lean-to",
                "outline": [[0, 0], [5000, 0], [5000, 3000], [0, 3000]],
                "fascia_height_mm": 2400,
                "pitch_deg": 10,
                "edges": {2: {"kind": "wall"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}},
            }
        )
    )
    assert found == {"apron_corner_inside_right": 1.0, "apron_end": 1.0, "kick_out_right": 1.0}


def test_a_roof_round_an_inside_corner_of_walls() -> None:
    """An L of lean-to in the inside corner of two walls: its two planes meet in a valley, their aprons in one inside
    corner without a hand, where the valley's head is."""
    found = pieces(
        taken(
            {
                "name": "corner",
                "outline": [[0, 0], [2000, 0], [2000, 4000], [6000, 4000], [6000, 6000], [0, 6000]],
                "fascia_height_mm": 2400,
                "pitch_deg": 10,
                "edges": {1: {"kind": "gable"}, 4: {"kind": "gable"}, 5: {"kind": "wall"}, 6: {"kind": "wall"}},
            }
        )
    )
    assert found["apron_corner_inside"] == 1.0
    assert found["valley_head"] == 1.0


def test_a_shed_has_a_corner_at_each_end_of_its_head_cap_and_a_gambrel_four_knees() -> None:
    shed = pieces(pipeline.run_file(Path("geometry_samples/single_pitch")))
    assert shed == {"head_corner_left": 1.0, "head_corner_right": 1.0}
    barn = pieces(pipeline.run_file(Path("geometry_samples/gambrel")))
    assert barn == {"barge_bend": 4.0, "ridge_end": 2.0}


def test_a_change_of_pitch_turns_at_every_hip_and_a_gutter_between_leaves_ends_twice() -> None:
    mansard = pieces(pipeline.run_file(Path("geometry_samples/mansard")))
    assert mansard["change_corner"] == 4.0
    assert pieces(pipeline.run_file(Path("geometry_samples/butterfly")))["gutter_end"] == 2.0


def test_what_no_rule_knows_is_mitred_on_site() -> None:
    """A ridge whose kind is taken for a head's: whatever meets where no piece is known is counted all the same."""
    takeoff = pipeline.run_file(Path("geometry_samples/lean_to"), pipeline.Stage.SHAPE)
    (roof,) = takeoff.roofs
    plain = Counter(junction.kind for junction in junctions_of(roof))
    verge = next(edge for edge in roof.edges if edge.id == "B1")
    turned = replace(verge, id="B9", low=verge.high, high="nowhere")
    nodes = tuple(replace(node, edges=(*node.edges, "B9")) if node.id == verge.low else node for node in roof.nodes)
    odd = replace(roof, edges=(*roof.edges, replace(turned, low=verge.low)), nodes=nodes)
    assert Counter(junction.kind for junction in junctions_of(odd)) - plain == Counter({"site mitre": 1})
