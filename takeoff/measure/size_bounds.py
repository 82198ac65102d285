"""How much one order may hold, estimated from the shape before anything is measured: bounds far above any house, so
that a slip of the pen is told by its figure and not by hours of waiting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, inf

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.zones import LEAST_COVER_MM
from takeoff.model.job.job import Job
from takeoff.model.products import Catalogue
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation

MOST_PLANES = 1_000
MOST_SHEETS = 8_000  # strips, each counted as often as it must be lapped for transport
MOST_ROWS_M = 60_000.0  # purlins
MOST_BOARDS_M = 100_000.0
MOST_DRAWN = 6_000  # sheets of one plane, boards of one wall, or purlins of all roofs: each stands on one drawing
_PIECE_MM = 6_000.0  # boards and purlins come in pieces of about this


def check_size(
    roofs: Sequence[Roof],
    walls: Sequence[Elevation],
    job: Job,
    settings: Settings,
    catalogue: Catalogue,
) -> None:
    """Raises JobError with every figure that is beyond its bound."""
    planes = [plane for roof in roofs for plane in roof.planes]
    covers = _covers(job, catalogue)
    sheeted = [plane for plane in planes if plane.covering is Covering.SHEETS]
    longest_mm = job.site.longest_piece_mm or inf
    sheets = sum(_strips(plane, covers[plane.roof], longest_mm) for plane in sheeted)
    spacing_mm = job.purlins.spacing_mm or settings.number("purlin_spacing_mm")
    rows_m = sum(plane.area_mm2 for plane in sheeted) / spacing_mm / 1000.0
    boards_m = sum(_boards_m(wall, job, catalogue) for wall in walls)
    on_one = [_strips(plane, covers[plane.roof], longest_mm) for plane in sheeted]
    on_one += [ceil(_boards_m(wall, job, catalogue) * 1000.0 / _PIECE_MM) for wall in walls]
    drawn = max([*on_one, ceil(rows_m * 1000.0 / _PIECE_MM)], default=0)
    figures = [
        (len(planes), MOST_PLANES, "planes"),
        (sheets, MOST_SHEETS, "sheets"),
        (rows_m, MOST_ROWS_M, "metres of purlins"),
        (boards_m, MOST_BOARDS_M, "metres of boards"),
        (drawn, MOST_DRAWN, "pieces on one drawing"),
    ]
    faults = [
        f"the order would hold some {figure:,.0f} {what}, more than the {most:,.0f} of one job; is a size or a cover "
        "mistyped? else split the job into several"
        for figure, most, what in figures
        if figure > most
    ]
    if faults:
        raise JobError(*faults)


def _covers(job: Job, catalogue: Catalogue) -> Mapping[str, float]:
    """Cover of a sheet [mm] by name of the roof."""
    return {roof.name: catalogue.profiles[roof.covering.profile].cover_mm for roof in job.roofs}


def _strips(plane: RoofPlane, cover_mm: float, longest_mm: float) -> int:
    ring = plane.rings_uv[0]
    width, height = (max(point[k] for point in ring) - min(point[k] for point in ring) for k in (0, 1))
    return ceil(width / cover_mm) * max(1, ceil(height / max(longest_mm, 1.0)))


def _boards_m(wall: Elevation, job: Job, catalogue: Catalogue) -> float:
    """Metres of boards of a wall if it carried the narrowest board of the job."""
    if job.walls is None:
        return 0.0
    boards = [zone.board for zone in job.walls.zones if zone.board is not None]
    known = [catalogue.boards[board].cover_mm for board in boards if isinstance(board, str)]
    covers = [*known, *(board.cover_mm for board in boards if not isinstance(board, str))]
    narrowest = max(LEAST_COVER_MM, min((cover for cover in covers if cover), default=100.0))
    return wall.width_mm * (wall.height_mm - wall.base_mm) / narrowest / 1000.0
