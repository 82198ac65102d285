"""A set of files: all of it or none of it, and nobody else's file touched."""

from __future__ import annotations

import datetime
import json
import os
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import TakeoffError, UsageError
from takeoff.basics.manifest import FORMAT, Manifest, digest_of
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.write.atomic import write_set
from takeoff.write.data.result_json import json_text, result_data, result_json, to_plain
from takeoff.write.files import write_all
from takeoff.write.folder.lock import folder_lock


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_the_whole_set(sample: Takeoff, tmp_path: Path) -> None:
    paths = write_all(sample, tmp_path / "new" / "order", only="all").paths
    assert paths[-1].name == "manifest.json"
    assert {path.name for path in paths} == names(tmp_path / "new" / "order")
    assert {
        "order_sheet.xlsx",
        "roof_plan.dxf",
        "roof_plan.svg",
        "roof_3d.svg",
        "house.html",
        "sheets_P3.dxf",
        "wall_1.dxf",
        "takeoff.json",
    } <= names(tmp_path / "new" / "order")
    manifest = json.loads(paths[-1].read_text())
    assert manifest["job_hash"] == sample.job_hash
    assert set(manifest["files"]) == {path.name for path in paths[:-1]}


def test_a_stopped_run_takes_the_last_order_away(sample: Takeoff, stopped: Takeoff, tmp_path: Path) -> None:
    write_all(sample, tmp_path, only="svg")
    (tmp_path / "mine.txt").write_text("a user's own file")
    (tmp_path / "wall_1.svg").write_text("changed by the user")
    written = write_all(stopped, tmp_path, only="order,dxf,svg,html")
    assert written.kept == (("wall_1.svg", "wall_1.svg.kept-1"),)
    assert names(tmp_path) == {
        "order_sheet.xlsx", "fault.dxf", "fault.svg", "roof_3d.svg", "house.html", "takeoff.json", "manifest.json",
        "mine.txt", "wall_1.svg.kept-1",
    }  # fmt: skip


def test_a_strange_manifest_decides_nothing(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (tmp_path / "precious").write_bytes(b"x")
    (out / "mine.xlsx").write_bytes(b"x")
    digest = digest_of(b"x")
    manifest: dict[str, object] = {"format": FORMAT, "version": 1}
    deep = "[" * 100_000 + "]" * 100_000
    for files in (
        {"../precious": digest, "": digest, "..": digest},
        {"mine.xlsx": digest},
        {"n" * 5000: digest},
        3,
        None,
    ):
        for body in ({**manifest, "files": files}, {**manifest, "files": files, "seal": "0" * 64}):
            (out / "manifest.json").write_text(json.dumps(body))
            with pytest.raises(UsageError, match=r"manifest\.json is not as this program writes it"):
                write_set({"a": b"1"}, out, {})
    for text in ("[]", "{", "", deep, json.dumps({"format": FORMAT, "files": 3}), '{"format": 1e999}', "\x00\xff"):
        (out / "manifest.json").write_text(text, encoding="latin-1")
        with pytest.raises(UsageError, match=r"manifest\.json is not as this program writes it"):
            write_set({"a": b"1"}, out, {})
        assert (out / "manifest.json").read_text(encoding="latin-1") == text
    assert (tmp_path / "precious").read_bytes() == b"x"
    assert names(out) == {"manifest.json", "mine.xlsx"}


def test_names_that_lead_elsewhere_are_none_of_ours_even_under_a_right_seal(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "precious").write_bytes(b"x")
    for name in ("../precious", "a/b", ".hidden", "c:x", "", "..", "a\\b", "manifest.json", "x" * 101):
        (tmp_path / "out" / "manifest.json").write_bytes(Manifest({name: digest_of(b"x")}).to_bytes())
        with pytest.raises(UsageError, match="not as this program writes it"):
            write_set({"a": b"1"}, tmp_path / "out", {})
    assert (tmp_path / "precious").exists()


def test_what_others_put_under_our_names_stops_the_run(tmp_path: Path) -> None:
    def folder(path: Path) -> None:
        path.mkdir()
        (path / "inside").write_bytes(b"x")

    def link(path: Path) -> None:
        path.symlink_to(tmp_path / "elsewhere")

    def file(path: Path) -> None:
        path.write_bytes(b"somebody else's")

    (tmp_path / "elsewhere").write_bytes(b"linked to")
    for number, make in enumerate((folder, link, file, os.mkfifo)):
        for name in ("a", "manifest.json", ".takeoff-work", ".takeoff-lock"):
            out = tmp_path / f"{number}{name}"
            out.mkdir()
            make(out / name)
            with pytest.raises(UsageError, match=f"{name}.*(move it|not as this program writes it)"):
                write_set({"a": b"1", "b": b"1"}, out, {})
            assert names(out) == {name}
        out = tmp_path / f"later{number}"
        write_set({"a": b"1", "b": b"1"}, out, {})
        (out / "b").unlink()
        make(out / "b")
        before = {path.name: path.read_bytes() for path in out.iterdir() if path.is_file()}
        if make is file:
            assert write_set({"a": b"2", "b": b"2"}, out, {}).kept == (("b", "b.kept-1"),)
            continue
        with pytest.raises(UsageError, match="not a file of ours"):
            write_set({"a": b"2", "b": b"2"}, out, {})
        assert {path.name: path.read_bytes() for path in out.iterdir() if path.is_file()} == before
        write_set({"a": b"2"}, out, {})  # nothing of this set is called b: it is let be
        assert os.path.lexists(out / "b")
    assert (tmp_path / "elsewhere").read_bytes() == b"linked to"


def test_a_changed_file_is_kept_each_time(tmp_path: Path) -> None:
    for number in range(1, 4):
        kept = write_set({"form.csv": b"blank"}, tmp_path, {}).kept
        assert kept == ((("form.csv", f"form.csv.kept-{number - 1}"),) if number > 1 else ())
        (tmp_path / "form.csv").write_bytes(b"taped %d" % number)
    assert (tmp_path / "form.csv.kept-1").read_bytes() == b"taped 1"
    assert (tmp_path / "form.csv.kept-2").read_bytes() == b"taped 2"


def test_leftovers_of_a_killed_run_are_removed(tmp_path: Path) -> None:
    (tmp_path / ".takeoff-lock").write_bytes(b"process 999999\n")
    (tmp_path / ".takeoff-work").mkdir()
    (tmp_path / ".takeoff-work" / "journal.new").write_bytes(b'{"half')
    write_set({"a": b"1"}, tmp_path, {})
    assert names(tmp_path) == {"a", "manifest.json"}


def test_the_second_run_waits_and_then_says_who_writes(tmp_path: Path) -> None:
    with folder_lock(tmp_path), pytest.raises(UsageError, match=f"being written by process {os.getpid()}; wait"):
        write_set({"a": b"1"}, tmp_path, {}, wait_s=0.1)
    assert names(tmp_path) == set()
    with folder_lock(tmp_path):
        timer = threading.Timer(0.0, write_set, ({"a": b"1"}, tmp_path, {}))
        timer.start()
        time.sleep(0.2)
        assert not (tmp_path / "a").exists()
    timer.join()
    assert names(tmp_path) == {"a", "manifest.json"}


def test_a_file_in_the_way_is_a_usage_error(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(UsageError, match="not a folder"):
        write_set({"a": b"1"}, tmp_path / "out", {})
    with pytest.raises(UsageError):
        write_set({"a": b"1"}, tmp_path / "out" / "below", {})


def test_json_is_versioned_and_whole(sample: Takeoff) -> None:
    data = json.loads(result_json(sample))
    assert (data["format"], data["version"]) == ("takeoff-result", 2)
    assert [plane["id"] for plane in data["roofs"][0]["planes"]] == ["P1", "P2", "P3", "P4"]
    assert sum(blank["length_mm"] for blank in data["order"]["blanks"]) / 1000 == pytest.approx(163.52)
    assert data["job"]["date"] == "2026-03-02"
    assert data["products"][0]["basis"]["cover_mm"]["status"] == "seen"
    assert list(data) == list(json.loads(result_json(sample)))


def test_json_is_written_as_the_standard_encoder_writes_it(sample: Takeoff, stopped: Takeoff) -> None:
    for takeoff in (sample, stopped):
        standard = json.dumps(result_data(takeoff), ensure_ascii=False, indent=1, allow_nan=False)
        assert result_json(takeoff) == f"{standard}\n"
    odd = {
        "": [], 2: {}, "ā\"\\\n\x07": ((), [()], {"a": ()}), Severity.STOP: Severity.NOTE, "t": (True, None, 1e16, 0.1 + 0.2, -0.0),
        "day": datetime.date(2026, 3, 2), "rare": "\N{HOUSE BUILDING}", "big": 10**20, "own": (type("F", (float,), {})(1.25), type("N", (int,), {})(3)),
    }  # fmt: skip
    assert json_text(odd) == json.dumps(to_plain(odd), ensure_ascii=False, indent=1)


def test_json_refuses_what_is_not_a_figure(sample: Takeoff) -> None:
    assert sample.order is not None
    bad = replace(sample, order=replace(sample.order, sheets_kg=float("nan")))
    with pytest.raises(TakeoffError, match=r"order\.sheets_kg"):
        result_json(bad)
    assert to_plain(-1e-13) == 0
    assert str(to_plain(-1e-13)) == "0"
