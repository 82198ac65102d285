"""Layers of drawings: line weights of ISO 128 (from memory), dashes and colours, layer by layer. Regression figures of our own
choosing, but for the series of weights."""

from __future__ import annotations

from takeoff.write.drawings import layers
from takeoff.write.drawings.layers import LAYERS

WEIGHTS = {
    0.7: "ROOF-EAVE ROOF-VERGE LAY-ARROW START-LINE HOLD",
    0.5: "ROOF-RIDGE ROOF-HIP ROOF-VALLEY ROOF-HEAD ROOF-APRON ROOF-GUTTER ROOF-OPENING GUTTER DOWNPIPE OUTRIGGER WALL-OUTLINE "
    "WALL-BOARD-JOINT WALL-FLASHING WALL-OPENING GROUND FOLD-SECTION",
    0.35: "ROOF-CHANGE RAIN-HIGH RAIN-VALLEY FALL-ARROW PURLIN-ROW PURLIN-JOINT TITLE",
    0.25: "ROOF-VIEW WALL-LINE EDGE-NUMBER PURLIN-TRIMMER VALLEY-BOARD SHEET-OUTLINE SHEET-MARK SHEET-LENGTH WALL-DETAIL TEXT",
    0.18: "ROOF-HIDDEN PURLIN SHEET-SIDE SHEET-CLEAR WALL-BOARD WALL-MARK DIM",
    0.13: "ROOF-PLANE WALL-BATTEN",
}
DASHES = {
    (4.0, 2.0): "ROOF-VALLEY ROOF-GUTTER PURLIN VALLEY-BOARD WALL-BATTEN GROUND",
    (2.0, 1.5): "ROOF-HEAD ROOF-APRON WALL-LINE ROOF-HIDDEN PURLIN-TRIMMER",
    (8.0, 2.0, 1.0, 2.0): "ROOF-VERGE ROOF-CHANGE START-LINE WALL-FLASHING",
}
COLOURS = {
    ("#666666", 8): "WALL-LINE ROOF-HIDDEN SHEET-SIDE WALL-BOARD",
    ("#bbbbbb", 8): "ROOF-PLANE",
    ("#1f4e8c", 150): "ROOF-GUTTER GUTTER DOWNPIPE VALLEY-BOARD SHEET-CLEAR WALL-FLASHING",
    ("#a32020", 1): "RAIN-HIGH PURLIN-JOINT START-LINE WALL-DETAIL HOLD",
    ("#2f6b2f", 92): "PURLIN WALL-BATTEN",
}


def test_line_weights_are_of_the_series_layer_by_layer() -> None:
    assert {name: layer.weight_mm for name, layer in LAYERS.items()} == {
        name: weight for weight, names in WEIGHTS.items() for name in names.split()
    }


def test_dashes_and_colours_layer_by_layer() -> None:
    dashes = {name: dash for dash, names in DASHES.items() for name in names.split()}
    colours = {name: colour for colour, names in COLOURS.items() for name in names.split()}
    for name, layer in LAYERS.items():
        assert (layer.name, layer.dash_mm) == (name, dashes.get(name, ()))
        assert (layer.colour, layer.index) == colours.get(name, ("#111111", 7))
        assert layer.says
        assert layer.says[0].islower()
    assert set(dashes) | set(colours) <= set(LAYERS)
    assert layers.Layer("A", 0.5, "#000000", 7) == layers.Layer("A", 0.5, "#000000", 7, (), "")
