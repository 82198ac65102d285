"""What comes into the page and goes out of it: typed figures, files given and taken away, addresses, the end of a page."""

from __future__ import annotations

import asyncio
import io
import socket
import zipfile
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import TakeoffError, UsageError
from takeoff.web import routes, serve, uploads
from takeoff.web.downloads import DOWNLOADS, packed, taken_away
from takeoff.web.entries import degrees, figure_words, length_mm
from takeoff.web.house import News
from takeoff.web.uploads import harmless, too_large


def refused(do: Callable[[], object]) -> tuple[str, ...]:
    with pytest.raises(TakeoffError) as told:
        do()
    return tuple(map(str, told.value.faults))


# ---- figures


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("99.9", 99900), ("100.0", 100), ("-99.5", -99500), ("99", 99), ("0.5", 500), (",25", 250), ("6.", 6000), ("+6.2", 6200),
        ("1 234 567 mm", None), ("12 600", 12600), ("6200 millimetres", 6200), ("1 millimetre", 1), ("3 metres", 3000),
        ("1 metre", 1000), ("0.0004", 0.4), ("1000000", 1e6), ("1000 m", 1e6), ("−450", -450), ("6,200 m", 6200),
    ],
)  # fmt: skip
def test_lengths_at_their_limits(text: str, mm: float | None) -> None:
    """Decimals under 100 are metres; a kilometre is the most."""
    if mm is None:
        assert "longer than a kilometre" in refused(lambda: length_mm(text, signed=True))[0]
    else:
        assert length_mm(text, signed=True) == mm


def test_each_refusal_of_a_figure_is_whole() -> None:
    assert refused(lambda: length_mm("  ")) == ("nothing is no length: type millimetres (6200) or metres (6.2 m).",)
    assert refused(lambda: length_mm("-1")) == ('"-1" is below nothing: type a length of 0 or more, as 6200 or 6.2 m.',)
    assert refused(lambda: length_mm("1000001")) == (
        '"1000001" is longer than a kilometre: type millimetres (6200) or metres (6.2 m).',
    )
    assert refused(lambda: length_mm("123,456")) == (
        '"123,456" can be read two ways: type millimetres without a comma, or metres with m.',
    )
    long = "1" + " " * 40  # 41 letters
    assert refused(lambda: length_mm(long)) == ('"1" is no length: type millimetres (6200) or metres (6.2 m).',)
    assert length_mm("1" + " " * 39) == 1
    assert refused(lambda: degrees("x" * 50)) == (f'"{"x" * 40}" is no angle: type degrees, as 25 or 22.5.',)
    assert refused(lambda: degrees("1" + " " * 40)) == ('"1" is no angle: type degrees, as 25 or 22.5.',)
    assert degrees("360") == 360
    assert degrees("-360°") == -360
    assert refused(lambda: degrees("360.5")) == ('"360.5" is more than a whole turn: type degrees from -360 to 360.',)


def test_figures_as_they_stand_in_a_field() -> None:
    values = (None, 0, -0.0, -0.0000001, 6200.0, 0.000001, 22.5, True, "bevel", 100)
    assert [figure_words(value) for value in values] == [
        "",
        "0",
        "0",
        "0",
        "6200",
        "0.000001",
        "22.5",
        "True",
        "bevel",
        "100",
    ]


# ---- files that are given


def test_names_keep_an_end_of_ten_letters_and_are_eighty_long_at_most() -> None:
    assert harmless("a.geojsonseq") == "a.geojsonseq"  # ten
    assert harmless("x" * 90 + ".geojsonseqs") == "x" * 79  # eleven: no end
    assert harmless("x" * 90 + ".dxf") == "x" * 76 + ".dxf"
    assert harmless("COM1") == "_COM1"
    assert harmless("com10.txt") == "com10.txt"
    assert harmless("?.png") == "png"
    assert harmless("a?.?.png") == "a.png"


def test_a_file_that_is_too_large_is_told_in_its_tab() -> None:
    assert too_large("../a.csv", 8_500_000) == (
        "a.csv is not taken: it may hold 8.5 MB, and must be a file that can be read."
    )


def test_a_thousand_files_of_one_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uploads, "write_whole", lambda path, data: path.write_bytes(data))
    (tmp_path / "a.b.csv").write_bytes(b"one")
    assert uploads._kept(tmp_path, "a.b.csv", b"one") == "a.b.csv"
    assert uploads._kept(tmp_path, "a.b.csv", b"two") == "a.b-2.csv"
    assert uploads._kept(tmp_path, "none", b"1") == "none"
    assert uploads._kept(tmp_path, "none", b"2") == "none-2"
    (tmp_path / "a.b-3.csv").mkdir()
    assert uploads._kept(tmp_path, "a.b.csv", b"six") == "a.b-4.csv"
    for number in range(2, 1000):
        path = tmp_path / f"full-{number}.csv"
        path.write_bytes(b"")
    (tmp_path / "full.csv").write_bytes(b"")
    assert refused(lambda: uploads._kept(tmp_path, "full.csv", b"x")) == (
        f"{tmp_path / 'full.csv'}: a thousand files of that name are there; move some away.",
    )
    (tmp_path / "full-999.csv").unlink()
    assert uploads._kept(tmp_path, "full.csv", b"x") == "full-999.csv"


# ---- files that are taken away

FILES = (
    "order_sheet.xlsx", "start_here.pdf", "order_purlins.pdf", "site.pdf", "site_measure.csv", "flashings.pdf", "walls.pdf",
    "office.pdf", "roof_plan.dxf", "wall_1.dxf", "roof_plan.svg", "house.html", "house.glb", "house.ifc", "takeoff.json",
)  # fmt: skip
PDFS = ["flashings.pdf", "office.pdf", "order_purlins.pdf", "site.pdf", "start_here.pdf", "walls.pdf"]


class Ordered:
    """A house whose order stands; it writes every file that there is."""

    def __init__(self, ordered: bool = True, refused: bool = False, stands: bool = True) -> None:
        self.known = {News.ORDERED: ordered, News.REFUSED: refused}
        self.order_stands, self.asked = stands, ""

    def current(self, news: News) -> bool:
        return self.known[news]

    async def written(self, out: Path, only: str) -> None:
        self.asked = only
        out.mkdir()
        for name in FILES:
            (out / name).write_bytes(name.encode())


@pytest.mark.parametrize(
    ("key", "only", "name", "inside"),
    [
        ("workbook", "order", "order_sheet.xlsx", None), ("orders", "order", "takeoff_orders.zip", PDFS),
        ("site", "site", "site.pdf", None), ("measure", "site", "site_measure.csv", None),
        ("flashings", "flashings", "flashings.pdf", None), ("walls", "walls", "walls.pdf", None),
        ("office", "office", "office.pdf", None), ("dxf", "dxf", "takeoff_dxf.zip", ["roof_plan.dxf", "wall_1.dxf"]),
        ("svg", "svg", "takeoff_svg.zip", ["roof_plan.svg"]), ("house", "html", "house.html", None),
        ("glb", "models", "house.glb", None), ("ifc", "models", "house.ifc", None), ("json", "start", "takeoff.json", None),
        ("all", "all", "takeoff_all.zip", sorted(FILES)),
    ],
)  # fmt: skip
def test_each_download_is_its_file_or_a_zip_of_its_files(
    key: str, only: str, name: str, inside: list[str] | None
) -> None:
    house: Any = Ordered()
    found, data = asyncio.run(taken_away(house, key))
    assert (found, house.asked) == (name, only)
    if inside is None:
        assert data == name.encode()
        return
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.namelist() == inside
        entries = archive.infolist()
        assert {(one.date_time, one.compress_type) for one in entries} == {
            ((1980, 1, 1, 0, 0, 0), zipfile.ZIP_DEFLATED)
        }
        assert [archive.read(one) for one in inside] == [one.encode() for one in inside]


def test_the_words_of_each_download_and_what_it_needs() -> None:
    assert [(one.key, one.words, one.needs) for one in DOWNLOADS] == [
        ("workbook", "Order sheet (XLSX)", ""), ("orders", "Orders for suppliers and mill (PDF)", ""),
        ("site", "Site paper (PDF)", ""), ("measure", "Form for taped sizes (CSV)", ""), ("flashings", "Flashings (PDF)", ""),
        ("walls", "Walls (PDF)", ""), ("office", "Checks and bases (PDF)", ""), ("dxf", "Drawings (DXF)", ""),
        ("svg", "Drawings (SVG)", ""), ("house", "House to turn (HTML)", ""), ("glb", "Model (GLB)", "ifcopenshell"),
        ("ifc", "Model (IFC)", "ifcopenshell"), ("json", "Data (JSON)", ""), ("all", "Everything (ZIP)", ""),
    ]  # fmt: skip
    assert [one.key for one in DOWNLOADS if one.lacks] in ([], ["glb", "ifc"])


@pytest.mark.parametrize(
    ("house", "key", "words"),
    [
        (Ordered(), "x" * 50, f"there is no download '{'x' * 40}'."),
        (Ordered(refused=True), "site", "The job cannot be taken off: see Findings."),
        (Ordered(ordered=False), "site", "The order of the newest edit is not there yet."),
        (Ordered(stands=False), "site", "NOT AN ORDER: something stops it, see Findings."),
    ],
)
def test_why_nothing_is_taken_away(house: Any, key: str, words: str) -> None:
    assert refused(lambda: asyncio.run(taken_away(house, key))) == (words,)


def test_a_house_without_what_is_asked_for(tmp_path: Path) -> None:
    walls = next(one for one in DOWNLOADS if one.key == "walls")
    assert refused(lambda: packed(tmp_path, walls)) == ("Walls (PDF): this house has none.",)


# ---- addresses


class Feed:
    async def drawing_names(self) -> bytes:
        return b'[["roof_plan","Roof plan"]]'

    async def drawing(self, name: str) -> bytes | None:
        return b"<svg/>" if name == "roof_plan" else None


def answered(response: Any) -> tuple[int, str, bytes]:
    return response.status_code, response.headers["content-type"].partition(";")[0], response.body


def test_what_each_address_answers() -> None:
    feed: Any = Feed()
    assert answered(asyncio.run(routes._names(feed))) == (200, "application/json", b'[["roof_plan","Roof plan"]]')
    assert answered(asyncio.run(routes._drawing(feed, "roof_plan"))) == (200, "image/svg+xml", b"<svg/>")
    assert answered(asyncio.run(routes._drawing(feed, "../job"))) == (404, "text/plain", b"there is no such drawing.")
    house: Any = Ordered()
    for key, kind, name in (
        ("site", "application/pdf", "site.pdf"), ("json", "application/json", "takeoff.json"),
        ("dxf", "application/zip", "takeoff_dxf.zip"), ("measure", "application/octet-stream", "site_measure.csv"),
    ):  # fmt: skip
        response = asyncio.run(routes._file(house, key))
        assert answered(response)[:2] == (200, kind)
        assert response.headers["content-disposition"] == f"attachment; filename*=utf-8''{name}"
        assert response.headers["x-name"] == name


def test_what_cannot_be_answered_is_told_in_words() -> None:
    async def none() -> Any:
        raise TakeoffError("first.", "second.")

    assert answered(asyncio.run(routes._told(none))) == (409, "text/plain", b"first. second.")


# ---- the server


def test_a_port_that_is_taken_is_told_and_any_free_one_is_found() -> None:
    found = serve.free_port(0)
    assert 1024 <= found <= 65535
    assert serve.free_port(found) == found
    with socket.socket() as other:
        other.bind(("127.0.0.1", found))
        other.listen(1)
        assert refused(lambda: serve.free_port(found)) == (
            f"port {found} cannot be used: Address already in use; name another with --port.",
        )


@pytest.mark.parametrize(
    ("changed", "saved", "back", "unkept", "words"),
    [
        (False, "x", "", "", "job.yaml is as it was last saved"),
        (False, "x", "typed", "full", "job.yaml is as it was last saved"),
        (True, None, "", "full", "job.yaml is as it was last saved"),
        (True, None, "typed", "", "what is not saved of job.yaml is kept: the next start finds it"),
        (True, "x", "", "full", "what was not saved of job.yaml is lost: full"),
        (True, "x", "typed", "", "what is not saved of job.yaml is kept: the next start finds it"),
    ],
)
def test_what_stands_when_the_page_ends(changed: bool, saved: str | None, back: str, unkept: str, words: str) -> None:
    copy = SimpleNamespace(changed=changed, saved=saved, back=back, unkept=unkept, path=Path("job.yaml"))
    house: Any = SimpleNamespace(copy=copy)
    assert serve.standing(house) == words


def test_a_job_is_held_by_one_page(tmp_path: Path) -> None:
    job = tmp_path / "new" / "job.yaml"
    with serve.job_held(job):
        assert (tmp_path / "new" / ".job.yaml.page").exists()
        with pytest.raises(UsageError, match="is open in another page"), serve.job_held(job):
            pass
    with serve.job_held(job):
        pass


def test_whether_the_server_takes_calls_yet() -> None:
    port = serve.free_port(0)
    assert not asyncio.run(serve._takes_calls(port))
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as taken:
        taken.bind((serve.HOST, port))
        assert not asyncio.run(serve._takes_calls(port))
        taken.listen(1)
        assert asyncio.run(serve._takes_calls(port))
