"""Faults between the parts of a job: edges, walls, roofs and products that do not exist, and keys that clash."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.basics.nearest import did_you_mean
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import ZoneJob
from takeoff.model.office import Office
from takeoff.model.products import Catalogue, Roll
from takeoff.read.catalogue import codes, load_catalogue
from takeoff.read.job.job_bounds import MOST_WALLS, bound_faults
from takeoff.read.job.metre_faults import metre_faults
from takeoff.read.job.opening_references import opening_faults
from takeoff.read.job.ordering_references import ordering_faults
from takeoff.read.job.pack_references import pack_faults
from takeoff.read.job.rise_references import Fault, Path, edge_rise_faults, has_slope, roof_rise_faults
from takeoff.read.job.setting_clashes import clash_faults
from takeoff.read.job.settings import setting_faults, site_faults
from takeoff.read.job.tank_references import tank_faults
from takeoff.read.office_products import with_office_products
from takeoff.read.outlines.drawing_files import is_drawing

LEAST_HOUSE_MM = 500.0  # an outline smaller than this across was drawn in metres


def reference_faults(job: Job, office: Office | None = None) -> list[Fault]:
    """All faults of a job whose fields are right by themselves, beside what its office says.

    (path, sentence) each; none for a sound job."""
    faults = bound_faults(job)
    if faults:  # what is said of so many things would fill pages
        return faults
    catalogue = with_office_products(load_catalogue(), office)
    names_of = tuple(office.profiles) if office is not None else ()
    if not job.roofs and job.walls is None:
        faults.append(((), "nothing to take off: give roofs, walls or both"))
    names = [roof.name for roof in job.roofs]
    for i, roof in enumerate(job.roofs):
        faults += _roof_faults(job, roof, i, names, [*catalogue.profiles, *names_of, *job.profiles])
    faults += _product_faults(job, catalogue)
    faults += _wall_faults(job, catalogue, names_of)
    faults += metre_faults(job)
    faults += site_faults(job)
    faults += _setting_faults(job, office) if job.code is None or job.code in codes() else []
    faults += _profile_faults(job)
    faults += _flashing_faults(job, catalogue)
    faults += ordering_faults(job)
    faults += tank_faults(job)
    return faults or [*clash_faults(job, catalogue, office), *pack_faults(job, office)]


def _setting_faults(job: Job, office: Office | None) -> list[Fault]:
    """Settings of the job, and those of its office where the job's code does not take them."""
    faults: list[Fault] = list(setting_faults(job.settings, job.code or "", office))
    if office is not None and job.code is not None:
        taken = {name: value for name, value in office.settings.items() if name not in job.settings}
        faults += [
            ((), f"the office file's settings.{path[1]}: {text}")
            for path, text in setting_faults(taken, job.code, office)
        ]
    return faults


def drawn_later(roof: RoofJob) -> bool:
    """Whether a roof's outline stands in a drawing that is not read yet: its edges are checked once it is."""
    return roof.drawn is not None and is_drawing(roof.drawn.file)


def edge_count(roof: RoofJob) -> int | None:
    """How many edges a roof's outline has, courtyards numbered on; None for a model."""
    ring = roof.wall_line or roof.outline
    return None if ring is None else len(ring) + sum(len(hole) for hole in roof.courtyards)


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    choices = sorted(known)
    if not choices:
        return f"unknown {what} {name}; there is no other"
    known_words = f"; known: {', '.join(choices)}"
    return f"unknown {what} {name}{did_you_mean(name, choices, known_words)}"


def _roof_faults(job: Job, roof: RoofJob, i: int, names: list[str], known_profiles: list[str]) -> list[Fault]:
    at: tuple[str | int, ...] = ("roofs", i)
    faults: list[Fault] = []
    given = [key for key in ("wall_line", "outline", "shape", "mesh") if getattr(roof, key) is not None]
    if len(given) != 1:
        faults.append((at, f"needs one of wall_line, outline or shape, has {' and '.join(given) or 'none'}"))
    if names.index(roof.name) != i:
        faults.append(((*at, "name"), f"two roofs are named {roof.name}"))
    if roof.covering.profile not in known_profiles:
        path = (*at, "covering", "profile")
        faults.append((path, _unknown("profile", roof.covering.profile, known_profiles)))
    # of two roofs of one name nobody can tell which is meant; that they have one is said above
    if roof.below is not None and (roof.below not in names or (roof.below == roof.name and names.count(roof.name) < 2)):
        faults.append(((*at, "below"), _unknown("roof", roof.below, [name for name in names if name != roof.name])))
    ring = roof.wall_line or roof.outline
    if ring is not None:
        faults += _outline_faults(roof, at, ring)
    elif roof.courtyards:
        faults.append(((*at, "courtyards"), "belong to an outline or a wall line, not to a shape from a file"))
    if drawn_later(roof):
        return faults
    faults += _edge_faults(roof, at)
    faults += _bare_faults(roof, (*at, "no_spouting_on"), roof.no_spouting_on)
    if i == 0:
        faults += _bare_faults(roof, ("rainwater", "none_on"), job.rainwater.none_on)
    faults += opening_faults(roof, edge_count(roof), at)
    return faults


def _outline_faults(roof: RoofJob, at: tuple[str | int, ...], ring: list[tuple[float, float]]) -> list[Fault]:
    key = "wall_line" if roof.wall_line else "outline"
    across = max(max(p[k] for p in ring) - min(p[k] for p in ring) for k in (0, 1))
    if across < LEAST_HOUSE_MM:
        return [((*at, key), f"is {across:g} mm across: lengths are millimetres, was this drawn in metres?")]
    return []


def _edge_faults(roof: RoofJob, at: tuple[str | int, ...]) -> list[Fault]:
    faults: list[Fault] = []
    count = edge_count(roof)
    if count is None:
        return [((*at, "edges", n), "a mesh has no numbered outline edges") for n in roof.edges]
    for n, edge in roof.edges.items():
        path = (*at, "edges", n)
        if not 1 <= n <= count:
            faults.append((path, f"there is no edge {n}; the outline has edges 1 to {count}"))
        if edge.kind in ("gable", "wall") and edge.pitch_deg is not None and edge.half_hip_from_mm is None:
            faults.append(((*path, "pitch_deg"), f"a {edge.kind} edge is upright and has no pitch"))
        faults += edge_rise_faults(roof, edge, path)
    faults += roof_rise_faults(roof, at)
    eaves = [n for n in range(1, count + 1) if not has_slope(roof, roof.edges.get(n))]
    if eaves:
        numbers = ", ".join(map(str, eaves))
        faults.append((at, f"needs pitch_deg, or a pitch on each of its eaves: edges {numbers} have none"))
    return faults


def _bare_faults(roof: RoofJob, path: tuple[str | int, ...], numbers: list[int]) -> list[Fault]:
    """Edges without spouting that the roof's outline does not have; edges of a model are known only once it is read."""
    count = edge_count(roof)
    if count is None:
        return []
    text = f"the outline of roof {roof.name} has edges 1 to {count}"
    return [(path, f"there is no edge {n}; {text}") for n in numbers if not 1 <= n <= count]


def _profile_faults(job: Job) -> list[Fault]:
    """Own profiles that are wider in cover than overall."""
    text = "is less than cover_mm {:g}; overall is the whole width of a sheet, laps included"
    return [
        (("profiles", name, "overall_mm"), f"{own.overall_mm:g} {text.format(own.cover_mm)}")
        for name, own in job.profiles.items()
        if own.overall_mm < own.cover_mm
    ]


def _flashing_faults(job: Job, catalogue: Catalogue) -> list[Fault]:
    """Edge kinds that no flashing serves, and flashings that do not exist or serve another kind."""
    faults: list[Fault] = []
    by_kind: dict[str, list[str]] = {}
    for product in catalogue.flashings.values():
        by_kind.setdefault(product.edge_kind.replace(" ", "_"), []).append(product.id)
    for kind, name in job.flashings.items():
        if kind not in by_kind:
            faults.append((("flashings", kind, "<key>"), _unknown("edge kind", kind, by_kind)))
        elif name not in by_kind[kind]:
            faults.append((("flashings", kind), _unknown(f"{kind.replace('_', ' ')} flashing", name, by_kind[kind])))
    return faults


def _rolls(catalogue: Catalogue, use: str) -> dict[str, Roll]:
    return {name: roll for name, roll in catalogue.rolls.items() if roll.use == use}


def _product_faults(job: Job, catalogue: Catalogue) -> list[Fault]:
    named: list[tuple[Path, str, str | None, Mapping[str, object]]] = [
        (("rainwater", "gutter"), "gutter", job.rainwater.gutter, catalogue.gutters),
        (("rainwater", "downpipe"), "downpipe", job.rainwater.downpipe, catalogue.downpipes),
        (("underlay", "roll"), "underlay", job.underlay.roll, _rolls(catalogue, "roof")),
        (("walls", "wrap"), "wrap", job.walls.wrap if job.walls else None, _rolls(catalogue, "wall")),
    ]
    return [(path, _unknown(what, name, known)) for path, what, name, known in named if name and name not in known]


def _lined(job: Job) -> list[RoofJob]:
    """The roofs that have a wall line."""
    return [roof for roof in job.roofs if roof.drawn is None and roof.wall_line is not None]


def _wall_faults(job: Job, catalogue: Catalogue, of_office: tuple[str, ...]) -> list[Fault]:
    walls = job.walls
    if walls is None:
        return []
    faults: list[Fault] = []
    names, profiles = [roof.name for roof in job.roofs], [*catalogue.profiles, *of_office, *job.profiles]
    if walls.roof is not None and walls.roof not in names:
        return [(("walls", "roof"), _unknown("roof", walls.roof, names))]
    if walls.drawn_elevations:  # checked once they are read
        return []
    count, alone = len(walls.elevations), not walls.storeys and (walls.height_mm is None or not _lined(job))
    if not (walls.elevations and alone):
        named = [roof for roof in job.roofs if walls.roof in (None, roof.name)]
        lined = [roof for roof in _lined(job) if roof in named]
        if any(drawn_later(roof) for roof in named):
            return []
        if named and named[0].drawn is not None and not lined:
            # how many walls a model has is known when it is read
            return _zone_faults(walls.zones, MOST_WALLS, catalogue, profiles)
        if not lined:
            return [(("walls",), "stand on the wall_line of a roof, or are given as elevations; there is neither")]
        count += sum(edge_count(roof) or 0 for roof in lined)
        storeyed = {storey.roof for storey in walls.storeys}
        # a storey of a roof that there is not may be meant for one without: that is told below
        if walls.height_mm is None and {roof.name for roof in lined} - storeyed and storeyed <= set(names):
            faults.append((("walls",), "needs height_mm, floor to the soffit line or plate"))
    for i, storey in enumerate(walls.storeys):
        if storey.roof not in names:
            faults.append((("walls", "storeys", i, "roof"), _unknown("roof", storey.roof, names)))
    for i, opening in enumerate(walls.openings):
        if opening.wall > count:
            faults.append(
                (("walls", "openings", i, "wall"), f"there is no wall {opening.wall}; walls go from 1 to {count}")
            )
    for n in walls.ground_by_wall:
        if not 1 <= n <= count:
            faults.append((("walls", "ground_by_wall", n), f"there is no wall {n}; walls go from 1 to {count}"))
    for i, n in enumerate(walls.on_concrete):
        if n > count:
            faults.append((("walls", "on_concrete", i), f"there is no wall {n}; walls go from 1 to {count}"))
        elif n in walls.on_concrete[:i]:
            faults.append((("walls", "on_concrete", i), f"wall {n} is named twice"))
    return faults + _zone_faults(walls.zones, count, catalogue, profiles)


def _zone_faults(zones: list[ZoneJob], count: int, catalogue: Catalogue, profiles: list[str]) -> list[Fault]:
    faults: list[Fault] = []
    taken: dict[int, int] = {}
    rest = [i for i, zone in enumerate(zones) if zone.walls is None and not zone.shaped]
    for i in rest[1:]:
        faults.append((("walls", "zones", i), f"zones {rest[0] + 1} and {i + 1} both take the walls no other names"))
    for i, zone in enumerate(zones):
        at = ("walls", "zones", i)
        if zone.profile is not None and zone.profile not in profiles:
            faults.append(((*at, "profile"), _unknown("profile", zone.profile, profiles)))
        if isinstance(zone.board, str):
            board = catalogue.boards.get(zone.board)
            if board is None:
                faults.append(((*at, "board"), _unknown("board", zone.board, catalogue.boards)))
            elif board.direction not in (zone.direction, "either"):
                faults.append(((*at, "board"), f"{zone.board} is laid {board.direction}, not {zone.direction}"))
        for wall in zone.walls or []:
            if wall > count:
                faults.append(((*at, "walls"), f"there is no wall {wall}; walls go from 1 to {count}"))
            elif wall in taken and not zone.shaped:
                faults.append(((*at, "walls"), f"wall {wall} is already clad by zone {taken[wall] + 1}"))
            if not zone.shaped:
                taken.setdefault(wall, i)
    return faults
