"""Layers of our drawings: plain names, one line weight each, told apart in grey by weight and dash.

Line weights [mm] are those of ISO 128 (from memory): 0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0.
"""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.records import record


@record
class Layer:
    """One layer. `weight_mm` on paper; `dash_mm`: pen down, pen up ... on paper, empty for a full line; `colour` is
    "#rrggbb", `index` its number among the 255 colours of DXF: 7 is black on white and white on dark, the others are
    middling, so that they are read on either; `says` is its description."""

    name: str
    weight_mm: float
    colour: str
    index: int
    dash_mm: tuple[float, ...] = ()
    says: str = ""


_BLACK = ("#111111", 7)
_GREY = ("#666666", 8)
_LIGHT = ("#bbbbbb", 8)
_BLUE = ("#1f4e8c", 150)
_RED = ("#a32020", 1)
_GREEN = ("#2f6b2f", 92)

_DASH = (4.0, 2.0)
_SHORT = (2.0, 1.5)
_CHAIN = (8.0, 2.0, 1.0, 2.0)

_ALL = (
    Layer("ROOF-EAVE", 0.7, *_BLACK, (), "level low edges, they carry the spouting"),
    Layer("ROOF-VERGE", 0.7, *_BLACK, _CHAIN, "sloping free edges, they carry the barge"),
    Layer("ROOF-RIDGE", 0.5, *_BLACK, (), "ridges"),
    Layer("ROOF-HIP", 0.5, *_BLACK, (), "hips"),
    Layer("ROOF-VALLEY", 0.5, *_BLACK, _DASH, "valleys"),
    Layer("ROOF-HEAD", 0.5, *_BLACK, _SHORT, "level high free edges"),
    Layer("ROOF-APRON", 0.5, *_BLACK, _SHORT, "edges against a wall"),
    Layer("ROOF-CHANGE", 0.35, *_BLACK, _CHAIN, "changes of pitch"),
    Layer("ROOF-GUTTER", 0.5, *_BLUE, _DASH, "internal gutters"),
    Layer("ROOF-PLANE", 0.13, *_LIGHT, (), "planes, light fill"),
    Layer("ROOF-VIEW", 0.25, *_BLACK, (), "the roof as it stands, seen from a corner"),
    Layer("ROOF-OPENING", 0.5, *_BLACK, (), "holes through the roof"),
    Layer("WALL-LINE", 0.25, *_GREY, _SHORT, "outside of framing"),
    Layer("ROOF-HIDDEN", 0.18, *_GREY, _SHORT, "what lies under a higher roof"),
    Layer("GUTTER", 0.5, *_BLUE, (), "spouting"),
    Layer("DOWNPIPE", 0.5, *_BLUE, (), "downpipes"),
    Layer("RAIN-HIGH", 0.35, *_RED, (), "high points of spouting, where the water parts"),
    Layer("RAIN-VALLEY", 0.35, *_BLACK, (), "feet of valleys, where they empty into spouting"),
    Layer("EDGE-NUMBER", 0.25, *_BLACK, (), "edges as numbered in the job"),
    Layer("FALL-ARROW", 0.35, *_BLACK, (), "which way water runs"),
    Layer("PURLIN", 0.18, *_GREEN, _DASH, "purlins, trimmers and valley boards"),
    Layer("PURLIN-ROW", 0.35, *_BLACK, (), "rows of purlins on the purlin plan"),
    Layer("PURLIN-TRIMMER", 0.25, *_BLACK, _SHORT, "trimmers at hips and holes, cut between rows"),
    Layer("VALLEY-BOARD", 0.25, *_BLUE, _DASH, "boards under valley trays"),
    Layer("OUTRIGGER", 0.5, *_BLACK, (), "timbers that carry the barge rafter past a gable wall"),
    Layer("PURLIN-JOINT", 0.35, *_RED, (), "joints of purlins and boards, on rafters"),
    Layer("SHEET-OUTLINE", 0.25, *_BLACK, (), "sheets over their overall width, as cut"),
    Layer("SHEET-MARK", 0.25, *_BLACK, (), "marks of sheets"),
    Layer("SHEET-LENGTH", 0.25, *_BLACK, (), "bought lengths of sheets"),
    Layer("SHEET-SIDE", 0.18, *_GREY, (), "lengths of sheet sides"),
    Layer("SHEET-CLEAR", 0.18, *_BLUE, (), "clear sheets, light fill"),
    Layer("LAY-ARROW", 0.7, *_BLACK, (), "laying direction"),
    Layer("START-LINE", 0.7, *_RED, _CHAIN, "line the first sheet starts on"),
    Layer("WALL-OUTLINE", 0.5, *_BLACK, (), "cladding outline of a wall"),
    Layer("WALL-BOARD", 0.18, *_GREY, (), "boards"),
    Layer("WALL-BOARD-JOINT", 0.5, *_BLACK, (), "joints of boards"),
    Layer("WALL-FLASHING", 0.5, *_BLUE, _CHAIN, "flashings of level breaks and of lines between zones"),
    Layer("WALL-DETAIL", 0.25, *_RED, (), "marks of details, boxed beside the lines that they are for"),
    Layer("WALL-BATTEN", 0.13, *_GREEN, _DASH, "cavity battens"),
    Layer("WALL-OPENING", 0.5, *_BLACK, (), "windows and doors"),
    Layer("WALL-MARK", 0.18, *_BLACK, (), "storey rod: course lines"),
    Layer("GROUND", 0.5, *_BLACK, _DASH, "ground and finished floor"),
    Layer("FOLD-SECTION", 0.5, *_BLACK, (), "sections of flashings"),
    Layer("DIM", 0.18, *_BLACK, (), "dimensions"),
    Layer("TEXT", 0.25, *_BLACK, (), "words"),
    Layer("TITLE", 0.35, *_BLACK, (), "frame and title block"),
    Layer("HOLD", 0.7, *_RED, (), "hold, and faults"),
)

LAYERS: Mapping[str, Layer] = {layer.name: layer for layer in _ALL}
