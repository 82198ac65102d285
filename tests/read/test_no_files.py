"""Devices, pipes, folders, links to them and impossible names are refused by every reader, at once; no reader takes in
more than its bound."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.read.job.job_file import read_text
from takeoff.read.lists.cut_list import read_cut_list
from takeoff.read.lists.site_measures import read_site_measures
from takeoff.read.mesh import read_mesh
from takeoff.read.results.result_file import read_result

READERS: list[tuple[Callable[[Path], object], str]] = [
    (read_text, "yaml"),
    (read_cut_list, "xlsx"),
    (read_cut_list, "csv"),
    (read_site_measures, "csv"),
    (read_result, "json"),
    *[(lambda path: read_mesh(path), kind) for kind in ("obj", "stl", "ply", "glb", "gltf", "off")],
]


@pytest.mark.parametrize(("reader", "ending"), READERS)
def test_what_is_no_file_is_refused(tmp_path: Path, reader: Callable[[Path], object], ending: str) -> None:
    os.mkfifo(tmp_path / f"pipe.{ending}")
    (tmp_path / f"device.{ending}").symlink_to("/dev/zero")
    (tmp_path / f"linked.{ending}").symlink_to(tmp_path / f"pipe.{ending}")
    (tmp_path / f"lost.{ending}").symlink_to(tmp_path / "nothing")
    (tmp_path / f"round.{ending}").symlink_to(tmp_path / f"round.{ending}")
    (tmp_path / f"folder.{ending}").mkdir()
    for name in ("pipe", "device", "linked"):
        with pytest.raises(UnreadableFileError, match="is a device, a pipe or the like"):
            reader(tmp_path / f"{name}.{ending}")
    with pytest.raises(UnreadableFileError, match="is a folder"):
        reader(tmp_path / f"folder.{ending}")
    for name in ("lost", "none", "round", "x" * 300, "zero\0byte", "none/below"):
        with pytest.raises(UnreadableFileError):
            reader(tmp_path / f"{name}.{ending}")


def test_a_file_is_read_up_to_its_bound_and_no_further(tmp_path: Path) -> None:
    path = tmp_path / "sparse"
    with open(path, "wb") as stream:
        stream.truncate(1 << 40)  # a terabyte of nothing
    with pytest.raises(UnreadableFileError, match="more than the 1,000 bytes a list can be"):
        read_bounded(path, 1000, "list")
    path.write_bytes(b"x" * 1000)
    assert read_bounded(path, 1000, "list") == b"x" * 1000


def test_a_model_reads_only_files_beside_it(tmp_path: Path) -> None:
    (tmp_path / "house").mkdir()
    (tmp_path / "secret.bin").write_bytes(b"\0" * 36)
    for uri in (
        "../secret.bin",
        "/dev/zero",
        "..%2fsecret.bin",
        "http://0.0.0.0/x.bin",
        "file:///dev/zero",
        "pipe.bin",
    ):
        if uri == "pipe.bin":
            os.mkfifo(tmp_path / "house" / uri)
        (tmp_path / "house" / "roof.gltf").write_text(
            '{"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"mesh":0}],'
            '"meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}],'
            '"accessors":[{"bufferView":0,"componentType":5126,"count":3,"type":"VEC3"}],'
            f'"bufferViews":[{{"buffer":0,"byteLength":36}}],"buffers":[{{"byteLength":36,"uri":"{uri}"}}]}}'
        )
        with pytest.raises(UnreadableFileError, match=r"no file beside the model|device, a pipe"):
            read_mesh(tmp_path / "house" / "roof.gltf")


def test_a_model_that_states_more_than_it_holds_is_refused(tmp_path: Path) -> None:
    (tmp_path / "roof.gltf").write_text(
        '{"asset":{"version":"2.0"},"meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}],'
        '"nodes":[{"mesh":0}],"accessors":[{"componentType":5126,"count":9000000000,"type":"VEC3"}]}'
    )
    with pytest.raises(UnreadableFileError, match="states 9,000,000,000 figures"):
        read_mesh(tmp_path / "roof.gltf")
