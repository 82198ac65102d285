"""The office file on the page: its own faults, an explicit save, and nobody's work written over."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import Edit
from takeoff.web.office_draft import OfficeDraft, office_path

OFFICE = "firm: {name: Our yard}   # head of every paper\nsettings:\n  stud_mm: 400\n"


def test_an_edit_leaves_the_rest_as_typed_and_is_saved_by_an_act(tmp_path: Path) -> None:
    path = tmp_path / "office.yaml"
    path.write_text(OFFICE, encoding="utf-8")
    draft = OfficeDraft.opened(office_path(tmp_path, None))
    draft.put(Edit(("settings", "stud_mm"), 450))
    assert draft.changed
    assert path.read_text(encoding="utf-8") == OFFICE
    draft.save()
    assert path.read_text(encoding="utf-8") == OFFICE.replace("400", "450")
    assert not draft.changed


def test_a_text_with_faults_is_not_saved(tmp_path: Path) -> None:
    draft = OfficeDraft.opened(office_path(tmp_path, None))
    assert (draft.saved, draft.faults) == (None, ())
    draft.text = "firm: {name: us}\nsettings: {stud_mm: wide}\nfoo: 1\n"
    assert any("foo" in fault for fault in draft.faults)
    with pytest.raises(UsageError):
        draft.save()
    assert not draft.path.exists()


def test_what_others_wrote_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "office.yaml"
    path.write_text(OFFICE, encoding="utf-8")
    draft = OfficeDraft.opened(path)
    path.write_text(OFFICE + "terms: [cash]\n", encoding="utf-8")
    draft.text = OFFICE.replace("400", "450")
    with pytest.raises(UsageError, match="others"):
        draft.save()
    assert "cash" in path.read_text(encoding="utf-8")


def test_the_file_that_is_named_is_the_one(tmp_path: Path) -> None:
    assert office_path(tmp_path, None) == tmp_path / "office.yaml"
    assert office_path(tmp_path, tmp_path / "ours.yaml") == tmp_path / "ours.yaml"
    (tmp_path / "all").mkdir()
    assert office_path(tmp_path, tmp_path / "all") == tmp_path / "all" / "office.yaml"
