"""A set of files: all of it or none of it, and nobody else's file touched."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import TakeoffError, UsageError
from takeoff.model.order import Takeoff
from takeoff.write import atomic
from takeoff.write.atomic import write_set
from takeoff.write.data.result_json import result_json, to_plain
from takeoff.write.files import write_all


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_the_whole_set(sample: Takeoff, tmp_path: Path) -> None:
    paths = write_all(sample, tmp_path / "new" / "order")
    assert paths[-1].name == "manifest.json"
    assert {path.name for path in paths} == names(tmp_path / "new" / "order")
    assert {
        "order_sheet.xlsx",
        "roof_plan.dxf",
        "roof_plan.svg",
        "roof_3d.svg",
        "sheets_P3.dxf",
        "wall_1.dxf",
        "takeoff.json",
    } <= names(tmp_path / "new" / "order")
    manifest = json.loads(paths[-1].read_text())
    assert manifest["job_hash"] == sample.job_hash
    assert set(manifest["files"]) == {path.name for path in paths[:-1]}


def test_a_stopped_run_takes_the_last_order_away(sample: Takeoff, stopped: Takeoff, tmp_path: Path) -> None:
    write_all(sample, tmp_path)
    (tmp_path / "mine.txt").write_text("a user's own file")
    (tmp_path / "wall_1.svg").write_text("changed by the user")
    write_all(stopped, tmp_path)
    assert names(tmp_path) == {
        "order_sheet.xlsx", "fault.dxf", "fault.svg", "roof_3d.svg", "takeoff.json", "manifest.json", "mine.txt",
        "wall_1.svg",
    }  # fmt: skip


def test_a_fault_halfway_leaves_the_folder_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_set({"a": b"1", "b": b"1", "c": b"1"}, tmp_path, {})
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    real = os.replace
    moves = 0

    def failing(source: object, target: object) -> None:
        nonlocal moves
        moves += 1
        if moves == 6:
            raise OSError(28, "No space left on device")
        real(source, target)  # type: ignore[arg-type]

    monkeypatch.setattr(atomic.os, "replace", failing)
    with pytest.raises(UsageError, match="No space left"):
        write_set({"a": b"2", "b": b"2", "d": b"2"}, tmp_path, {})
    assert moves > 6
    monkeypatch.setattr(atomic.os, "replace", lambda source, target: real(tmp_path / "none", target))
    with pytest.raises(UsageError):
        write_set({"a": b"2"}, tmp_path / "fresh", {})
    assert not (tmp_path / "fresh").exists()
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_strange_manifest_takes_nothing_away(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (tmp_path / "precious").write_bytes(b"x")
    digest = atomic._hash(b"x")
    manifest = {"format": atomic.FORMAT, "version": 1, "files": {"../precious": digest, "": digest, "..": digest}}
    for text in (json.dumps(manifest), "[]", "{", json.dumps({"format": atomic.FORMAT, "files": 3})):
        (out / "manifest.json").write_text(text)
        write_set({"a": b"1"}, out, {})
    assert (tmp_path / "precious").read_bytes() == b"x"
    assert names(out) == {"a", "manifest.json"}


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


def test_json_refuses_what_is_not_a_figure(sample: Takeoff) -> None:
    assert sample.order is not None
    bad = replace(sample, order=replace(sample.order, sheets_kg=float("nan")))
    with pytest.raises(TakeoffError, match=r"order\.sheets_kg"):
        result_json(bad)
    assert to_plain(-1e-13) == 0
    assert str(to_plain(-1e-13)) == "0"
