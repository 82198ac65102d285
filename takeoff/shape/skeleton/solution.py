"""What a finished run hands on: nodes, the half-planes of the faces, and their rings."""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.shape.skeleton.faces import FaceRings


@dataclass(slots=True)
class Lines:
    """The half-plane of every face of a run, and where it comes from."""

    edge: list[int]  # in Plan.edges
    step: list[int]
    nx: list[float]
    ny: list[float]
    c: list[float]
    s: list[float]
    flat: list[int]


@dataclass(slots=True)
class Solution:
    """A run that passed its check: nodes (scaled) and the rings of every face."""

    nodes: list[tuple[float, float, float]]
    lines: Lines
    faces: list[FaceRings]
    outline_nodes: list[int]
