"""What a drawing may hold, and the checks that every kind of it shares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import isfinite

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.vectors import Point2
from takeoff.model.drawings import RawPath

GREATEST_BYTES = 24_000_000
MOST_PATHS = 60_000  # lines, arcs, polylines and rings, blocks resolved
MOST_CORNERS = 200_000  # of all of them together
_FARTHEST = 1e11  # as a job's own coordinates
_LONGITUDE, _LATITUDE = 180.0, 90.0
_DEGREES_ACROSS = 0.1  # a house in any unit of length is larger than this, in degrees it is smaller


def checked_paths(name: str, paths: Iterable[RawPath]) -> tuple[RawPath, ...]:
    """The paths, counted as they come. Raises UnreadableFileError for more than are read, for figures that are none or
    absurdly far away, and for coordinates in degrees."""
    found: list[RawPath] = []
    corners = 0
    for path in paths:
        corners += len(path.points)
        if len(found) >= MOST_PATHS or corners > MOST_CORNERS:
            raise UnreadableFileError(
                f"{name}: more than {MOST_PATHS:,} lines or {MOST_CORNERS:,} corners; save the outline's layer alone"
            )
        _check_figures(name, path)
        found.append(path)
    if not found:
        raise UnreadableFileError(f"{name}: holds no lines, polylines or rings")
    _check_degrees(name, found)
    return tuple(found)


def _check_figures(name: str, path: RawPath) -> None:
    for x, y in path.points:
        if not (abs(x) <= _FARTHEST and abs(y) <= _FARTHEST):  # what is no number compares as False
            raise UnreadableFileError(f"{name}: {path.where}: ({x:g}, {y:g}) is no place on a plan; save it again")
    if not all(isfinite(bulge) for bulge in path.bulges):
        raise UnreadableFileError(f"{name}: {path.where}: an arc's bulge is no number; save it again")


def _check_degrees(name: str, paths: Sequence[RawPath]) -> None:
    """Raises UnreadableFileError where every figure can be a longitude and latitude, no two points of a path lie
    further apart than those of a farm are in degrees."""
    points = [point for path in paths for point in path.points]
    if not all(abs(x) <= _LONGITUDE and abs(y) <= _LATITUDE for x, y in points):
        return
    if max(_across(path.points) for path in paths) < _DEGREES_ACROSS:
        refuse_degrees(name, points[0])


def refuse_degrees(name: str, point: Point2) -> None:
    """Raises UnreadableFileError that names coordinates in degrees."""
    raise UnreadableFileError(
        f"{name}: coordinates are degrees of longitude and latitude ({point[0]:.6f}, {point[1]:.6f}), no lengths; "
        "save it in a projected grid, in metres"
    )


def _across(points: Sequence[Point2]) -> float:
    return max(max(point[k] for point in points) - min(point[k] for point in points) for k in (0, 1))
