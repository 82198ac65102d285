"""The quantities of a house as a flat row of figures, without the paper behind them.

Lengths in m, areas in m2, counts each; nothing is rounded. Sheets are as laid, each by itself: what pairs and spares
make of them is known when the order is cut. Boards and purlins are as placed, before they are cut from stock.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Ring2
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding


@record
class Figure:
    """One figure: `name`, `value` in `unit` (m2, m, each, degrees)."""

    name: str
    value: float
    unit: str


def edge_name(kind: EdgeKind) -> str:
    """The name of the figure for all edges of a kind.

    >>> edge_name(EdgeKind.HIP), edge_name(EdgeKind.EAVE)
    ('hip_m', 'eave_m')
    """
    return f"{kind.value.replace(' ', '_').replace('-', '_')}_m"


# figures of the whole house, the same ones in the same order for every house: name, what it is in, what it is
_HOUSE: tuple[tuple[str, str, str], ...] = (
    ("roof_m2", "m2", "roof planes on the slope"),
    ("roof_plan_m2", "m2", "roof planes in plan"),
    ("upright_m2", "m2", "upright faces of the roof: gables of dormers, steps between planes"),
    ("sheets_each", "each", "roof sheets as laid"),
    ("sheets_m", "m", "roof sheets as laid, each as long as it is bought by itself"),
    ("sheets_m2", "m2", "those lengths times what a sheet covers across"),
    ("sheeted_m2", "m2", "area under sheets, inside the trims of the edges"),
    ("purlin_rows_each", "each", "rows of purlins"),
    ("purlin_rows_m", "m", "rows of purlins as placed"),
    ("roof_timber_m", "m", "all timber under the sheets as placed: rows, trimmers, valley boards, outriggers"),
    ("gutters_each", "each", "gutter runs"),
    ("gutters_m", "m", "gutters along their legs"),
    ("catchment_m2", "m2", "roof catchment in plan that fills a tank"),
    ("wall_m2", "m2", "clad walls net of openings"),
    ("wall_gross_m2", "m2", "clad walls with their openings"),
    ("boards_each", "each", "boards or wall sheets as laid"),
    ("boards_m", "m", "boards or wall sheets as placed"),
    *((edge_name(kind), "m", f"edges, {kind.value}, true length") for kind in EdgeKind),
)
HOUSE_FIGURES: dict[str, str] = {name: says for name, _, says in _HOUSE}
UNIT_OF: dict[str, str] = {name: unit for name, unit, _ in _HOUSE}


@record
class SheetCount:
    """The sheets of a plane: how many, how long together as each is bought by itself [mm], on so much area, each
    covering so much across."""

    plane: str
    count: int
    bought_mm: float
    net_mm2: float
    cover_mm: float


@record
class BoardCount:
    """The boards, or sheets, of a zone on a wall: how many, how long together [mm], on so much without openings and
    with them."""

    wall: int
    zone: str
    count: int
    length_mm: float
    net_mm2: float
    gross_mm2: float


@record
class Quantities:
    """What a house measures. `house`: a figure for every name of HOUSE_FIGURES, in that order, 0 where it has none.

    `parts` by plane, gutter and wall: `area.P1`, `plan_area.P1` [m2], `pitch.P1` [degrees], `sheets.P1` [each],
    `sheet_length.P1` [m], `sheeted.P1` [m2], `purlin_rows.P1` [each], `purlin_rows_length.P1` [m], `gutter.SP1` [m],
    `catchment.SP1` [m2]; `length.<roof>.<kind>` [m]; `boards.<wall>.<zone>` [each], `board_length.<wall>.<zone>` [m],
    `clad.<wall>.<zone>` [m2] net of openings. `findings` are those of reading and shape; `stopped`: one of them
    withholds what is measured on the planes. `outlines_mm`: the outer ring of each roof's outline in plan.
    """

    job: str
    job_hash: str
    house: tuple[Figure, ...]
    parts: tuple[Figure, ...]
    findings: tuple[Finding, ...] = ()
    stopped: bool = False
    outlines_mm: tuple[Ring2, ...] = ()

    @property
    def row(self) -> dict[str, float]:
        """The figures of the whole house by name: a row of a table."""
        return {figure.name: figure.value for figure in self.house}
