"""Long runs and how they are cut from stock: purlins, boards, battens, flashings, gutters, fascia."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding


class Objective(StrEnum):
    """What the optimiser makes least."""

    LEAST_LENGTH = "least_length"
    FEWEST_LENGTHS = "fewest_lengths"


AS_DRAWN = Working("as long as it is drawn")


@record
class RunDemand:
    """A run wanted on the house, measured along itself.

    `length_mm` is what must be covered, dressings included, laps not. A joint may fall only at a position in
    `splits_mm` (mm from the run's start), or anywhere when `splits_mm` is None; an empty tuple forbids joints. At a
    joint the later piece overlaps the earlier by `lap_mm`. No piece is shorter than `least_mm`. Rows next to each
    other (up to `rows_apart` from each other in `row`, of one `item` and `group`) keep their joints at least
    `stagger_mm` apart where they can; joints stand on what `joint_on` says.
    `spare_joints`: how many joints beyond the fewest it may take where that alone keeps them apart; `tell`: joints that
    do not are told as a finding. `note`: short words for the order line it is bought on. `working`: why it is as long
    as it is.
    """

    id: str
    item: str
    length_mm: float
    splits_mm: tuple[float, ...] | None = ()
    lap_mm: float = 0.0
    least_mm: float = 0.0
    row: int = 0
    stagger_mm: float = 0.0
    group: str = ""
    refs: tuple[str, ...] = ()
    offset_mm: float = 0.0  # where the run starts along its rows, so that joints of rows with other starts compare
    note: str = ""
    working: Working = AS_DRAWN
    spare_joints: int = 0
    tell: bool = False
    rows_apart: int = 1
    joint_on: str = "rafter"


@record
class AlongBought:
    """What goes along every bought length of an item, waste and laps too: its own item, and how many metres a metre (2:
    both edges)."""

    item: str
    times: int


@record
class AtCutEnds:
    """What goes on every cut end of an item's pieces: its own item, how much of it an end takes [mL], and why."""

    item: str
    ml: float
    term: Term


@record
class AtJoints:
    """What holds every running joint of an item's pieces besides what is counted along them: its own item, how many a
    joint, spares in, and why."""

    item: str
    each: float
    terms: tuple[Term, ...]


@record
class OnHand:
    """Lengths that lie on the site already: so long, so many, and what is written on them."""

    length_mm: int
    count: int
    mark: str = ""


@record
class StockChoice:
    """What can be bought for one item: lengths [mm], optional supply per length (None = unlimited), kerf [mm].

    `most_lengths`: how many different lengths may be bought, 0 for any number. `trim_mm` is lost on every bought length
    before a piece is cut from it: both ends docked square. `on_hand` is cut first where less is bought for it.
    `pack`: how many of one length are sold together, 1 for single ones, and more not beside `most_lengths` or
    `supply`; bought lengths beyond the cut ones hold no piece.
    """

    item: str
    lengths_mm: tuple[int, ...]
    supply: tuple[int | None, ...] = ()  # empty: all unlimited; else one entry a length
    kerf_mm: float = 0.0
    objective: Objective = Objective.LEAST_LENGTH
    along: tuple[AlongBought, ...] = ()
    most_lengths: int = 0
    trim_mm: float = 0.0
    on_hand: tuple[OnHand, ...] = ()
    pack: int = 1
    at_ends: tuple[AtCutEnds, ...] = ()
    at_joints: tuple[AtJoints, ...] = ()


@record
class CutPiece:
    """One piece of a run: `start_mm` along the run to `start_mm` + `length_mm`; joints overlap by the run's lap."""

    id: str
    run: str
    start_mm: float
    length_mm: int
    refs: tuple[str, ...] = ()


@record
class StockBar:
    """One length and the pieces cut from it, in cutting order: bought, or from the site by its `mark`."""

    item: str
    number: int
    stock_mm: int
    pieces: tuple[CutPiece, ...]
    mark: str = ""

    @property
    def used_mm(self) -> int:
        """Sum of the pieces, kerfs and docked ends not counted [mm]."""
        return sum(piece.length_mm for piece in self.pieces)


@record
class Joint:
    """Where two pieces of a run meet, `at_mm` along the run (the middle of its lap). `clear` is False where a joint of
    a row beside it is nearer than the run's stagger because no allowed joint is further off."""

    run: str
    row: int
    at_mm: float
    lap_mm: float
    clear: bool = True


@record
class LeftOver:
    """Lengths of an item that are left after the job: of what was bought, or by `mark` of what lay on the site."""

    item: str
    length_mm: int
    count: int
    from_site: bool = False
    mark: str = ""


@record
class CutPlan:
    """All bars of one item. `bound_mm` is the proven least bought length for these pieces; laps are shown apart.

    `bars` are bought, `site_bars` lie on the site already.
    placed = sum of pieces - laps; waste = bought + what is cut out of site lengths - placed - laps.
    """

    item: str
    bars: tuple[StockBar, ...]
    bound_mm: int
    bought_mm: int
    placed_mm: float
    laps_mm: float
    proof: str = ""  # how the bound was proven, in words
    joints: tuple[Joint, ...] = ()
    findings: tuple[Finding, ...] = ()
    site_bars: tuple[StockBar, ...] = ()

    @property
    def all_bars(self) -> tuple[StockBar, ...]:
        """Bought lengths and those from the site: every piece stands in one of them."""
        return (*self.bars, *self.site_bars)

    @property
    def site_mm(self) -> int:
        """Pieces cut from lengths that lie on the site, together [mm]."""
        return sum(bar.used_mm for bar in self.site_bars)

    @property
    def waste_mm(self) -> float:
        """Bought and cut from site lengths, less placed, less laps [mm]: offcuts, kerfs and docked ends."""
        return self.bought_mm + self.site_mm - self.placed_mm - self.laps_mm
