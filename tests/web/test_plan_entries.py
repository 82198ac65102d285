"""What can be typed of an edge, a roof and the house: the edits of a text, and what holds where nothing is typed."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
import yaml

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import edited_value
from takeoff.pipeline import Stage, run_text
from takeoff.web import plan_entries, rise_forms
from takeoff.web.plan_facts import known_profiles, wind_zones
from takeoff.write.job_text.edits import edited_text

JOB = """\
job: Store   # of wool
site: {wind_zone: high}
roofs:
  - name: main
    wall_line: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    eave_overhang_mm: 600
    fascia_height_mm: 2700
    pitch_deg: 25   # as the old one
    edges:
      2: {kind: gable, verge_overhang_mm: 450}
      3: {pitch_deg: 30, start_side: left}
  - name: lean-to
    below: main
    outline: [[0, -3000], [12000, -3000], [12000, 0], [0, 0]]
    fascia_height_mm: 2000
    pitch_deg: 8
    edges: {2: {kind: gable}, 3: {kind: wall}, 4: {kind: gable}}
walls:
  height_mm: 2400
  roof: main
  storeys: [{roof: main, floor_mm: 0, height_mm: 2400}]
"""


def tree() -> Any:
    return yaml.safe_load(JOB)


def typed(entries: tuple[plan_entries.Entry, ...], label: str, text: str, of: Any = None) -> Any:
    of = of or tree()
    entry = next(one for one in entries if one.label == label)
    return edited_value(copy.deepcopy(of), plan_entries.entered(of, entry, text))


def test_an_edge_says_what_it_is_and_what_holds_otherwise() -> None:
    labels = {one.label: (one.text, one.otherwise) for one in plan_entries.edge_entries(tree(), 0, 1)}
    assert labels["Kind"] == ("", "eave")
    assert labels["Pitch"] == ("", "25, as the roof")
    assert labels["Overhang"] == ("", "600, as the roof")
    assert labels["Fascia height"] == ("", "2700, as the roof")
    gable = {one.label: (one.text, one.otherwise) for one in plan_entries.edge_entries(tree(), 0, 2)}
    assert gable["Overhang"] == ("450", "0")
    assert "Pitch" not in gable
    wall = [one.label for one in plan_entries.edge_entries(tree(), 1, 3)]
    assert wall == ["Kind", "Fascia height"]


def test_what_is_typed_goes_into_the_job_and_an_emptied_field_out_of_it() -> None:
    edges = plan_entries.edge_entries(tree(), 0, 3)
    assert typed(edges, "Pitch", "32,5")["roofs"][0]["edges"][3]["pitch_deg"] == 32.5
    assert typed(edges, "Pitch", "")["roofs"][0]["edges"][3] == {"start_side": "left"}
    assert typed(edges, "Fascia height", "3 m")["roofs"][0]["edges"][3]["fascia_height_mm"] == 3000
    first = plan_entries.edge_entries(tree(), 0, 1)
    assert typed(first, "Pitch", "40")["roofs"][0]["edges"][1] == {"pitch_deg": 40}
    assert typed(first, "Pitch", "") == tree()


def test_the_last_word_of_an_edge_takes_the_edge_out_of_the_list() -> None:
    of = tree()
    of["roofs"][0]["edges"] = {3: {"pitch_deg": 30}}
    assert "edges" not in typed(plan_entries.edge_entries(of, 0, 3), "Pitch", "", of)["roofs"][0]
    assert "site" not in typed(plan_entries.house_entries(of, (), ""), "Wind zone", "", of)


def test_an_edge_that_becomes_a_gable_says_no_pitch_any_more() -> None:
    now = typed(plan_entries.edge_entries(tree(), 0, 3), "Kind", "gable")
    assert now["roofs"][0]["edges"][3] == {"kind": "gable"}


def test_a_roof_is_renamed_wherever_it_is_named() -> None:
    entries = plan_entries.roof_entries(tree(), 0, ("corrugated",))
    now = typed(entries, "Name", "wool store")
    assert now["roofs"][0]["name"] == now["roofs"][1]["below"] == now["walls"]["roof"] == "wool store"
    assert now["walls"]["storeys"][0]["roof"] == "wool store"
    with pytest.raises(UsageError, match="another"):
        typed(entries, "Name", "lean-to")
    with pytest.raises(UsageError, match="name"):
        typed(entries, "Name", " ")


def test_roof_and_house() -> None:
    entries = plan_entries.roof_entries(tree(), 1, ("corrugated", "tray"))
    assert typed(entries, "Sheet profile", "tray")["roofs"][1]["covering"] == {"profile": "tray"}
    assert typed(entries, "Metal thickness", "0,55")["roofs"][1]["covering"] == {"bmt_mm": 0.55}
    assert typed(entries, "Cut at the wall of", "")["roofs"][1].get("below") is None
    assert "Overhang at eaves" not in [one.label for one in entries]
    with pytest.raises(UsageError, match="choose one"):
        typed(entries, "Sheet profile", "slate")
    with pytest.raises(UsageError, match="figure"):
        typed(entries, "Metal thickness", "thin")
    house = plan_entries.house_entries(tree(), *wind_zones(tree()))
    assert typed(house, "Plan up points to", "350")["north_deg"] == 350
    assert typed(house, "Wind zone", "low")["site"]["wind_zone"] == "low"
    assert typed(house, "Rain for gutters", "110")["site"]["rain_mm_per_h"] == 110


def test_a_model_has_its_pitches_itself() -> None:
    of = {"roofs": [{"mesh": {"file": "a.obj"}}, {"shape": {"file": "a.dxf"}}]}
    model, drawing = ([one.label for one in plan_entries.roof_entries(of, n, ())] for n in (0, 1))
    assert "Pitch" not in model
    assert "Pitch" in drawing


def test_only_the_line_that_changed_changes() -> None:
    entry = next(one for one in plan_entries.roof_entries(tree(), 0, ()) if one.label == "Pitch")
    text = edited_text(JOB, plan_entries.entered(tree(), entry, "30"))
    assert [(a, b) for a, b in zip(JOB.splitlines(), text.splitlines(), strict=True) if a != b] == [
        ("    pitch_deg: 25   # as the old one", "    pitch_deg: 30   # as the old one")
    ]


def test_zones_and_profiles_that_can_be_named() -> None:
    zones, taken = wind_zones({})
    assert taken in zones
    assert "corrugated" in known_profiles({"profiles": {"own": {}}}, None)
    assert "own" in known_profiles({"profiles": {"own": {}}}, None)


@pytest.mark.parametrize("form", rise_forms.RISE_FORMS, ids=lambda form: form.name)
def test_each_way_to_rise_is_taken_and_given_back(form: rise_forms.RiseForm, tmp_path: Path) -> None:
    """On the gable end of a house, from one slope: the job is understood and its roof closes."""
    of = yaml.safe_load(JOB)
    del of["roofs"][1], of["walls"], of["roofs"][0]["edges"]
    of["roofs"][0]["pitch_deg"] = 35
    at = ("roofs", 0, "edges", 4)
    now: Any = edited_value(of, rise_forms.rise_given(of, at, form))
    assert rise_forms.rise_of(now, at) == form.key
    if form.key not in ("mansard", "gambrel"):  # those are given to every eave
        taken = run_text(yaml.safe_dump(now), tmp_path / "job.yaml", Stage.SHAPE)
        assert taken.roofs[0].closed
        assert not taken.stopped
    back = edited_value(now, rise_forms.rise_given(now, at, rise_forms.RISE_FORMS[0]))
    assert rise_forms.rise_of(back, at) == ""


@pytest.mark.parametrize("key", ["mansard", "gambrel", "sprocket"])
def test_a_whole_roof_rises_so(key: str, tmp_path: Path) -> None:
    of = yaml.safe_load(JOB)
    del of["roofs"][1], of["walls"], of["roofs"][0]["edges"]
    form = next(one for one in rise_forms.forms_of(("roofs", 0)) if one.key == key)
    now: Any = edited_value(of, rise_forms.rise_given(of, ("roofs", 0), form))
    if key == "gambrel":
        now["roofs"][0]["edges"] = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    taken = run_text(yaml.safe_dump(now), tmp_path / "job.yaml", Stage.SHAPE)
    assert taken.roofs[0].closed
    assert {one.label for one in rise_forms.rise_entries(now, ("roofs", 0))} >= {"Up to, over the fascia"}
    back: Any = edited_value(now, rise_forms.rise_given(now, ("roofs", 0), rise_forms.RISE_FORMS[0]))
    assert key not in back["roofs"][0]
    assert back["roofs"][0]["pitch_deg"] >= 1
