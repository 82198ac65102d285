"""The own houses as IFC text of each schema, written line by line: boundary representations, nothing from a library.

Roof planes are slabs 120 mm thick upright under one IfcRoof, walls are 200 mm thick inwards with their openings as bodies of
their own that go 100 mm past both faces, each filled by a window or a door.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from hashlib import md5
from math import hypot

from own_houses import Box, Face, House, Point

_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"
SLAB = 0.12
WALL = 0.2
PAST = 0.1


def guid(words: str) -> str:
    """A GlobalId that is always the same for the same words: 128 bits as 22 letters."""
    number = int.from_bytes(md5(words.encode()).digest(), "big")
    letters = []
    for _ in range(22):
        number, k = divmod(number, 64)
        letters.append(_LETTERS[k])
    return ("0123"[_LETTERS.index(letters[-1]) % 4]) + "".join(reversed(letters[:-1]))


@dataclass
class Step:
    """Lines of a STEP file; `unit` metres to one unit of the file."""

    schema: str = "IFC4"
    unit: float = 1.0
    lines: list[str] = field(default_factory=list)

    def add(self, text: str) -> str:
        self.lines.append(f"#{len(self.lines) + 1}={text};")
        return f"#{len(self.lines)}"

    def figure(self, metres: float) -> str:
        words = f"{metres / self.unit:.9f}".rstrip("0")
        return "0." if words in ("-0.", "0.") else words

    def point(self, point: Point) -> str:
        return self.add(f"IFCCARTESIANPOINT(({','.join(self.figure(v) for v in point)}))")

    def root(self, kind: str, words: str, rest: str, name: str = "") -> str:
        return self.add(f"{kind}('{guid(words)}',$,'{name or words}',{rest})")

    def body(self, context: str, rings: list[list[Point]]) -> str:
        """A closed body by its faces."""
        faces = []
        for ring in rings:
            loop = self.add(f"IFCPOLYLOOP(({','.join(self.point(p) for p in ring)}))")
            faces.append(self.add(f"IFCFACE(({self.add(f'IFCFACEOUTERBOUND({loop},.T.)')}))"))
        shell = self.add(f"IFCCLOSEDSHELL(({','.join(faces)}))")
        shape = self.add(f"IFCSHAPEREPRESENTATION({context},'Body','Brep',({self.add(f'IFCFACETEDBREP({shell})')}))")
        return self.add(f"IFCPRODUCTDEFINITIONSHAPE($,$,({shape}))")

    def text(self) -> str:
        head = "HEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n"
        head += f"FILE_SCHEMA(('{self.schema}'));\nENDSEC;\nDATA;\n"
        return "ISO-10303-21;\n" + head + "\n".join(self.lines) + "\nENDSEC;\nEND-ISO-10303-21;\n"


def prism(ring: list[Point], by: Point) -> list[list[Point]]:
    """Faces of a ring (counter-clockwise seen from outside) and the same moved by a vector inwards."""
    other = [(x + by[0], y + by[1], z + by[2]) for x, y, z in ring]
    sides = [[a, c, d, b] for a, b, c, d in zip(ring, ring[1:] + ring[:1], other, other[1:] + other[:1], strict=True)]
    return [ring, other[::-1], *sides]


def ifc(
    house: House,
    schema: str = "IFC4",
    unit: float = 1.0,
    north: str = "$",
    external: bool = False,
    roof: str = "slabs",
    place: Point = (0.0, 0.0, 0.0),
) -> str:
    """A house in a project, site, building and storey; `place` is where its site lies. `roof`: "slabs"
    cut upright under one IfcRoof, "square" cut square to the slope, "loose" in no IfcRoof, "body" as one closed body of the
    IfcRoof itself, "skin" as its top alone."""
    step = Step(schema, unit)
    old = schema == "IFC2X3"
    origin = step.add(f"IFCAXIS2PLACEMENT3D({step.point((0.0, 0.0, 0.0))},$,$)")
    context = step.add(f"IFCGEOMETRICREPRESENTATIONCONTEXT($,'Model',3,1.E-05,{origin},{north})")
    units = step.add(f"IFCUNITASSIGNMENT(({_units(step)}))")
    project = step.root("IFCPROJECT", f"{house.name} project", f"$,$,$,$,({context}),{units}")
    site_place = step.add(f"IFCLOCALPLACEMENT($,{step.add(f'IFCAXIS2PLACEMENT3D({step.point(place)},$,$)')})")
    at = step.add(f"IFCLOCALPLACEMENT({site_place},{origin})")
    site = step.root("IFCSITE", f"{house.name} site", f"$,$,{site_place},$,$,.ELEMENT.,$,$,$,$,$")
    building = step.root("IFCBUILDING", house.name, f"$,$,{at},$,$,.ELEMENT.,$,$,$")
    storey = step.root("IFCBUILDINGSTOREY", f"{house.name} storey", f"$,$,{at},$,$,.ELEMENT.,0.")
    for over, under in ((project, site), (site, building), (building, storey)):
        step.root("IFCRELAGGREGATES", f"{over} holds {under}", f"$,{over},({under})")
    inside = _roof(step, house, context, at, roof)
    inside += _walls(step, house, context, at, old, external)
    step.root("IFCRELCONTAINEDINSPATIALSTRUCTURE", "in the storey", f"$,({','.join(inside)}),{storey}")
    return step.text()


def _units(step: Step) -> str:
    prefix = {1.0: "$", 0.001: ".MILLI."}[step.unit]
    return ",".join(
        [
            step.add(f"IFCSIUNIT(*,.LENGTHUNIT.,{prefix},.METRE.)"),
            step.add("IFCSIUNIT(*,.AREAUNIT.,$,.SQUARE_METRE.)"),
            step.add("IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.)"),
        ]
    )


def _roof(step: Step, house: House, context: str, at: str, how: str) -> list[str]:
    slabs = []
    planes = [face for face in house.faces if face.what == "roof"]
    if how in ("body", "skin"):
        shape = step.body(context, one_body(planes) if how == "body" else [list(face.rings[0]) for face in planes])
        return [step.root("IFCROOF", f"{house.name} roof", f"$,$,{at},{shape},$,.NOTDEFINED.")]
    for number, face in enumerate(planes, start=1):
        by = (0.0, 0.0, -SLAB) if how != "square" else _inwards(face)
        shape = step.body(context, prism(list(face.rings[0]), by))
        slabs.append(step.root("IFCSLAB", f"{house.name} plane {number}", f"$,$,{at},{shape},$,.ROOF."))
        area = step.add(f"IFCQUANTITYAREA('NetArea',$,$,{_plan_m2(face) * 1.25!r})")
        plan = step.add(f"IFCQUANTITYAREA('ProjectedArea',$,$,{_plan_m2(face)!r})")
        group = step.root(
            "IFCELEMENTQUANTITY", f"slab areas {number}", f"$,$,({area},{plan})", "Qto_SlabBaseQuantities"
        )
        step.root("IFCRELDEFINESBYPROPERTIES", f"has slab areas {number}", f"$,({slabs[-1]}),{group}")
    if how == "loose":
        return slabs
    roof = step.root("IFCROOF", f"{house.name} roof", f"$,$,{at},$,$,.NOTDEFINED.")
    step.root("IFCRELAGGREGATES", f"{house.name} roof holds its slabs", f"$,{roof},({','.join(slabs)})")
    return [roof]


def one_body(planes: list[Face]) -> list[list[Point]]:
    """Faces of a closed body: the planes, the same lower by the slabs' thickness, and sides between their outer edges."""
    sides = {
        (a, b) for face in planes for a, b in zip(face.rings[0], (*face.rings[0][1:], face.rings[0][0]), strict=True)
    }

    def low(point: Point) -> Point:
        return (point[0], point[1], point[2] - SLAB)

    outer = [[a, low(a), low(b), b] for a, b in sorted(sides) if (b, a) not in sides]
    tops = [list(face.rings[0]) for face in planes]
    return [*tops, *([low(point) for point in reversed(ring)] for ring in tops), *outer]


def _inwards(face: Face) -> Point:
    """Square to a plane that slopes 3 in 4, downwards, as long as a slab is thick."""
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = face.rings[0][:3]
    u, v = (bx - ax, by - ay, bz - az), (cx - ax, cy - ay, cz - az)
    n = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
    size = hypot(*n)
    return (-SLAB * n[0] / size, -SLAB * n[1] / size, -SLAB * n[2] / size)


def _plan_m2(face: Face) -> float:
    ring = face.rings[0]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)) / 2.0


def _walls(step: Step, house: House, context: str, at: str, old: bool, external: bool) -> list[str]:
    walls = [face for face in house.faces if face.what == "wall"]
    found = []
    for number, face in enumerate(walls, start=1):
        a, b = house.ground[number - 1], house.ground[number % len(house.ground)]
        length = hypot(b[0] - a[0], b[1] - a[1])
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        inwards: Point = (-along[1] * WALL, along[0] * WALL, 0.0)
        shape = step.body(context, prism(_without_doors(face), inwards))
        kind = "" if old else ",$"
        wall = step.root("IFCWALL", f"{house.name} wall {number}", f"$,$,{at},{shape},$" + kind)
        found.append(wall)
        if external:
            value = step.add("IFCPROPERTYSINGLEVALUE('IsExternal',$,IFCBOOLEAN(.T.),$)")
            group = step.root("IFCPROPERTYSET", f"outer {number}", f"$,({value})", "Pset_WallCommon")
            step.root("IFCRELDEFINESBYPROPERTIES", f"outer wall {number}", f"$,({wall}),{group}")
        for n, box in enumerate(house.openings.get(number, ()), start=1):
            found.append(_opening(step, f"{house.name} {number}.{n}", context, at, old, wall, a, along, box))
    return found


def _without_doors(face: Face) -> list[Point]:
    """A wall's ring as if it had no openings: the points of its foot between the ends left out."""
    ring = list(face.rings[0])
    ends = [0, max(k for k, point in enumerate(ring) if point[2] == 0.0)]
    return [ring[0], *ring[ends[1] :]]


def _opening(
    step: Step,
    words: str,
    context: str,
    at: str,
    old: bool,
    wall: str,
    a: tuple[float, float],
    along: tuple[float, float],
    box: Box,
) -> str:
    x, sill, width, height = box

    def place(s: float, z: float, out: float) -> Point:
        return (a[0] + along[0] * s + along[1] * out, a[1] + along[1] * s - along[0] * out, z)

    corners = [(x, sill), (x + width, sill), (x + width, sill + height), (x, sill + height)]
    ring = [place(s, z, PAST) for s, z in corners]
    deep = WALL + 2 * PAST
    shape = step.body(context, prism(ring, (-along[1] * deep, along[0] * deep, 0.0)))
    kind = "" if old else ",.OPENING."
    hole = step.root("IFCOPENINGELEMENT", f"{words} hole", f"$,$,{at},{shape},$" + kind)
    step.root("IFCRELVOIDSELEMENT", f"{words} voids", f"$,{wall},{hole}")
    fill = "IFCDOOR" if sill == 0.0 else "IFCWINDOW"
    name = f"{'door' if sill == 0.0 else 'window'} {words}"
    rest = f"$,$,{at},$,$,{step.figure(height)},{step.figure(width)}" + ("" if old else ",$,$,$")
    product = step.root(fill, name, rest)
    step.root("IFCRELFILLSELEMENT", f"{words} fills", f"$,{hole},{product}")
    return product
