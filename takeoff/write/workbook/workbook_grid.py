"""The order sheet's sheets and columns: one table for the template and for what is written into it.

Widths are in characters of the body font. `style` names the template's cell style of a column.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.model.order import Document

MOST_WIDE = 121.0  # 121 digits of 6.12 points on the 545 points of an upright page: letters of 11 come to 8.1
NARROW = 76  # percent at which sheets print that are narrower than the page
# styles that are made of the template's: words of a bar, and the cells of a merged box behind its first
GROUP_WORDS, BOX_INSIDE, BOX_LAST = "group words", "{} inside", "{} last"
BOXES = ("blank",)
TITLE_ROW, JOB_ROW, BANNER_ROW, HEAD_ROW, FIRST_ROW = 1, 2, 3, 5, 6


@record
class Column:
    """A column: heading, width in characters, cell style."""

    heading: str
    width: float
    style: str


@record
class Grid:
    """One sheet. `document`: whose state it prints, None for none. `says`: a line under the title. All print upright;
    `scale`: percent at which a narrow sheet prints, 0: fitted to the width of the page. Sheets are at most
    `MOST_WIDE` wide, so that no letter is printed smaller than 8 points. `paper`: the PDF that prints it
    instead; the sheet is then for the screen, and prints its head alone."""

    title: str
    columns: tuple[Column, ...]
    document: Document | None = None
    scale: int = 0
    says: str = ""
    paper: str = ""


def _columns(*parts: tuple[str, float, str]) -> tuple[Column, ...]:
    return tuple(Column(*part) for part in parts)


GRIDS: tuple[Grid, ...] = (
    Grid(
        "Order",
        _columns(
            ("line", 8.5, "text"), ("item", 32.5, "text"), ("count", 7, "count"), ("unit", 7.5, "text"),
            ("length mm", 8, "whole"), ("total", 9.5, "metres"), ("unit", 7.5, "text"), ("kg", 9, "kg"),
            ("note", 13, "text"),
            ("ordered", 9, "blank"), ("received", 9.5, "blank"),
        ),
        document=Document.ALL,
        says="By delivery, in the order the site wants them. Totals are count x length, rounded line by line.",
    ),
    Grid(
        "Mill order",
        _columns(
            ("profile", 22, "text"), ("qty", 6, "count"), ("length mm", 9, "length"), ("total m", 10, "metres"),
            ("kg", 9, "kg"), ("marks", 44, "text"),
            ("ordered", 9, "blank"), ("received", 9.5, "blank"),
        ),
        document=Document.SHEETS,
        says="Longest first. Cut square. Tolerance +/- 5 mm unless agreed otherwise.",
    ),
    Grid(
        "Prices",
        _columns(
            ("line", 6, "text"), ("item", 54, "text"), ("total", 12, "metres"), ("unit", 20, "text"),
            ("rate", 12, "money"), ("amount", 15, "money"),
        ),
        says="The user's own rates on the lines of the order. For the estimator: the order itself carries no prices.",
    ),
    Grid(
        "Issued",
        _columns(
            ("item", 50, "text"), ("length mm", 10, "length"), ("wanted", 9, "count"), ("ordered", 9, "count"),
            ("to order", 9, "count"), ("unit", 7, "text"), ("state", 20, "text"), ("issues", 12, "text"),
        ),
        says="Every line against the book of issues. Less than 0 to order is to be taken back.",
    ),
    Grid(
        "Loads",
        _columns(
            ("trip", 7, "mark"), ("delivery", 14, "text"), ("what", 46, "text"), ("pieces", 9, "count"),
            ("length mm", 10, "length"), ("kg", 11, "kg"), ("why a trip of its own", 23, "text"),
        ),
        says="What each trip brings, in site order, packs whole.",
    ),
    Grid(
        "Pack list",
        _columns(
            ("from top", 8, "text"), ("mark", 9, "mark"), ("length mm", 10, "length"), ("kg", 9, "kg"),
            ("also cut from it", 40, "text"), ("sheets", 7, "count"), ("loaded", 10, "blank"),
        ),
        document=Document.SHEETS,
        scale=NARROW,
        says="Packs by plane in laying order, as they are lifted on the roof.",
    ),
    Grid(
        "Cutting list",
        _columns(
            ("mark", 8, "mark"), ("qty", 4, "count"), ("bought mm", 7.5, "length"), ("left mm", 6.5, "whole"),
            ("right mm", 6.5, "whole"), ("long point mm", 6.5, "whole"), ("from left mm", 5.5, "whole"),
            ("foot cut", 9.5, "text"), ("top cut", 10, "text"), ("rake", 6, "degrees"), ("longer side", 7.5, "text"),
            ("cut from", 8, "text"), ("on site", 8.5, "blank"),
        ),
        document=Document.SHEETS,
        scale=NARROW,
        paper="site.pdf",
        says="By plane, in laying order, seen from outside, eave at the foot. Sides at sheet edges.",
    ),
    Grid(
        "Purlins",
        _columns(
            ("", 18, "text"), ("qty", 7, "count"), ("length mm", 9, "length"), ("cut into, mm", 35, "text"),
            ("pieces", 41, "text"), ("offcut mm", 9, "whole"),
        ),
        document=Document.PURLINS,
        says="Stock lengths with the pieces cut from each; a piece is named by its row and its place in it.",
    ),
    Grid(
        "Purlin rows",
        _columns(
            ("plane", 8, "mark"), ("row", 6, "count"), ("role", 18, "text"), ("up slope mm", 9, "length"),
            ("length mm", 9, "whole"), ("pieces, left to right, mm", 68, "text"),
        ),
        document=Document.PURLINS,
        paper="site.pdf",
        says="Where every row lies: up the slope from the outline, to the row's line.",
    ),
    Grid(
        "Flashings",
        _columns(
            ("run", 6.5, "mark"), ("edge", 8.5, "text"), ("", 20, "text"), ("net mm", 7.5, "whole"),
            ("dressing low", 8.5, "whole"), ("dressing high", 8.5, "whole"), ("run mm", 8.5, "length"),
            ("girth mm", 7, "whole"), ("folds / qty", 6.5, "count"), ("angle", 7.5, "degrees"), ("hand", 6.5, "text"),
            ("pieces mm", 24, "text"),
        ),
        document=Document.FLASHINGS,
        says="Folding schedule: run = net + dressings; angle is between the two faces of the roof.",
    ),
    Grid(
        "Rainwater",
        _columns(
            ("run / pipe", 9, "mark"), ("what", 32, "text"), ("length mm", 9, "length"), ("count", 7, "count"),
            ("catchment m2", 10, "area"), ("from corner mm", 10, "whole"), ("note", 42, "text"),
        ),
        says="Spouting by run, left to right seen from outside; a pipe stands so far from the nearest outline corner.",
    ),
    Grid(
        "Walls",
        _columns(
            ("wall", 14, "mark"), ("direction", 11, "text"), ("width mm", 9, "length"), ("courses", 8.5, "count"),
            ("cover mm", 8, "tenth"), ("gross m2", 9, "area"), ("net m2", 9, "area"), ("board, openings", 51, "text"),
        ),
        says="Walls seen from outside. Net of openings.",
    ),
    Grid(
        "Wall lengths",
        _columns(
            ("qty", 6, "count"), ("length mm", 8.5, "length"), ("cut into, mm", 36, "text"), ("offcut mm", 8, "whole"),
            ("", 1.5, "text"),
            ("qty", 6, "count"), ("length mm", 8.5, "length"), ("cut into, mm", 36, "text"), ("offcut mm", 8, "whole"),
        ),
        says="Lengths to buy for the walls and what is cut from each, down the left half and on down the right.",
    ),
    Grid(
        "Left over",
        _columns(
            ("item", 47, "text"), ("count", 7, "count"), ("length mm", 9, "length"), ("from", 24, "text"),
            ("cut into mm", 32, "text"),
        ),
        says="What is cut from lengths on the site, and what is left after the job.",
    ),
    Grid(
        "Measures",
        _columns(
            ("what", 30, "text"), ("where", 18, "text"), ("figure", 10, "metres"), ("unit", 8, "text"),
            ("how it was worked out", 53, "text"),
        ),
        paper="office.pdf",
        says="What was measured on the shape, not what is bought.",
    ),
    Grid(
        "Checks",
        _columns(
            ("", 10, "mark"), ("finding", 44, "text"), ("what to do", 30, "text"), ("where", 11, "text"),
            ("source", 25, "text"),
        ),
        says="What the program noticed. STOP withholds the order.",
    ),
    Grid(
        "Basis",
        _columns(
            ("setting", 32, "text"), ("value", 41, "text"), ("figure", 14, "text"), ("", 4, "mark"),
            ("source, clause, range", 29, "text"),
        ),
        paper="office.pdf",
        says="R read in source, S restated, M memory: verify, C common practice, D derived, J set in job, O in office.",
    ),
    Grid(
        "Not matched",
        _columns(
            ("sheet", 14, "text"), ("item", 56, "text"), ("length mm", 10, "length"), ("ordered", 18, "blank"),
            ("received", 18, "blank"),
        ),
        says="Typed beside lines of the last order sheet that this order has no more. Delete what is settled.",
    ),
    Grid("Cautions", _columns(("", 5, "text"), ("", 114, "text")), says="Read before you order or climb."),
)  # fmt: skip

GRID = {grid.title: grid for grid in GRIDS}

_STRUCTURE = (
    "Quantities are not a structural design. Fixing for wind, uplift straps, bracing and roof structure are for the "
    "designer or engineer; very high, extra high and specific-design wind zones change laps, fixings and flashings."
)
_TANKS = (
    "Tank water for drinking needs treatment and checks; no lead in gutters, downpipes or flashings that feed a tank. "
    "A tank's size and height can need consent."
)
CAUTIONS: tuple[str, ...] = (
    _STRUCTURE,
    "Measure on site before manufacture: framing is out by 10 to 20 mm, the drawing never is.",
    "Work at height needs its own plan. More than half of falls are from less than 3 m: no height is safe.",
    "Never assume a roof or a sheet is safe to stand on. Translucent sheet is not to be walked on.",
    "Holes larger than 600 x 600 mm are a hazard; whoever cuts them is responsible for them.",
    "Cut sheets by shear or nibbler only, never by friction blade; sweep swarf daily; no black-lead pencil on sheets.",
    _TANKS,
    "The local code, the maker's current instructions and licensed practice prevail over every figure here.",
)
