"""What is bought: lines, blanks, bars, and the whole takeoff of a job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.basis import SET_IN_JOB, Basis, Quantity, Working
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.houses import Houses
from takeoff.model.issues import Standing
from takeoff.model.items import Item
from takeoff.model.job.job import Job
from takeoff.model.loads import LoadPlan
from takeoff.model.measured import CladdingMeasured, RainwaterMeasured, RoofingMeasured
from takeoff.model.office import Letterhead, Office
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.runs import CutPlan, LeftOver
from takeoff.model.settings import Settings
from takeoff.model.sheets import PairPlan, PlaneSheets, SheetBlank
from takeoff.model.supplied import SiteFit
from takeoff.model.walls import Elevation

HOLD = "HOLD: SITE MEASURE BEFORE MANUFACTURE"


class Document(StrEnum):
    """What leaves for different hands, each with its own state; ALL is a page that shows several of them."""

    SHEETS = "sheets"
    PURLINS = "purlins"
    FLASHINGS = "flashings"
    ALL = "all"


class Hold(StrEnum):
    """State of a document of a roofing order."""

    HOLD = "hold"
    MEASURED = "measured"
    RELEASED = "released"


@record
class OrderLine:
    """One line of the order sheet: `count` units of `unit` (each, m, m2, roll, box ...) `of` an item, `each_mm` where
    it has a length.

    `total` is count x length in `total_unit`, rounded half up per line. `kg` is 0 where mass is not known.
    `note` is short words for the site; `refs` name what it is for. `labour`: work on the list, nothing is bought.
    """

    id: str
    delivery: str
    of: Item
    count: float
    unit: str
    each_mm: float
    total: float
    total_unit: str
    kg: float
    refs: tuple[str, ...]
    working: Working
    note: str = ""
    labour: bool = False

    @property
    def item(self) -> str:
        """Id of the item."""
        return self.of.id


@record
class PackedSheet:
    """One bought length in a pack, its mark written on its end; `kg` to 0.1, its share of its order line.

    `also`: marks of the other sheets cut from it. `clear`: a rooflight sheet.
    """

    mark: str
    length_mm: float
    kg: float
    also: tuple[str, ...] = ()
    clear: bool = False


@record
class Pack:
    """A bundle of sheets for one plane, lifted at once: `number` of `of` on its plane.

    `sheets` from the top of the pack down, in laying order: the first laid lies on top, a clear sheet in its turn.
    All lie colour side up. `kg` is the sum of the sheets as shown. It is craned to the roof edge `edge` (outline
    edges `outline_edges`, 1-based), on the side of the house that `bearing_deg` names, clockwise from north.
    `also`: other items in it, clear sheets among metal ones.
    """

    id: str
    plane: str
    number: int
    of: int
    profile: str
    item: Item | None
    sheets: tuple[PackedSheet, ...]
    kg: float
    limit_kg: float
    longest_mm: float
    edge: str
    outline_edges: tuple[int, ...]
    bearing_deg: float
    also: tuple[Item, ...] = ()

    @property
    def over_limit(self) -> bool:
        """True where one sheet alone is over the lifting limit."""
        return self.kg > self.limit_kg


@record
class Delivery:
    """One delivery of the order. `pieces` counts what has a length, `longest_mm` is the longest of them (0: none has).

    `kg` is the sum of the lines' masses as shown; `unweighed` lines have none. `packs` of sheets are lifted.
    """

    name: str
    lines: int
    pieces: float
    longest_mm: float
    kg: float
    unweighed: int
    packs: int = 0


@record
class PricedLine:
    """A line of the order at the user's own price: `rate` a unit, `amount` = total x rate, rounded half up to 0.01.
    `basis`: whether the job or the office gave the rate, and where it has it from."""

    line: str
    rate: float
    amount: float
    basis: Basis = SET_IN_JOB


@record
class PricedDelivery:
    """Sum of a delivery's rounded amounts, and the extra asked for on it, added once; `unpriced` lines have no rate.

    `extra_m`: the extra on what the delivery brings in metres, for whoever orders it without prices. `tax_amount`: tax
    on amount and extra together, rounded half up to 0.01.
    """

    delivery: str
    amount: float
    unpriced: int
    extra_percent: float
    extra_amount: float
    extra_m: float
    tax_amount: float = 0.0


@record
class Prices:
    """The order at the user's own rates. `amount` sums the deliveries, `extra` their extras; neither holds the
    other. `tax` sums the deliveries' taxes, `with_tax` is all together; `date` is the day of the office's prices
    (ISO, "" for none)."""

    currency: str
    lines: tuple[PricedLine, ...]
    deliveries: tuple[PricedDelivery, ...]
    amount: float
    extra: float
    total: float
    tax_name: str = ""
    tax_percent: float = 0.0
    tax: float = 0.0
    with_tax: float = 0.0
    date: str = ""


@record
class Order:
    """Lines in delivery order, with the blanks and bars behind them. `state` is that of the sheets: a site measure
    moves nothing else, so every other document stays on hold.

    `sheets_...` are without the spare sheets, which are lines of their own: `spares_m` and `spares_kg`. `site_blanks`
    are cut out of sheets on the site, `sheets_site_m` together and `sheets_site_m2` as they cover; nothing else holds
    them.
    """

    lines: tuple[OrderLine, ...]
    blanks: tuple[SheetBlank, ...]
    plans: tuple[CutPlan, ...]
    sheets_bought_m: float
    sheets_bought_m2: float
    sheets_net_m2: float
    sheets_kg: float
    state: Hold = Hold.HOLD
    findings: tuple[Finding, ...] = ()
    pairs: tuple[PairPlan, ...] = ()
    packs: tuple[Pack, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    spares_m: float = 0.0
    spares_kg: float = 0.0
    prices: Prices | None = None
    used: tuple[str, ...] = ()  # settings asked for
    left_over: tuple[LeftOver, ...] = ()  # what is left after the job, by item
    site_blanks: tuple[SheetBlank, ...] = ()
    sheets_site_m: float = 0.0
    sheets_site_m2: float = 0.0
    houses: Houses | None = None  # where the order is for several
    loads: LoadPlan | None = None  # of one house, where the job or the office names a truck
    letterheads: tuple[Letterhead, ...] = ()  # one a delivery that brings anything, in site order
    wall_blanks: tuple[SheetBlank, ...] = ()  # lengths that wall sheets are bought in; in no figure of the roof's
    wall_pairs: tuple[PairPlan, ...] = ()

    @property
    def sheets_offcuts_m2(self) -> float:
        """What is bought and cut out of sheets on the site, as it covers, less the sheeted area [m2]."""
        return half_up(self.sheets_bought_m2 + self.sheets_site_m2 - self.sheets_net_m2, 2)

    def state_of(self, document: Document) -> Hold:
        """The state of one document; a page that shows several is as free as the least free of them."""
        return self.state if document is Document.SHEETS else Hold.HOLD


@record
class Used:
    """The settings that one stage asked for, by name, in the order of the catalogue."""

    stage: str
    settings: tuple[str, ...]


@record
class Takeoff:
    """The whole result of a job. `order` is None when a stop finding withholds it."""

    job: Job
    job_hash: str
    settings: Settings
    catalogue: Catalogue
    roofs: tuple[Roof, ...]
    elevations: tuple[Elevation, ...]
    roofing: RoofingMeasured
    rainwater: RainwaterMeasured
    cladding: CladdingMeasured
    measures: tuple[Quantity, ...]  # areas, lengths by kind, catchment: what was measured, not what is bought
    order: Order | None
    findings: tuple[Finding, ...]
    site: SiteFit | None = None  # the frame as measured, where it was
    supersedes: str = ""  # the revision that this one takes the place of
    used_before: tuple[Used, ...] = ()  # by the stages before measuring, which have no record of their own
    items: Mapping[str, Item] = field(default_factory=dict)  # all that is asked for, by id
    office: Office | None = None  # the office file that this was made with
    issued: Standing | None = None  # against the book of issues, where there is one

    @property
    def used(self) -> tuple[Used, ...]:
        """The settings that were asked for, a row a stage: what the page of bases is made from."""
        stages: dict[str, dict[str, None]] = {}
        for used in (
            *self.used_before,
            Used("roofing", self.roofing.used),
            Used("rainwater", self.rainwater.used),
            Used("cladding", self.cladding.used),
            Used("order", self.order.used if self.order is not None else ()),
        ):
            stages.setdefault(used.stage, {}).update(dict.fromkeys(used.settings))
        names = tuple(self.settings.values)
        return tuple(Used(stage, tuple(sorted(asked, key=names.index))) for stage, asked in stages.items())

    @property
    def stopped(self) -> bool:
        """True when a stop finding withholds the order."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that withhold the order."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.STOP)

    def sheets_of(self, plane_id: str) -> PlaneSheets | None:
        """The sheets of a plane, None for a plane that carries none."""
        return next((sheets for sheets in self.roofing.sheets if sheets.plane == plane_id), None)

    def gutter_plan(self, run_id: str) -> DownpipePlan | None:
        """The downpipes of a gutter run."""
        return next((plan for plan in self.rainwater.downpipes if plan.run == run_id), None)

    @property
    def gutters(self) -> tuple[GutterRun, ...]:
        """All gutter runs."""
        return self.rainwater.gutters
