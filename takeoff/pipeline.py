"""The whole story on one page: read -> shape -> measure -> order -> write.

`run` is the one door for the command line and for programs; only this module knows the order of the stages.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import IntEnum
from pathlib import Path

from takeoff.basics.errors import JobError, ShapeError
from takeoff.basics.records import record
from takeoff.basics.superseding import look_up
from takeoff.measure.house_figures import boards_counted, counted, house_figures
from takeoff.measure.roof_measures import measure_roof
from takeoff.measure.roofing.sheets.site_fit import fit_planes
from takeoff.measure.size_bounds import check_size
from takeoff.measuring import counts_of, measured, needs_of, without_papers
from takeoff.model.drainage import GutterRun
from takeoff.model.drawings import RawDrawing
from takeoff.model.faces import RawFaces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured, PurlinLine, RainwaterMeasured, RoofingMeasured
from takeoff.model.memory import Same, recalled, recalled_plain
from takeoff.model.office import Office
from takeoff.model.order import Hold, Order, Takeoff, Used
from takeoff.model.order_folder import ORDER_SHEET, OneWritten, Written
from takeoff.model.products import Catalogue
from takeoff.model.quantities import BoardCount, Quantities, SheetCount
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.supplied import SiteMeasure
from takeoff.model.walls import Elevation
from takeoff.order.all_houses import for_all_houses
from takeoff.order.bounds.check_bounds import check_bounds
from takeoff.order.build_order import build_order
from takeoff.order.finishing import finished
from takeoff.order.issued import against_book
from takeoff.order.lengths_on_hand import on_hand_by_item
from takeoff.order.sheets.packs import sheet_packs
from takeoff.order.sheets.sheet_orders import sheet_orders
from takeoff.order.sheets.wall_sheet_orders import wall_sheet_orders
from takeoff.read.catalogue import load_catalogue
from takeoff.read.fingerprint import fingerprint
from takeoff.read.issues.book_file import ISSUES, read_book
from takeoff.read.job.coverings import with_coverings
from takeoff.read.job.fault_places import placed_faults
from takeoff.read.job.job_file import check_job, job_path, parse_job, read_text
from takeoff.read.job.job_references import drawn_later
from takeoff.read.job.settings import code_findings, odd_settings, resolve_settings
from takeoff.read.office.office_file import find_office
from takeoff.read.own_profiles import mass_findings, with_own_profiles
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.outline_order.put_in_order import OrderedRings, order_outlines
from takeoff.shape.outline_order.values import even_values
from takeoff.shape.together.combine import combine_roofs
from takeoff.shape.walls.walls import elevations

Step = Callable[[str], None]
_NO_CLADDING = CladdingMeasured((), (), ())


class Stage(IntEnum):
    """How far to go."""

    SHAPE = 1
    MEASURE = 2
    ORDER = 3


@record
class _Read:
    """What reading hands on: the job, its fingerprint, where files named in it lie, resolved values, the catalogue with
    the job's own profiles in it, and which settings reading itself asked for."""

    job: Job
    fingerprint: str
    base: Path
    settings: Settings
    catalogue: Catalogue
    findings: tuple[Finding, ...]
    used: tuple[str, ...]
    office: Office | None = None


def _quiet(_what: str) -> None:
    """Progress that nobody watches."""


def run_file(
    path: Path | str,
    until: Stage = Stage.ORDER,
    step: Step = _quiet,
    taped: tuple[SiteMeasure, ...] = (),
    office: Path | None = None,
) -> Takeoff:
    """Take off a job file, or job.yaml in a folder, with the office file that is named or lies beside it.

    Raises JobError, UnreadableFileError or ShapeError with every fault of the level reached."""
    step("reading the job")
    path = job_path(Path(path))
    return run_text(read_text(path), path, until, step, taped, office)


def run_text(
    text: str,
    path: Path,
    until: Stage = Stage.ORDER,
    step: Step = _quiet,
    taped: tuple[SiteMeasure, ...] = (),
    office: Path | None = None,
) -> Takeoff:
    """Take off a job as the text of its file, which need not be saved yet: what `run_file` gives once it is saved under
    `path`. Raises what `run_file` raises."""
    held = find_office(path.parent, office)
    job = parse_job(text, path.name, held)
    try:
        takeoff = _run(_read(job, path.parent, text, taped, held), until, step, taped)
    except (JobError, ShapeError) as err:
        raise type(err)(*placed_faults(err.faults, text, path.name)) from err
    return against_book(takeoff, read_book(path.parent / ISSUES, marks=True))


def run(
    job: Job,
    base: Path = Path(),
    until: Stage = Stage.ORDER,
    step: Step = _quiet,
    taped: tuple[SiteMeasure, ...] = (),
    office: Office | None = None,
) -> Takeoff:
    """Take off a job made in a script: it meets the same checks as one from a file. Raises what `run_file` raises.

    `base` is the folder that files named in it are looked for in; `taped` are sizes measured on the frame, which the
    sheets then follow; `office` is what the office says.
    """
    check_job(job, office)
    return _run(_read(job, base, "", taped, office), until, step, taped)


def _read(job: Job, base: Path, text: str, taped: tuple[SiteMeasure, ...], office: Office | None) -> _Read:
    mark = fingerprint(job, base, text, taped, office)
    job, drawn = _with_drawings(job, base, office)
    job = with_coverings(job)
    settings = resolve_settings(job, office)
    watched = settings.watched()
    own = (job.profiles, office, Same(load_catalogue()))
    catalogue = recalled(
        "own profiles", own, watched, lambda asked: with_own_profiles(load_catalogue(), job, asked, office)
    )
    findings = (
        *drawn,
        *code_findings(job),
        *odd_settings(job, office),
        *mass_findings(job, catalogue, watched, office),
    )
    return _Read(job, mark, base, settings, catalogue, findings, watched.used, office)


def _with_drawings(job: Job, base: Path, office: Office | None) -> tuple[Job, tuple[Finding, ...]]:
    """The job with every outline and wall that stands in a drawing as if it had been typed, checked again with them,
    and what is said of them."""
    walls = job.walls
    drawn = walls is not None and bool(walls.drawn_elevations)
    if not drawn and not any(drawn_later(roof) for roof in job.roofs):
        return job, ()
    from takeoff.read.outlines.drawing_files import read_drawing
    from takeoff.shape.imported.drawn.drawn_elevations import drawn_walls
    from takeoff.shape.imported.drawn.drawn_outlines import drawn_roof

    found: dict[str, RawDrawing] = {}

    def read(file: str) -> RawDrawing:
        return found.setdefault(file, found[file] if file in found else read_drawing(base / file))

    roofs: list[RoofJob] = []
    findings: list[Finding] = []
    for roof in job.roofs:
        if roof.drawn is not None and drawn_later(roof):
            roof, said = drawn_roof(roof, read(roof.drawn.file))
            findings += said
        roofs.append(roof)
    if walls is not None and walls.drawn_elevations:
        walls, said = drawn_walls(walls, read)
        findings += said
    job = job.model_copy(update={"roofs": roofs, "walls": walls})
    check_job(job, office)
    return job, tuple(findings)


def _run(read: _Read, until: Stage, step: Step, taped: tuple[SiteMeasure, ...]) -> Takeoff:
    step("raising the roof")
    takeoff = _shaped(read)
    takeoff = replace(takeoff, measures=tuple(found for roof in takeoff.roofs for found in measure_roof(roof)))
    if until is Stage.SHAPE or takeoff.stopped:
        return takeoff
    check_size(takeoff.roofs, takeoff.elevations, takeoff.job, read.settings, read.catalogue)
    look_up()
    step("measuring")
    takeoff = measured(_on_site(takeoff, taped) if taped else takeoff)
    if until is Stage.MEASURE or takeoff.stopped:
        return takeoff
    look_up()
    step("making the order")
    order = for_all_houses(_finished(takeoff), takeoff.job, takeoff.office)
    findings = (*takeoff.findings, *order.findings)
    if any(finding.severity is Severity.STOP for finding in order.findings):  # withheld, with what it asked for told
        return replace(takeoff, findings=findings, used_before=(*takeoff.used_before, Used("order", order.used)))
    return replace(takeoff, order=order, findings=findings)


def quantities(job: Job, base: Path = Path(), office: Office | None = None) -> Quantities:
    """What a house measures, as a flat row of figures: no cutting, no paper. Raises what `run` raises of the job and
    its shape, and of products that do not exist."""
    check_job(job, office)
    read = _read(job, base, "", (), office)
    takeoff = _shaped(read)
    if takeoff.stopped:
        return quantities_of(takeoff)
    check_size(takeoff.roofs, takeoff.elevations, takeoff.job, read.settings, read.catalogue)
    look_up()
    return _in_row(takeoff, *counts_of(takeoff))


def quantities_of(takeoff: Takeoff) -> Quantities:
    """The same figures from a takeoff that was measured."""
    sheets, boards = tuple(map(counted, takeoff.roofing.sheets)), tuple(map(boards_counted, takeoff.cladding.boards))
    return _in_row(takeoff, sheets, takeoff.roofing.purlins, takeoff.rainwater.gutters, boards)


def _in_row(
    takeoff: Takeoff,
    sheets: tuple[SheetCount, ...],
    purlins: tuple[PurlinLine, ...],
    gutters: tuple[GutterRun, ...],
    boards: tuple[BoardCount, ...],
) -> Quantities:
    house, parts = house_figures(takeoff.roofs, sheets, purlins, gutters, boards)
    rings = tuple(roof.outline_mm[0] for roof in takeoff.roofs if roof.outline_mm)
    return Quantities(takeoff.job.job, takeoff.job_hash, house, parts, takeoff.findings, takeoff.stopped, rings)


def write_files(takeoff: Takeoff, out: Path | str, step: Step = _quiet, only: str | None = None) -> Written:
    """Write the usual files into `out`, or the kinds that `only` names ("order,site"), all or nothing. Returns their
    paths, and what was kept. Raises UsageError for a kind there is not."""
    from takeoff.read.lists.typed_columns import typed_before
    from takeoff.write.files import write_all

    step("writing the files")
    return write_all(takeoff, Path(out), only=only, typed=typed_before(Path(out) / ORDER_SHEET))


def write_mesh(takeoff: Takeoff, path: Path) -> OneWritten:
    """Write the roofs' planes and upright faces as a mesh: OBJ, STL, PLY or GLB, by the ending of `path`. Raises
    UsageError for another ending, and where it cannot be written."""
    from takeoff.write.atomic import write_one
    from takeoff.write.data.roof_mesh import mesh_bytes

    return write_one(path, mesh_bytes(takeoff.roofs, path))


def _shaped(read: _Read) -> Takeoff:
    settings = read.settings.watched()
    models: dict[str, RawFaces] = {}
    roofs = _shape_roofs(read, settings, models)
    if read.job.walls is not None and models:
        from takeoff.shape.imported.house_walls.fill_walls import fill_walls

        job, roofs = fill_walls(read.job, roofs, models)
        read = replace(read, job=job)
    job = read.job
    soffit_mm = job.rainwater.soffit_mm if job.rainwater else None
    walls = _elevations(job.walls, roofs, job.north_deg, settings, soffit_mm) if job.walls else ()
    return _empty(read, roofs, walls, (Used("read", read.used), Used("shape", settings.used)))


def _elevations(
    walls: WallsJob, roofs: tuple[Roof, ...], north_deg: float, settings: Settings, soffit_mm: float | None
) -> tuple[Elevation, ...]:
    inputs = (walls, roofs, north_deg, soffit_mm)
    return recalled("walls", inputs, settings, lambda asked: elevations(walls, roofs, north_deg, asked, soffit_mm))


def _shape_roofs(read: _Read, settings: Settings, models: dict[str, RawFaces]) -> tuple[Roof, ...]:
    roofs: list[Roof] = []
    faults: list[str] = []
    jobs = even_values(read.job.roofs)
    for roof_job, ordered in zip(jobs, order_outlines(jobs), strict=True):
        try:
            first = 1 + sum(len(roof.planes) for roof in roofs)
            roofs.append(_shape_roof(roof_job, ordered, read, settings, first, models))
        except JobError as err:
            faults += err.faults
    if faults:
        raise JobError(*faults)
    return recalled_plain("roofs together", (tuple(roofs), jobs), lambda: combine_roofs(tuple(roofs), jobs))


def _shape_roof(
    roof_job: RoofJob,
    ordered: OrderedRings | None,
    read: _Read,
    settings: Settings,
    first_plane: int,
    models: dict[str, RawFaces],
) -> Roof:
    """One roof; what its file says, if it comes from one, is put into `models` by its name."""
    north_deg = read.job.north_deg
    if roof_job.drawn is None:
        shape = (roof_job, north_deg, first_plane, ordered)
        return recalled(
            "roof", shape, settings, lambda asked: roof_from_outline(roof_job, north_deg, asked, first_plane, ordered)
        )
    # kept out of the way of outline jobs: the mesh library takes longer to load than a house to take off
    from takeoff.read.shape_files import read_shape
    from takeoff.shape.imported.roof_from_faces import roof_from_faces
    from takeoff.shape.imported.stated_areas import area_findings

    raw = models[roof_job.name] = read_shape(read.base / roof_job.drawn.file, roof_job.drawn)
    gutter = read.job.rainwater.gutter or settings.word("rainwater_gutter")
    gutter_mm = read.catalogue.gutters[gutter].width_mm
    bare = read.job.bare_edges[roof_job.name]
    roof = roof_from_faces(raw, roof_job, north_deg, settings, first_plane, gutter_mm, bare)
    return replace(roof, findings=(*roof.findings, *area_findings(raw, roof)))


def _empty(read: _Read, roofs: tuple[Roof, ...], walls: tuple[Elevation, ...], used: tuple[Used, ...]) -> Takeoff:
    findings: list[Finding] = [*read.findings, *(finding for roof in roofs for finding in roof.findings)]
    findings += [finding for wall in walls for finding in wall.findings]
    return Takeoff(
        job=read.job,
        job_hash=read.fingerprint,
        settings=read.settings,
        catalogue=read.catalogue,
        roofs=roofs,
        elevations=walls,
        roofing=RoofingMeasured((), (), (), ()),
        rainwater=RainwaterMeasured((), (), (), ()),
        cladding=_NO_CLADDING,
        measures=(),
        order=None,
        findings=tuple(findings),
        used_before=used,
        office=read.office,
    )


def _on_site(takeoff: Takeoff, taped: tuple[SiteMeasure, ...]) -> Takeoff:
    """The takeoff with the frame as measured."""
    asked = takeoff.settings.watched()
    site = fit_planes(takeoff.roofs, taped, asked)
    used = (*takeoff.used_before, Used("measured", asked.used))
    return replace(takeoff, site=site, findings=(*takeoff.findings, *site.findings), used_before=used)


def _ordered(takeoff: Takeoff) -> Order:
    """The order as far as measures and the site say it, the very same record as long as they are."""
    site, items, roofing = takeoff.job.site, takeoff.items, takeoff.roofing
    needs = needs_of(roofing, takeoff.rainwater, takeoff.cladding)
    on_hand = on_hand_by_item(takeoff.job.on_hand, needs, roofing.groups)

    def work(asked: Settings) -> Order:
        sheets = sheet_orders(roofing.groups, site, asked, items, on_hand)
        walls = wall_sheet_orders(takeoff.cladding.groups, site, asked, items)
        order = build_order(sheets, needs, asked, items, on_hand, walls)
        packing = sheet_packs(sheets, takeoff.roofs, asked, roofing.sheets)
        return replace(order, packs=packing.packs, findings=(*order.findings, *packing.findings), used=asked.used)

    measures = (Same(roofing), Same(takeoff.rainwater), Same(takeoff.cladding), Same(items))
    return recalled("order", (*measures, takeoff.roofs, site, on_hand), takeoff.settings.watched(), work)


def _beyond(takeoff: Takeoff, order: Order) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """What of an order is out of bounds, and the settings that the bounds asked for."""
    job, asked = without_papers(takeoff.job), takeoff.settings.watched()
    measures = (takeoff.roofing, takeoff.rainwater, takeoff.cladding, takeoff.items, takeoff.catalogue, order)
    inputs = (takeoff.roofs, takeoff.elevations, job, takeoff.site, *map(Same, measures))

    def work(noted: Settings) -> tuple[Finding, ...]:
        return check_bounds(replace(takeoff, job=job, settings=noted), order)

    return recalled("bounds", inputs, asked, work), asked.used


def _finished(takeoff: Takeoff) -> Order:
    """The order held against its bounds, with what the job and the office say of it."""
    order = _ordered(takeoff)
    beyond, asked = _beyond(takeoff, order)
    if takeoff.site is not None and takeoff.site.whole:
        order = replace(order, state=Hold.MEASURED)
    lying = [takeoff.items[item] for item in dict.fromkeys(one.item for one in takeoff.job.on_hand)]
    order = finished(order, takeoff.job, takeoff.office, lying)
    told = {*order.used, *asked}
    used = tuple(name for name in takeoff.settings.values if name in told)
    return replace(order, findings=(*order.findings, *beyond), used=used)
