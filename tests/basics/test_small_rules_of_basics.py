"""Counting, rounding, areas, clips, letters, words and manifests: small rules by hand, at their limits and beyond."""

from __future__ import annotations

import json
import os
import signal
from hashlib import sha256
from math import inf, isnan, nan
from pathlib import Path
from types import SimpleNamespace

import pytest

from takeoff.basics import manifest as of_manifest
from takeoff.basics import streams
from takeoff.basics.errors import ExitCode, Fault, JobError, UnreadableFileError, faults_at
from takeoff.basics.face_cutting import cut_face
from takeoff.basics.interrupts import Stopped, signals_held, stop_on_signals
from takeoff.basics.letters import letters
from takeoff.basics.manifest import Manifest, is_plain_name, name_texts, parse_manifest, sealed_record
from takeoff.basics.nearest import did_you_mean, nearest
from takeoff.basics.polygons import clip_half_plane, foot_and_head, inside_rings, rings_area, signed_area
from takeoff.basics.regular_files import opened, read_bounded
from takeoff.basics.rounding import count_up, half_up, round_up_mm, whole_degrees
from takeoff.basics.streams import printed
from takeoff.basics.superseding import Superseded, given_up_when, look_up
from takeoff.basics.triangles import triangulate
from takeoff.basics.vectors import add3, cross2, cross3, distance2, dot3, length3, newell, scale3, sub3, unit3
from takeoff.basics.yaml_words import is_number, plain_word

# --- vectors: by hand, no two components alike --------------------------------------------------------------------------


def test_sums_and_products_of_vectors() -> None:
    a, b = (2.0, 3.0, 6.0), (5.0, -7.0, 11.0)
    assert (sub3(a, b), add3(a, b), scale3(a, -2.0)) == ((-3.0, 10.0, -5.0), (7.0, -4.0, 17.0), (-4.0, -6.0, -12.0))
    assert dot3(a, b) == 10.0 - 21.0 + 66.0
    assert cross3(a, b) == (33.0 + 42.0, 30.0 - 22.0, -14.0 - 15.0)
    assert (length3(a), unit3(a)) == (7.0, pytest.approx((2 / 7, 3 / 7, 6 / 7)))
    assert (distance2((1.0, 2.0), (4.0, 6.0)), cross2((2.0, 3.0), (5.0, 7.0))) == (5.0, -1.0)
    # a ring of five corners, two of them behind the first: (0,0) (4,0) (5,2) (2,4) (-1,1) has 8 + 16 + 6 over 2 by the shoelace
    ring = [(x + 3.0, y + 8.0, 2.0) for x, y in ((0, 0), (4, 0), (5, 2), (2, 4), (-1, 1))]
    assert newell(ring) == pytest.approx((0.0, 0.0, 30.0))
    with pytest.raises(ZeroDivisionError):
        unit3((0.0, 0.0, 0.0))


# --- plane polygons -----------------------------------------------------------------------------------------------------

PENTAGON = ((3.0, 8.0), (7.0, 8.0), (8.0, 10.0), (5.0, 12.0), (2.0, 9.0))  # as above, moved


def test_areas_of_rings() -> None:
    assert (signed_area(PENTAGON), signed_area(PENTAGON[::-1])) == (15.0, -15.0)
    assert signed_area(((0.0, 0.0), (4.0, 0.0), (0.0, 3.0))) == 6.0
    assert signed_area(((0.0, 0.0), (4.0, 0.0))) == 0.0
    hole = ((4.0, 9.0), (4.0, 10.0), (5.0, 10.0), (5.0, 9.0))
    notch = ((6.0, 9.0), (6.5, 9.0), (6.0, 10.0))
    assert rings_area((PENTAGON[::-1], hole, notch)) == 15.0 - 1.0 - 0.25
    assert rings_area(()) == 0.0


def test_points_inside_rings_and_their_holes() -> None:
    """A corner's own height counts once: to the left of both corners at y = 10 and 9."""
    hole = ((4.0, 9.0), (4.0, 10.0), (5.0, 10.0), (5.0, 9.0))
    rings = (PENTAGON, hole)
    inside = [(3.0, 9.5), (6.0, 10.0), (7.4, 9.0), (3.5, 10.0), (4.5, 8.5), (5.0, 11.9)]
    outside = [(1.0, 9.0), (1.0, 10.0), (4.5, 9.5), (7.6, 9.0), (7.9, 10.1), (2.9, 10.0), (5.0, 12.1), (5.0, 7.9)]
    assert [point for point in inside if not inside_rings(point, rings)] == []
    assert [point for point in outside if inside_rings(point, rings)] == []


def test_a_ring_cut_by_a_line() -> None:
    """A 4 x 2 rectangle: 2x + y <= 5 keeps (0,0), (2.5,0), (1.5,2), (0,2); a line along a side keeps all or nothing."""
    ring = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0))
    assert clip_half_plane(ring, 2.0, 1.0, 5.0) == ((0.0, 0.0), (2.5, 0.0), (1.5, 2.0), (0.0, 2.0))
    assert clip_half_plane(ring, -2.0, -1.0, -5.0) == ((2.5, 0.0), (4.0, 0.0), (4.0, 2.0), (1.5, 2.0))
    # x + 2y <= 5 ends at (4, 0.5) on the right and (1, 2) on the top
    assert clip_half_plane(ring, 1.0, 2.0, 5.0) == ((0.0, 0.0), (4.0, 0.0), (4.0, 0.5), (1.0, 2.0), (0.0, 2.0))
    assert clip_half_plane(ring, 0.0, 1.0, 2.0) == ring
    assert clip_half_plane(ring, 0.0, -1.0, -2.0) == ()
    # through two corners: each stays once
    assert clip_half_plane(ring, 1.0, -2.0, 0.0) == ((0.0, 0.0), (4.0, 2.0), (0.0, 2.0))
    assert clip_half_plane(ring, 1.0, 0.0, -1.0) == ()


def test_the_lowest_and_the_highest_line_of_a_ring() -> None:
    """Points within 2 of the foot at 0 and of the head at 20 stand on them; a level line in the lower half is no head."""
    ring = ((1.0, 2.0), (9.0, 0.0), (12.0, 9.0), (16.0, 9.0), (10.0, 18.5), (6.0, 20.0), (2.0, 20.0))
    assert foot_and_head(ring, 2.0) == ((1.0, 2.0), (9.0, 0.0), (2.0, 20.0), (10.0, 18.5))
    assert foot_and_head(ring, 1.0) == ((9.0, 0.0), (9.0, 0.0), (2.0, 20.0), (6.0, 20.0))
    # no level line in the upper half: its highest point twice; a line at just half its height is none
    peak = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (4.0, 10.0), (3.0, 20.0))
    assert foot_and_head(peak) == ((0.0, 0.0), (10.0, 0.0), (3.0, 20.0), (3.0, 20.0))
    # a line of just 1 is a point, of more a line; it may be 1 out of level
    short = ((0.0, 0.0), (10.0, 0.0), (6.0, 8.0), (5.0, 8.0), (3.0, 10.0))
    assert foot_and_head(short)[2:] == ((3.0, 10.0), (3.0, 10.0))
    tilted = ((0.0, 0.0), (10.0, 0.0), (6.5, 7.0), (5.0, 8.0), (3.0, 10.0))
    assert foot_and_head(tilted)[2:] == ((5.0, 8.0), (6.5, 7.0))
    steeper = ((0.0, 0.0), (10.0, 0.0), (6.5, 6.9), (5.0, 8.0), (3.0, 10.0))
    assert foot_and_head(steeper)[2:] == ((3.0, 10.0), (3.0, 10.0))


def test_a_polygon_with_holes_cut_into_triangles_keeps_every_corner_inside() -> None:
    """8 x 6 less two holes of 1 x 1 and 1 x 2: 45; two holes add two corners each way: 4 + 4 + 4 corners, 14 triangles."""
    outer = ((0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0))
    first, second = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)), ((5.0, 3.0), (5.0, 5.0), (6.0, 5.0), (6.0, 3.0))
    points = (*outer, *first, *second)
    cut = triangulate((outer, first, second))
    areas = [signed_area([points[i] for i in triangle]) for triangle in cut]
    assert min(areas) > 0.0
    assert sum(areas) == pytest.approx(45.0)
    assert len(cut) == 14
    for a, b, c in cut:
        middle = tuple(sum(points[i][k] for i in (a, b, c)) / 3.0 for k in (0, 1))
        assert inside_rings(middle, (outer, first, second))  # type: ignore[arg-type]
    assert triangulate(()) == []
    # a square of four ears: the widest least angle first, two triangles of 45 degrees
    assert sorted(map(sorted, triangulate((outer,)))) in ([[0, 1, 2], [0, 2, 3]], [[0, 1, 3], [1, 2, 3]])
    # a corner in line gives no triangle of its own
    assert len(triangulate(((*outer[:1], (4.0, 0.0), *outer[1:]),))) == 2


def test_a_flat_four_sided_face_is_cut_from_its_first_corner() -> None:
    ring = [(0.0, 0.0, 0.0), (4.0, 0.0, 1.0), (5.0, 3.0, 1.0), (0.0, 3.0, 0.0)]
    assert cut_face([ring]) == [(0, 1, 2), (0, 2, 3)]
    assert cut_face([ring[1:] + ring[:1]]) == [(0, 1, 2), (0, 2, 3)]
    assert cut_face([ring[:3]]) == [(0, 1, 2)]


# --- rounding -----------------------------------------------------------------------------------------------------------


def test_counts_and_lengths_at_their_limits() -> None:
    """Half a unit of length is a crumb: 100.5 takes one of 100, a hair more takes two; less than that takes none."""
    assert [count_up(length, 100.0) for length in (-700.0, 0.5, 0.6, 100.5, 100.51, 200.5, 200.6)] == [
        0,
        0,
        1,
        1,
        2,
        2,
        3,
    ]
    assert [count_up(length, 2.0, 0.1) for length in (4.1, 4.11)] == [2, 3]
    assert [round_up_mm(length, 10.0) for length in (4380.01, 4380.011, 4371.0)] == [4380.0, 4390.0, 4380.0]
    assert [round_up_mm(length, 5.0, 1.0) for length in (21.0, 21.1)] == [20.0, 25.0]


def test_whole_figures_stay_as_they_are() -> None:
    assert [half_up(value, places) for value in (0.0, 7.0, -1250.0, 1e15, 3.0) for places in (0, 3)] == [
        *(0.0, 0.0, 7.0, 7.0, -1250.0, -1250.0, 1e15, 1e15, 3.0, 3.0)
    ]
    assert str(half_up(-0.0, 2)) == "-0.0"
    assert half_up(1250.0, -2) == 1300.0


def test_half_is_rounded_away_from_nothing() -> None:
    rows = [(2.5, 0, 3.0), (-2.5, 0, -3.0), (2.4999, 0, 2.0), (1.005, 2, 1.01), (1250.0, -2, 1300.0), (0.125, 2, 0.13)]
    assert [half_up(value, places) for value, places, _ in rows] == [rounded for _, _, rounded in rows]
    assert [whole_degrees(angle) for angle in (0.49, 0.4999985, 0.4999995, 0.5, 89.5, 90.4)] == [0, 0, 1, 1, 90, 90]


def test_letters_of_numbers() -> None:
    """26 letters; 27 is aa, 52 az, 53 ba, 702 zz, 703 aaa."""
    numbers = (0, 1, 2, 26, 27, 52, 53, 702, 703)
    assert [letters(number) for number in numbers] == ["", "a", "b", "z", "aa", "az", "ba", "zz", "aaa"]


def test_nearest_words() -> None:
    known = ["verandah", "veranda", "porch"]
    assert nearest("verandas", known) == ("veranda",)
    assert nearest("verandas", known, 2) == ("veranda", "verandah")
    assert nearest("xyz", known) == ()
    assert len(nearest("xyz", known, 1, 0.0)) == 1
    assert nearest("porches", known, likeness=1.0) == ()
    assert did_you_mean("porches", known) == "; did you mean porch?"
    assert did_you_mean("porches", known, "; none", likeness=1.0) == "; none"
    assert did_you_mean("xyz", known) == ""


# --- words of a job -----------------------------------------------------------------------------------------------------

WORDS: list[tuple[str, object]] = [
    ("true", True), ("false", False), ("null", None), ("", None), ("~", None), ("yes", "yes"), ("True", "True"),
    ("0", 0), ("-7", -7), ("+12", 12), ("1_000", 1000), ("017", "017"), ("12:30", "12:30"), ("2020-01-02", "2020-01-02"),
    ("1.5", 1.5), (".5", 0.5), ("2.", 2.0), ("1e3", 1000.0), ("1.5E-3", 0.0015), ("-.5e1", -5.0), (".", "."),
    (".inf", inf), ("-.INF", -inf), ("+.inf", inf), ("9" * 29, int("9" * 29)), ("9" * 30, "9" * 30), ("1 2", "1 2"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "meant"), WORDS)
def test_what_a_word_without_quotes_means(text: str, meant: object) -> None:
    found = plain_word(text)
    assert (type(found), found) == (type(meant), meant)
    digits = text.lstrip("+-")[:1].isdigit() or text in (".5", "-.5e1")
    assert is_number(text) == (digits and text not in ("017", "12:30", "2020-01-02", "1 2"))


def test_no_number_is_read_as_one() -> None:
    found = plain_word(".nan")
    assert isinstance(found, float)
    assert isnan(found)
    assert isnan(nan)


# --- faults -------------------------------------------------------------------------------------------------------------


def test_faults_keep_the_places_they_know() -> None:
    first, second = faults_at([Fault("a", "edges", 2), "b"], "roofs", 0)
    assert (first, first.path, second, second.path) == ("a", ("roofs", 0, "edges", 2), "b", ("roofs", 0))
    error = JobError("one", "two")
    assert (str(error), error.faults, error.exit_code) == ("one\ntwo", ("one", "two"), 3)


def test_exit_codes_are_what_scripts_rely_on() -> None:
    """As README lists them."""
    found = {code.name: int(code) for code in ExitCode}
    assert found == {
        "DONE": 0, "OUR_FAULT": 1, "USAGE": 2, "JOB": 3, "UNREADABLE": 4, "SHAPE": 5, "STOPPED": 6, "DIFFERENT": 7,
    }  # fmt: skip


# --- manifests ----------------------------------------------------------------------------------------------------------


def test_a_manifest_is_what_it_was_written_as_and_nothing_else() -> None:
    given = Manifest(
        {"a.txt": "00", "order sheet.xlsx".replace(" ", "_"): "11"}, {"program": "takeoff", "job": "Hütte"}
    )
    data = given.to_bytes()
    assert parse_manifest(data) == given
    body = json.loads(data)
    assert (body["format"], body["version"], list(body)[-1]) == ("takeoff-manifest", 1, "seal")
    seal = body.pop("seal")
    text = json.dumps(body, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    assert seal == sha256(text.encode("ascii")).hexdigest()
    assert data.startswith(b'{\n "format"')
    assert data.endswith(b"}\n")
    assert "Hütte".encode() in data

    def sealed(**changed: object) -> bytes:
        new = {**body, **changed}
        return of_manifest.text_bytes({**new, "seal": of_manifest.seal_of(new)})

    assert parse_manifest(sealed()) == given
    assert parse_manifest(sealed(job=7)) == Manifest(given.files, {"program": "takeoff"})
    for wrong in (
        {"format": "other"}, {"version": 2}, {"files": None}, {"files": {"../a": "0"}}, {"files": {"a": 1}},
        {"files": {"manifest.json": "0"}},
    ):  # fmt: skip
        assert parse_manifest(sealed(**wrong)) is None, wrong
    assert parse_manifest(data.replace(b'takeoff"', b'takeofF"')) is None
    for other in (b"", b"[]", b"\xff", b"{", b"[" * 100_000, b'{"format": "takeoff-manifest", "version": 1}'):
        assert parse_manifest(other) is None
    assert sealed_record(data, "another") is None


def test_bounds_of_a_manifest(monkeypatch: pytest.MonkeyPatch) -> None:
    """2 MB and 10 000 files are read, a byte or a file more is not."""
    assert (of_manifest.MOST_BYTES, of_manifest.MOST_FILES) == (2_000_000, 10_000)
    data = Manifest({"a": "0"}).to_bytes()
    monkeypatch.setattr(of_manifest, "MOST_BYTES", len(data))
    assert parse_manifest(data) is not None
    monkeypatch.setattr(of_manifest, "MOST_BYTES", len(data) - 1)
    assert parse_manifest(data) is None
    assert name_texts({str(n): "" for n in range(10_000)}) is not None
    assert name_texts({str(n): "" for n in range(10_001)}) is None
    assert name_texts([]) is None


def test_names_that_lead_nowhere_else() -> None:
    good = ["a", "A1_b-c.txt", "0.csv", "a" * 100]
    bad: list[object] = ["", ".a", "_a", "-a", "a/b", "a\\b", "a b", "a.", "é", "a" * 101, 7, None, "a\n"]
    assert [name for name in good if not is_plain_name(name)] == []
    assert [name for name in bad if is_plain_name(name)] == []


# --- files, streams, signals --------------------------------------------------------------------------------------------


def test_files_are_read_up_to_their_bound_and_no_further(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b"x" * 2500)
    assert read_bounded(path, 2500, "list") == b"x" * 2500
    with pytest.raises(UnreadableFileError) as caught:
        read_bounded(path, 2499, "list")
    assert str(caught.value) == f"{path}: more than the 2,499 bytes a list can be"
    with opened(path, "list") as stream:
        assert stream.read(3) == b"xxx"
    for place, says in (
        (tmp_path / "none", f"{tmp_path / 'none'}: there is no such file; check its name"),
        (tmp_path, f"{tmp_path}: is a folder; name the list in it"),
        (Path("/dev/null"), "/dev/null: is a device, a pipe or the like, not a file with a list"),
        (path / "in", f"{path / 'in'}: cannot be read: Not a directory"),
    ):
        for read in (lambda place: read_bounded(place, 9, "list"), lambda place: opened(place, "list").__enter__()):
            with pytest.raises(UnreadableFileError) as caught:
                read(place)
            assert str(caught.value) == says
    with pytest.raises(UnreadableFileError) as caught:
        read_bounded(Path("a\0b"), 9, "list")
    assert str(caught.value).startswith("'a\\x00b': is no name a file can have: ")


def test_long_files_are_read_in_pieces(tmp_path: Path) -> None:
    """Two and a half pieces of 1 MiB."""
    data = os.urandom(64) * (5 * 8192)
    path = tmp_path / "long"
    path.write_bytes(data)
    assert read_bounded(path, len(data), "list") == data
    assert read_bounded(path, len(data) + 1, "list") == data


def test_a_screen_that_is_full_is_told_with_what_stands() -> None:
    told: list[str] = []
    with printed(told.append, "order written"):
        raise OSError(28, "No space left on device")
    with printed(told.append):
        raise OSError("odd")
    with printed(told.append, "order written"):
        raise BrokenPipeError
    assert told == [
        "the screen cannot be written to: No space left on device; order written",
        "the screen cannot be written to: odd",
    ]
    with pytest.raises(KeyError), printed(told.append, "order written"):
        raise KeyError
    assert told[2:] == ["order written"]
    with pytest.raises(Stopped) as stop, printed(told.append, "order written"):
        raise Stopped(2)
    assert (stop.value.number, stop.value.standing) == (2, "order written")
    with pytest.raises(Stopped) as stop, printed(told.append):
        raise Stopped(15, "half")
    assert (stop.value.number, stop.value.standing) == (15, "half")
    assert str(Stopped(1)) == "nothing was written"


def test_signals_are_held_and_handled_again_after() -> None:
    before = signal.getsignal(signal.SIGTERM)
    try:
        stop_on_signals()
        with signals_held() as came:
            os.kill(os.getpid(), signal.SIGTERM)
            assert came == [signal.SIGTERM]
        with pytest.raises(Stopped) as stop:
            os.kill(os.getpid(), signal.SIGTERM)
        assert stop.value.number == signal.SIGTERM
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
        stop_on_signals()
        with signals_held() as came:
            os.kill(os.getpid(), signal.SIGHUP)
        assert came == []
        assert signal.getsignal(signal.SIGHUP) is signal.SIG_IGN
    finally:
        for number in (signal.SIGHUP, signal.SIGINT):
            signal.signal(number, signal.default_int_handler if number == signal.SIGINT else signal.SIG_DFL)
        signal.signal(signal.SIGTERM, before)


def test_work_is_given_up_where_newer_waits() -> None:
    look_up()
    with given_up_when(lambda: False):
        look_up()
        with pytest.raises(Superseded), given_up_when(lambda: True):
            look_up()
        look_up()


def test_each_stream_that_is_closed_goes_nowhere(monkeypatch: pytest.MonkeyPatch) -> None:
    """Input, what is printed and what is told are looked at in turn; the closed ones are opened on the null device, which
    takes their numbers."""
    looked: list[int] = []
    made: list[tuple[str, int]] = []

    def fstat(number: int) -> None:
        looked.append(number)
        if number != 1:
            raise OSError

    fake = SimpleNamespace(fstat=fstat, open=lambda *given: made.append(given), devnull="null", O_RDWR=7)
    monkeypatch.setattr(streams, "os", fake)
    monkeypatch.setattr(streams, "sys", SimpleNamespace(stdout=None, stderr=None))
    streams.sturdy_streams()
    assert (looked, made) == ([0, 1, 2], [("null", 7)] * 2)
