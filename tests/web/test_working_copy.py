"""The working copy of a job file: nobody's text is lost, whoever writes and whatever ends."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.web import whole_file, working_copy
from takeoff.web.working_copy import Others, WorkingCopy

BOM = b"\xef\xbb\xbf"
NEW = "job: New house\nroofs: []\n"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.yaml"
    path.write_bytes(b"job: One\n")
    return path


def opened(job: Path) -> WorkingCopy:
    return WorkingCopy.opened(job, NEW)


def test_steps_go_back_and_forth_without_limit(job: Path) -> None:
    copy = opened(job)
    for n in range(300):
        assert copy.put(f"job: {n}\n", f"step {n}")
    assert not copy.put("job: 299\n", "the same")
    assert copy.back == "step 299"
    while copy.undo():
        pass
    assert (copy.text, copy.changed, copy.forth) == ("job: One\n", False, "step 0")
    while copy.redo():
        pass
    assert copy.text == "job: 299\n"
    copy.undo()
    copy.put("job: other\n", "another way")
    assert not copy.redo()


def test_what_is_not_saved_is_found_again_and_undo_has_the_file(job: Path) -> None:
    opened(job).put("job: Two\n", "typed")
    again = opened(job)
    assert (again.text, again.changed, again.restored, again.others) == ("job: Two\n", True, True, Others.NOTHING)
    assert again.undo()
    assert (again.text, again.changed) == ("job: One\n", False)
    assert opened(job).text == "job: One\n", "a step back to the file leaves nothing to find"


def test_a_file_changed_while_nothing_ran_is_asked_about(job: Path) -> None:
    opened(job).put("job: Two\n", "typed")
    job.write_text("job: Theirs\n")
    again = opened(job)
    assert (again.text, again.others, again.theirs) == ("job: Two\n", Others.WROTE, "job: Theirs\n")
    with pytest.raises(UsageError, match="whose is to stay"):
        again.save()
    again.take_theirs()
    assert (again.text, again.changed) == ("job: Theirs\n", False)
    assert again.undo()
    assert again.text == "job: Two\n"


def test_either_answer_leaves_the_other_one_step_back(job: Path) -> None:
    copy = opened(job)
    copy.put("job: Mine\n", "typed")
    assert not copy.look_at_disk()
    job.write_text("job: Theirs\n")
    assert copy.look_at_disk()
    assert not copy.look_at_disk(), "asked once"
    copy.keep_ours()
    assert (copy.text, copy.others, copy.changed) == ("job: Mine\n", Others.NOTHING, True)
    copy.save()
    assert job.read_text() == "job: Mine\n"
    copy.undo()
    assert copy.text == "job: Theirs\n"


def test_others_who_write_what_is_here_are_not_asked_about(job: Path) -> None:
    copy = opened(job)
    copy.put("job: Mine\n", "typed")
    job.write_text("job: Mine\n")
    assert copy.look_at_disk()
    assert (copy.others, copy.changed) == (Others.NOTHING, False)
    assert not (job.parent / ".job.yaml.working").exists()


def test_whoever_types_what_others_wrote_has_answered(job: Path) -> None:
    copy = opened(job)
    copy.put("job: Mine\n", "typed")
    job.write_text("job: Theirs\n")
    copy.look_at_disk()
    copy.put("job: Theirs\n", "typed")
    assert (copy.others, copy.changed) == (Others.NOTHING, False)


def test_a_file_that_is_gone_or_spoilt_is_told_and_can_be_written_again(job: Path) -> None:
    copy = opened(job)
    job.unlink()
    copy.look_at_disk()
    assert copy.others is Others.TOOK_AWAY
    copy.save(over=True)
    assert job.read_text() == "job: One\n"
    job.write_bytes(b"\xff\xfe\x00")
    copy.look_at_disk()
    assert copy.others is Others.SPOILT
    with pytest.raises(UsageError):
        copy.save()
    copy.save(over=True)
    assert (job.read_text(), copy.others) == ("job: One\n", Others.NOTHING)


@pytest.mark.parametrize(
    "text", [BOM + b"job: One\r\nroofs: []\r\n", b"job: One\r\nroofs: []\n", "job: Ōne\n".encode()]
)
def test_mark_and_line_ends_stay(tmp_path: Path, text: bytes) -> None:
    job = tmp_path / "job.yaml"
    job.write_bytes(text)
    copy = opened(job)
    assert not copy.text.startswith("\ufeff")
    copy.put(copy.text.replace("One", "Two").replace("Ōne", "Two"), "typed")
    again = opened(job)
    again.save()
    assert job.read_bytes() == text.replace(b"One", b"Two").replace("Ōne".encode(), b"Two")


def test_a_save_keeps_mode_and_link(tmp_path: Path) -> None:
    real, link = tmp_path / "store" / "real.yaml", tmp_path / "job.yaml"
    real.parent.mkdir()
    real.write_text("job: One\n")
    real.chmod(0o640)
    link.symlink_to(real)
    copy = opened(link)
    copy.put("job: Two\n", "typed")
    copy.save()
    assert link.is_symlink()
    assert (real.read_text(), stat.S_IMODE(real.stat().st_mode)) == ("job: Two\n", 0o640)
    assert sorted(os.listdir(real.parent)) == ["real.yaml"]


def test_a_link_into_nothing_is_a_file_still_to_come(tmp_path: Path) -> None:
    link = tmp_path / "job.yaml"
    link.symlink_to(tmp_path / "gone.yaml")
    with pytest.raises(UnreadableFileError):
        opened(link)


def test_a_job_that_is_not_there_yet(tmp_path: Path) -> None:
    job = tmp_path / "new" / "job.yaml"
    copy = opened(job)
    assert (copy.text, copy.changed) == (NEW, True)
    copy.put("job: Two\n", "typed")
    assert opened(job).text == "job: Two\n"
    copy.save()
    assert job.read_text() == "job: Two\n"
    assert os.listdir(job.parent) == ["job.yaml"]


def test_a_full_disk_changes_nothing(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy = opened(job)

    def full(_number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole_file.os, "fsync", full)
    copy.put("job: Two\n", "typed")
    with pytest.raises(UsageError, match="No space left on device; it is as it was"):
        copy.save()
    assert (job.read_text(), copy.changed) == ("job: One\n", True)
    assert not [name for name in os.listdir(job.parent) if name.endswith(".saving")]


def test_a_folder_that_keeps_nothing_is_told(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def closed(_source: object, _target: object) -> None:
        raise PermissionError(13, "Permission denied")

    copy = opened(job)
    with monkeypatch.context() as patch:
        patch.setattr(working_copy.os, "replace", closed)
        assert copy.put("job: Two\n", "typed")
        assert copy.unkept == "Permission denied"
        with pytest.raises(UsageError, match="Permission denied"):
            copy.save()
    copy.put("job: Three\n", "typed")
    assert copy.unkept == ""


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root writes everywhere")
def test_a_read_only_file_is_not_written_over(job: Path) -> None:
    job.chmod(0o444)
    copy = opened(job)
    copy.put("job: Two\n", "typed")
    with pytest.raises(UsageError, match="read-only"):
        copy.save()


@pytest.mark.parametrize("kept", [b"", b"{", b"[]", b'{"text": 3}', b"\xff", b'{"of": "x"}'])
def test_a_working_copy_that_is_none_is_passed_over(job: Path, kept: bytes) -> None:
    (job.parent / ".job.yaml.working").write_bytes(kept)
    assert opened(job).text == "job: One\n"


def test_a_file_that_is_no_text_is_refused(job: Path) -> None:
    job.write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableFileError, match="not UTF-8"):
        opened(job)
