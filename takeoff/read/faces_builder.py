"""Polygons of a file gathered to RawFaces: cut into triangles between their own corners, bounded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.face_cutting import cut_face
from takeoff.basics.vectors import Point3
from takeoff.model.faces import WHOLE, RawFaces, RawPart, raw_faces
from takeoff.model.findings import Finding, Severity

MOST_TRIANGLES = 400_000
MOST_CORNERS = 10_000
"""Of one face: a roof's has some dozens."""


class FacesBuilder:
    """Gathers points, parts and polygons in the file's own unit and axes, and says how many there may be."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._points: list[Point3] = []
        self._triangles: list[tuple[int, int, int]] = []
        self._polygon_of: list[int] = []
        self._part_of: list[int] = []
        self._parts: list[RawPart] = []
        self._polygons = 0
        self._crossed = 0

    def add_points(self, points: Sequence[Point3]) -> int:
        """Add points; returns the number of the first of them."""
        first = len(self._points)
        self._points.extend(points)
        return first

    def add_part(self, part: RawPart) -> int:
        """Add a part; returns its place, which `add_polygon` asks for."""
        self._parts.append(part)
        return len(self._parts) - 1

    @property
    def crossed(self) -> int:
        """How many faces crossed themselves so far."""
        return self._crossed

    def add_polygon(self, rings: Sequence[Sequence[int]], part: int = 0) -> None:
        """Add a face by its rings of point numbers, the outer first, any way round.

        A face that crosses itself is left out, with a finding. Raises UnreadableFileError for point numbers that do not
        exist, a face of too many corners and too many triangles.
        """
        self._polygons += 1
        kept = [_open(ring) for ring in rings]
        numbers = [number for ring in kept for number in ring]
        if not kept or len(kept[0]) < 3:
            return
        if min(numbers) < 0 or max(numbers) >= len(self._points):
            raise UnreadableFileError(
                f"{self._name}: face {self._polygons} has corners that do not exist; save it again"
            )
        if len(numbers) > MOST_CORNERS:
            raise UnreadableFileError(
                f"{self._name}: face {self._polygons} has {len(numbers)} corners, more than the {MOST_CORNERS} read"
            )
        try:
            cut = cut_face([[self._points[number] for number in ring] for ring in kept])
        except ValueError:
            self._crossed += 1
            return
        for a, b, c in cut:
            self._triangles.append((numbers[a], numbers[b], numbers[c]))
            self._polygon_of.append(self._polygons - 1)
            self._part_of.append(part)
        if len(self._triangles) > MOST_TRIANGLES:
            raise UnreadableFileError(
                f"{self._name}: more than the {MOST_TRIANGLES} triangles read; save the roof alone"
            )

    def done(self, **stated: Any) -> RawFaces:
        """All that was added. `stated`: any of stated_unit_mm, stated_up, findings. Raises UnreadableFileError where
        nothing was."""
        if self._crossed:
            stated["findings"] = (*stated.get("findings", ()), self._left_out())
        if not self._triangles:
            raise UnreadableFileError(f"{self._name}: holds no faces; save the roof as a mesh of faces")
        return raw_faces(
            self._points,
            self._triangles,
            self._name,
            polygon_of=self._polygon_of,
            part_of=self._part_of,
            parts=tuple(self._parts) or (WHOLE,),
            **stated,
        )

    def _left_out(self) -> Finding:
        few = (
            "1 face crosses itself and was"
            if self._crossed == 1
            else f"{self._crossed} faces cross themselves and were"
        )
        text = f"{self._name}: {few} left out"
        return Finding("model-face-crossed", Severity.WARN, text, "mend the model if it was part of the roof")


def _open(ring: Sequence[int]) -> list[int]:
    """A ring without points that follow themselves."""
    return [number for i, number in enumerate(ring) if number != ring[i - 1]] if len(ring) > 1 else list(ring)
