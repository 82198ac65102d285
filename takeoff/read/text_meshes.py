"""OBJ and OFF as text: points, polygons of any number of corners, and the objects that an OBJ file names.

What a file refers to, materials and pictures, is never opened.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from math import isfinite
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.vectors import Point3
from takeoff.model.faces import WHOLE, RawFaces, RawPart, raw_faces
from takeoff.read.faces_builder import MOST_CORNERS, MOST_TRIANGLES, FacesBuilder

_MOST_GROUPS = 50  # more groups than that are no parts of a house but faces by colour
_FAR = 1e12
_SHOWN = 40


class _Polygons:
    """Points and polygons as they come, with the part each is of."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.points: list[Point3] = []
        self.rings: list[tuple[int, ...]] = []
        self.parts: list[str] = []
        self.part_of: list[int] = []

    def fault(self, line: int, words: str) -> UnreadableFileError:
        """An error at a line."""
        return UnreadableFileError(f"{self.name}:{line}: {words}; save it again")

    def point(self, line: int, words: list[str]) -> Point3:
        """Three numbers. Raises UnreadableFileError for fewer and for what is none."""
        try:
            x, y, z = (float(word) for word in islice(words, 3))
        except ValueError:
            shown = " ".join(words)[:_SHOWN]
            raise self.fault(line, f"a point has three numbers, this has '{shown}'") from None
        if not (isfinite(x) and isfinite(y) and isfinite(z) and max(abs(x), abs(y), abs(z)) <= _FAR):
            raise self.fault(line, "has points that are not numbers or absurdly far away")
        return (x, y, z)

    def add(self, line: int, ring: tuple[int, ...], part: int) -> None:
        """A polygon. Raises UnreadableFileError for one of too few or too many corners, or for too many of them."""
        if len(ring) < 3:
            raise self.fault(line, f"a face has three corners or more, this has {len(ring)}")
        if len(ring) > MOST_CORNERS:
            raise self.fault(line, f"a face of {len(ring)} corners is more than the {MOST_CORNERS} read")
        self.rings.append(ring)
        self.part_of.append(part)
        if len(self.rings) > MOST_TRIANGLES:
            raise UnreadableFileError(f"{self.name}: more than the {MOST_TRIANGLES} faces read; save the roof alone")

    def done(self) -> RawFaces:
        """All of it. Raises UnreadableFileError where there is no face, or one between points that do not exist."""
        if not self.rings:
            raise UnreadableFileError(
                f"{self.name}: holds no faces; save the roof as a mesh of faces, not of lines or points"
            )
        parts = tuple(RawPart(part, part) for part in self.parts) or (WHOLE,)
        if all(len(ring) == 3 for ring in self.rings):
            low, high = min(min(ring) for ring in self.rings), max(max(ring) for ring in self.rings)
            if low < 0 or high >= len(self.points):
                raise UnreadableFileError(f"{self.name}: has faces between points that do not exist; save it again")
            return raw_faces(self.points, self.rings, self.name, part_of=self.part_of, parts=parts)
        builder = FacesBuilder(self.name)
        builder.add_points(self.points)
        for named in parts:
            builder.add_part(named)
        for ring, part in zip(self.rings, self.part_of, strict=True):
            builder.add_polygon([ring], part)
        return builder.done()


def read_obj(path: Path, text: str) -> RawFaces:
    """The faces of an OBJ file. Parts are its objects, else its groups where they are few."""
    found = _Polygons(path.name)
    objects, groups = _Names(), _Names()
    in_group: list[int] = []
    for line, words in _rows(text):
        key = words[0]
        if key == "v":
            found.points.append(found.point(line, words[1:]))
        elif key == "f":
            ring = tuple(_corner(found, line, word) for word in words[1:])
            found.add(line, ring, objects.now)
            in_group.append(groups.now)
        elif key == "o":
            objects.take(" ".join(words[1:]))
        elif key == "g":
            groups.take(" ".join(words[1:]))
    if objects.names:
        found.parts = objects.all()
    elif 1 < len(set(in_group)) <= _MOST_GROUPS:
        found.parts, found.part_of = groups.all(), in_group
    return found.done()


class _Names:
    """Names in the order they come; faces before the first have one of their own."""

    def __init__(self) -> None:
        self.names: dict[str, int] = {}
        self.now = 0

    def take(self, name: str) -> None:
        """Go on with a name."""
        self.now = self.names.setdefault(name or "(no name)", len(self.names) + 1)

    def all(self) -> list[str]:
        """Every name, by number."""
        return ["(no name)", *self.names]


def _corner(found: _Polygons, line: int, word: str) -> int:
    """The point number of one corner (from 0): counted from 1, or back from the last point where negative."""
    try:
        number = int(word.partition("/")[0])
    except ValueError:
        raise found.fault(line, f"'{word[:_SHOWN]}' is no corner of a face") from None
    count = len(found.points)
    if number == 0 or number < -count:
        raise found.fault(line, f"a face names point {number}; points are counted from 1")
    return number - 1 if number > 0 else count + number


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Words of every line that says something, with its number; a line that ends in a backslash goes on."""
    held: list[str] = []
    for number, line in enumerate(text.splitlines(), start=1):
        words = line.partition("#")[0].split()
        if words and words[-1].endswith("\\"):
            held += [word for word in (*words[:-1], words[-1][:-1]) if word]
            continue
        words = held + words
        held = []
        if words:
            yield number, words


def read_off(path: Path, text: str) -> RawFaces:
    """The faces of an OFF file. Raises UnreadableFileError where it holds less than it says."""
    rows = _rows(text)
    found = _Polygons(path.name)
    line, words = next(rows, (1, []))
    if not words or words[0].upper() not in ("OFF", "COFF", "NOFF", "CNOFF"):
        raise UnreadableFileError(f"{path.name}: cannot be read as a mesh, it is no OFF; save it again")
    if len(words) < 3:
        line, words = next(rows, (line, []))
    else:
        words = words[1:]
    try:
        points, faces = int(words[0]), int(words[1])
    except (ValueError, IndexError):
        raise found.fault(line, "the numbers of points and faces are missing") from None
    if points < 0 or faces < 0 or points + faces > text.count("\n") + 1:
        raise found.fault(line, f"says it has {points} points and {faces} faces, and has fewer lines")
    for line, words in islice(rows, points):
        found.points.append(found.point(line, words))
    for line, words in islice(rows, faces):
        found.add(line, _off_ring(found, line, words), 0)
    if len(found.points) < points or len(found.rings) < faces:
        raise found.fault(line, f"says it has {points} points and {faces} faces, and ends before them")
    return found.done()


def _off_ring(found: _Polygons, line: int, words: list[str]) -> tuple[int, ...]:
    try:
        count = int(words[0])
        ring = tuple(int(word) for word in words[1 : count + 1])
    except ValueError:
        raise found.fault(line, "a face has whole numbers") from None
    if len(ring) != count:
        raise found.fault(line, f"a face says it has {count} corners and has {len(ring)}")
    if any(number < 0 or number >= len(found.points) for number in ring):
        raise found.fault(line, "has faces between points that do not exist")
    return ring
