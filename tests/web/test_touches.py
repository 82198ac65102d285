"""What a touched mark means: its parts, its order lines, its words. Marks and sums of the homestead are those of its
papers; what belongs to what is worked out here another way, from the takeoff's own records."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.web.touches import card_of, lines_at, lit_marks, own_marks, places_of, told_marks
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.page_data import page_data
from takeoff.write.words.trade_words import trade_words

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(SAMPLES / "homestead")


@pytest.fixture(scope="module")
def data(homestead: Takeoff) -> dict[str, Any]:
    return page_data(homestead, house_parts(homestead), trade_words(homestead))


def test_an_edge_as_drawn_is_the_edges_of_the_roof_on_it(homestead: Takeoff) -> None:
    """Edge 5 of the outline is the gable, which has two verges; edge 1 is the south eave."""
    verges = {edge.id for roof in homestead.roofs for edge in roof.own_edges if edge.kind == "verge"}
    assert set(own_marks(homestead, "roof 1 edge 5")) == verges
    assert len(verges) == 2
    (eave,) = own_marks(homestead, "roof 1 edge 1")
    assert next(edge.kind for edge in homestead.roofs[0].own_edges if edge.id == eave) == "eave"


def test_a_roof_and_its_corners_are_its_planes(homestead: Takeoff) -> None:
    planes = tuple(plane.id for plane in homestead.roofs[0].planes)
    assert own_marks(homestead, "roof 1") == own_marks(homestead, "roof 1 corner 3") == planes


@pytest.mark.parametrize("mark", ["roof 2", "roof 2 edge 1", "roof 0 edge 1", "roof 1 edge 99"])
def test_an_edge_that_there_is_not_is_nothing(homestead: Takeoff, mark: str) -> None:
    assert own_marks(homestead, mark) == ()


def test_other_marks_stand_for_themselves(homestead: Takeoff) -> None:
    assert own_marks(homestead, "P1.04") == ("P1.04",)
    assert own_marks(homestead, "") == ()
    assert own_marks(None, "roof 1 edge 1") == ("roof 1 edge 1",)
    assert own_marks(homestead, "line 12") == () == told_marks(homestead, "line 12")
    assert told_marks(homestead, "roof 1 edge 99") == ("roof 1 edge 99",)


def test_a_touched_sheet_lights_the_lines_that_name_it(homestead: Takeoff, data: dict[str, Any]) -> None:
    assert homestead.order is not None
    named = {line.id for line in homestead.order.lines if "P1.12" in line.refs}
    lit = lit_marks(data, ("P1.12",))
    assert lit[0] == "P1.12"
    assert named
    assert named <= set(lit)


def test_a_touched_line_lights_every_part_it_goes_to(homestead: Takeoff, data: dict[str, Any]) -> None:
    assert homestead.order is not None
    line = next(line for line in homestead.order.lines if "P1.12" in line.refs and line.each_mm > 0)
    assert set(lit_marks(data, (line.id,))) == {line.id, *line.refs}


def test_a_card_says_what_a_sheet_is_and_how_it_was_reckoned(homestead: Takeoff, data: dict[str, Any]) -> None:
    piece = next(p for sheets in homestead.roofing.sheets for p in sheets.pieces if p.mark == "P1.12")
    card = card_of(data, ("P1.12",))
    assert card is not None
    assert card.title == "P1.12, roof sheet"
    assert card.part_of == "P1"
    assert f"sheet on P1: {piece.order_mm:.0f} mm" in card.facts
    assert card.rule == piece.working.rule
    assert len(card.terms) == len(piece.working.terms)
    assert any(term.basis != "measured on the shape" for term in card.terms)
    assert {mark for mark, _ in card.lines} == {line["i"] for line in lines_at(data, places_of(data, ("P1.12",)))}


def test_a_card_of_a_line_says_where_it_goes(data: dict[str, Any]) -> None:
    card = card_of(data, ("L1",))
    assert card is not None
    assert card.title.startswith("L1, ")
    assert "delivered with purlins" in card.facts
    assert card.marks
    assert not card.lines


def test_a_gutter_of_many_legs_is_told_as_its_parts(data: dict[str, Any]) -> None:
    card = card_of(data, ("SP1",))
    assert card is not None
    assert "parts" in card.title
    assert "SP1.1" in card.marks
    assert card.lines


def test_a_mark_that_is_gone_is_said_to_be(data: dict[str, Any]) -> None:
    card = card_of(data, ("P99",))
    assert card is not None
    assert card.title == "P99"
    assert "no part of its own" in card.facts[0]
    assert card_of(data, ()) is None


def test_before_anything_is_known_a_mark_is_shown_bare() -> None:
    card = card_of(None, ("P1",))
    assert card is not None
    assert card.title == "P1"
    assert not card.facts
    assert lit_marks(None, ("P1",)) == ("P1",)
