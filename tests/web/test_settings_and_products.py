"""Settings and own products of the page: bounds held, values as typed, and a job that stands afterwards."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit, edited_value
from takeoff.read.catalogue import default_settings
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules, resolve_settings
from takeoff.read.office.office_file import parse_office
from takeoff.web import product_forms as forms
from takeoff.web import setting_rows as rows
from takeoff.write.job_text.edits import edited_text

JOB = "job: Hut  # ours\nroofs:\n  - {outline: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], pitch_deg: 20, fascia_height_mm: 2400}\n"
PROFILE = {
    "kind": "corrugated", "cover_mm": "762", "overall_mm": "838", "rib_pitch_mm": "76,2", "depth_mm": "17",
    "least_pitch_deg": "8", "kg_per_m": "0.40:3.2, 0.55: 4.4",
}  # fmt: skip
BOARD = {
    "name": "our board", "kind": "bevel_back", "direction": "horizontal", "width_mm": "180", "cover_mm": "150",
    "thickness_mm": "18", "lengths_mm": "4800 5400, 6000", "basis": "our mill's sheet of May",
}  # fmt: skip


def test_a_setting_is_found_by_its_name_or_its_meaning() -> None:
    found = rows.setting_rows(default_rules(), {}, (), "spacing of the studs", rows.ALL)
    named = rows.setting_rows(default_rules(), {}, (), "stud mm", rows.ALL)
    assert "stud_mm" in {row.name for row in named}
    assert len(found) < len(rows.setting_rows(default_rules(), {}, (), "", rows.ALL)) == len(default_settings())


def test_only_what_the_job_sets_is_listed_as_it_is_typed() -> None:
    tree = {"settings": {"stud_mm": 400}}
    found = rows.setting_rows(default_rules(), tree, (), "", rows.SET)
    assert found == [rows.SettingRow("stud_mm", "400 mm", rows.SET)]
    used = rows.setting_rows(default_rules(), tree, ("cavity_mm",), "", rows.USED)
    assert [row.name for row in used] == ["cavity_mm"]


def test_a_setting_is_held_to_its_bounds_and_the_job_stands() -> None:
    settings = default_rules()
    edit = rows.setting_edit(settings.values["stud_mm"], "400")
    assert edit == Edit(("settings", "stud_mm"), 400)
    job = parse_job(edited_text(JOB, [edit]), "job.yaml")
    assert resolve_settings(job).number("stud_mm") == 400.0
    for name, setting in settings.values.items():
        if setting.type.kind is rows.ValueKind.NUMBER and abs(setting.type.most) < 1e9:
            with pytest.raises(UsageError, match="must be"):
                rows.setting_edit(setting, f"{setting.type.most + 1:.3f}")
            break
        assert name
    for text in ("wide", "", "1e3"):
        with pytest.raises(UsageError):
            rows.setting_edit(settings.values["stud_mm"], text)


def test_every_setting_takes_its_own_value_back() -> None:
    """What the panel offers or shows can be typed: round trip over the whole catalogue."""
    for setting in default_rules().values.values():
        value = setting.value
        text = (
            str(value).lower() if isinstance(value, bool) else f"{value:.10g}" if not isinstance(value, str) else value
        )
        assert rows.setting_edit(setting, text).value == value, setting.name
        choices = rows.choices_of(setting)
        assert choices is None or text in choices, setting.name


def test_a_reset_takes_the_line_out_and_the_section_with_the_last() -> None:
    tree = {"settings": {"stud_mm": 400, "cavity_mm": 25}}
    tree = edited_value(tree, [rows.setting_reset(tree, "stud_mm")])  # type: ignore[assignment]
    assert tree == {"settings": {"cavity_mm": 25}}
    assert rows.setting_reset(tree, "cavity_mm") == Edit(("settings",), GONE)


def test_a_profile_of_ones_own_is_typed_into_a_form_and_the_job_stands() -> None:
    edit = forms.own_product("profiles", forms.OF_JOB["profiles"], "our_sheet", PROFILE)
    job = parse_job(edited_text(JOB, [edit]), "job.yaml")
    own = job.profiles["our_sheet"]
    assert (own.cover_mm, own.rib_pitch_mm, own.kg_per_m) == (762.0, 76.2, {0.4: 3.2, 0.55: 4.4})


def test_what_a_form_lacks_is_told_all_at_once() -> None:
    with pytest.raises(UsageError) as told:
        forms.own_product("boards", forms.OF_OFFICE["boards"], "b", {"width_mm": "wide", "name": "b"})
    assert len(told.value.faults) == 1 + 6  # kind, direction, cover, thickness, lengths, basis are needed too
    with pytest.raises(UsageError, match="cover"):
        forms.own_product("boards", forms.OF_OFFICE["boards"], "b", {**BOARD, "cover_mm": "0"})
    with pytest.raises(UsageError, match="name"):
        forms.own_product("boards", forms.OF_OFFICE["boards"], " ", BOARD)


def test_a_board_of_the_office_stands_in_its_file() -> None:
    text = edited_text("", [forms.own_product("boards", forms.OF_OFFICE["boards"], "our_board", BOARD)])
    office = parse_office(text)
    assert office.boards["our_board"].lengths_mm == [4800, 5400, 6000]
    assert office.products_of("boards") == ("our_board",)


def test_every_record_has_a_form() -> None:
    for models in (forms.OF_JOB, forms.OF_OFFICE):
        for model in models.values():
            fields = forms.asked_fields(model)
            assert {field.name for field in fields} == set(model.model_fields)
            assert all(field.says for field in fields)
            assert all(field.choices for field in fields if field.how == forms.CHOICE)
