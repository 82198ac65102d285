"""All that is measured on raised roofs and walls: each room by itself, and not again where nothing of it changed."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.superseding import look_up
from takeoff.measure.cladding.cladding import count_all_boards, measure_cladding
from takeoff.measure.item_book import item_book
from takeoff.measure.other_codes import other_code_findings
from takeoff.measure.rainwater.rainwater import fed_gutters, measure_rainwater
from takeoff.measure.roofing.roofing import count_roofing, measure_roofing
from takeoff.model.drainage import GutterRun
from takeoff.model.job.job import Job
from takeoff.model.job.rainwater import RainwaterJob
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured, Need, PurlinLine, RainwaterMeasured, RoofingMeasured
from takeoff.model.memory import Same, recalled
from takeoff.model.order import Takeoff, Used
from takeoff.model.quantities import BoardCount, SheetCount
from takeoff.model.settings import Settings
from takeoff.shape.together.joint import joint_roofs, roofs_in_place
from takeoff.shape.water.drainage import trace_all_gutters
from takeoff.shape.water.wall_water import WallRule

# parts of a job that say nothing to the measuring of gutters, and of roof planes
_PAPER = ("job", "revision", "date", "on_hand", "rates", "ordering", "truck", "count", "settings")
_NOT_RAINWATER = (*_PAPER, "tanks", "water_use", "rain")
_NOT_ROOFING = (*_NOT_RAINWATER, "walls")


def measured(takeoff: Takeoff) -> Takeoff:
    """The takeoff of a house whose roofs and walls are raised, with all that is measured on them."""
    job, settings, catalogue = takeoff.job, takeoff.settings, takeoff.catalogue
    roofing = _roofing(takeoff)
    look_up()
    rainwater = _rainwater(takeoff)
    look_up()
    cladding = takeoff.cladding if job.walls is None else _cladding(takeoff, job.walls)
    look_up()
    asked = settings.watched()
    needs = needs_of(roofing, rainwater, cladding)
    items = recalled(
        "items",
        (Same(roofing), Same(rainwater), Same(cladding), Same(catalogue)),
        asked,
        lambda noted: item_book(needs, roofing.groups, catalogue, noted),
    )
    findings = [*takeoff.findings, *(finding for sheets in roofing.sheets for finding in sheets.findings)]
    findings += [finding for plan in rainwater.downpipes for finding in plan.findings]
    findings += cladding.findings
    findings += [finding for boards in cladding.boards for finding in boards.findings]
    findings += [finding for need in needs for finding in need.findings]
    findings += other_code_findings(settings, (*roofing.used, *rainwater.used, *cladding.used))
    return replace(
        takeoff,
        roofing=roofing,
        rainwater=rainwater,
        cladding=cladding,
        items=items,
        used_before=(*takeoff.used_before, Used("order", asked.used)),
        measures=(*takeoff.measures, *rainwater.catchment, *cladding.measures),
        findings=tuple(findings),
    )


Counts = tuple[tuple[SheetCount, ...], tuple[PurlinLine, ...], tuple[GutterRun, ...], tuple[BoardCount, ...]]


def counts_of(takeoff: Takeoff) -> Counts:
    """Sheets by plane, lines of timber, gutters and boards of a house whose roofs and walls are raised: the same as
    `measured` gives, and nothing else of it."""
    job, settings, catalogue, roofs = takeoff.job, takeoff.settings, takeoff.catalogue, takeoff.roofs
    part = _roof_part(job)
    sheets, lines = recalled(
        "roof counts",
        (roofs, part, Same(catalogue)),
        settings,
        lambda asked: count_roofing(roofs, part, asked, catalogue),
    )
    gutters = recalled(
        "gutters", (roofs, _less(job, _NOT_RAINWATER), Same(catalogue)), settings, lambda asked: _fed(takeoff, asked)
    )
    boards: tuple[BoardCount, ...] = ()
    if job.walls is not None:
        walls, elevations, site = job.walls, takeoff.elevations, job.site
        boards = recalled(
            "boards",
            (elevations, walls, site, Same(catalogue)),
            settings,
            lambda asked: count_all_boards(elevations, walls, asked, catalogue, site),
        )
    return sheets, lines, gutters, boards


def _fed(takeoff: Takeoff, settings: Settings) -> tuple[GutterRun, ...]:
    job, roofs = _less(takeoff.job, _NOT_RAINWATER), takeoff.roofs
    joint = joint_roofs(roofs)
    gutters = trace_all_gutters(joint, bare=job.bare_edges, members=roofs, walls=_walls_above(settings))
    return fed_gutters(gutters, joint, job, settings, takeoff.catalogue)


def _roof_part(job: Job) -> Job:
    """The job as far as it says something of roof planes."""
    return _less(job, _NOT_ROOFING).model_copy(update={"rainwater": RainwaterJob(none_on=job.rainwater.none_on)})


def without_papers(job: Job) -> Job:
    """The job without what says nothing to any measure, nor to what it is held against."""
    return _less(job, _PAPER)


def _less(job: Job, parts: tuple[str, ...]) -> Job:
    """The job without parts that a stage has no use for: what changes in them is then nothing to it."""
    bare = Job(job="none")
    return job.model_copy(update={part: getattr(bare, part) for part in parts})


def _roofing(takeoff: Takeoff) -> RoofingMeasured:
    job, catalogue, roofs = takeoff.job, takeoff.catalogue, takeoff.roofs
    fits = {fit.plane: fit for fit in takeoff.site.fits} if takeoff.site is not None else None
    part = _roof_part(job)

    def work(asked: Settings) -> RoofingMeasured:
        found = measure_roofing(roofs, part, asked, catalogue, roofs_in_place(roofs), fits)
        return replace(found, used=asked.used)

    return recalled("roofing", (roofs, part, Same(catalogue), fits), takeoff.settings.watched(), work)


def _rainwater(takeoff: Takeoff) -> RainwaterMeasured:
    job, catalogue, roofs = _less(takeoff.job, _NOT_RAINWATER), takeoff.catalogue, takeoff.roofs

    def work(asked: Settings) -> RainwaterMeasured:
        joint = joint_roofs(roofs)
        gutters = trace_all_gutters(joint, bare=job.bare_edges, members=roofs, walls=_walls_above(asked))
        return replace(measure_rainwater(gutters, joint, job, asked, catalogue), used=asked.used)

    return recalled("rainwater", (roofs, job, Same(catalogue)), takeoff.settings.watched(), work)


def _cladding(takeoff: Takeoff, walls: WallsJob) -> CladdingMeasured:
    elevations, roofs, site, catalogue = takeoff.elevations, takeoff.roofs, takeoff.job.site, takeoff.catalogue

    def work(asked: Settings) -> CladdingMeasured:
        return replace(measure_cladding(elevations, walls, roofs, asked, catalogue, site), used=asked.used)

    inputs = (elevations, walls, roofs, Same(catalogue), site)
    return recalled("cladding", inputs, takeoff.settings.watched(), work)


def _walls_above(settings: Settings) -> WallRule:
    number = settings.number
    return WallRule(number("walls_above_share"), number("walls_above_to_mm"), number("wall_above_if_not_shaped_mm"))


def needs_of(roofing: RoofingMeasured, rainwater: RainwaterMeasured, cladding: CladdingMeasured) -> tuple[Need, ...]:
    """What all trades need, in the order of the trades."""
    return (*roofing.needs, *rainwater.needs, *cladding.needs)
