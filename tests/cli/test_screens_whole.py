"""What the screens print of made-up results, whole, at 80 columns: figures and words by hand; how the columns of a table
stand is a regression figure."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.book.issuing import Issued
from takeoff.model.estate import EstateSummary, OddHouse
from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import Issue, IssueBook, IssuedLine, Standing, StandingLine
from takeoff.model.looked import Looked, LookedBody, LookedLayer, LookedRing, LookedRow
from takeoff.model.order_folder import FolderState, OneWritten, Written
from takeoff.model.roof import EdgeKind
from takeoff.screen import Screen, _show_loads, _show_measures, _show_order, _show_prices, show_each, show_written
from takeoff.screen_book import show_book, show_issued, show_standing
from takeoff.screen_differences import show_explanations, show_folder, show_stored, show_tables
from takeoff.screen_estate import show_estate
from takeoff.screen_look import show_look
from takeoff.write.differences.tables import Table
from takeoff.write.explain.explanation import Explanation

sys.path.insert(0, str(Path(__file__).parent))

from printed_screens import WANTED


def wanted(screen: str) -> list[str]:
    return WANTED[screen].removeprefix("\n").splitlines()


class Read:
    """What was printed since it was last asked."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self) -> list[str]:
        return [line.rstrip() for line in self.capsys.readouterr().out.splitlines()]


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Read:
    monkeypatch.setenv("COLUMNS", "80")
    return Read(capsys)


def ring(number: int, layer: str = "ROOF", **more: Any) -> LookedRing:
    points = ((0.0, 0.0), (14200.0, 0.0), (14200.0, 8400.0), (0.0, 8400.0))
    parts: dict[str, Any] = {"first_edge": 1, "name": ""} | more
    return LookedRing(layer, number, parts.pop("name"), points, 14200.0, 8400.0, 119.28e6, edges_mm=(), **parts)


def test_a_look_at_a_drawing(printed: Read) -> None:
    looked = Looked(
        "plan.dxf", "DXF", "mm", "the drawing says so",
        layers=(LookedLayer("ROOF", 12, 2, 0), LookedLayer("0", 3, 0, 1)),
        rings=(ring(1), ring(2, name="main", first_edge=5, court_of=1), ring(1, "", fault="x", court_of=1)),
        open_rows=tuple(LookedRow((), f"row {at}") for at in range(6)),
        lines=tuple(f"line {at}" for at in range(9)),
        notes=("Two rings are one.",),
    )  # fmt: skip
    show_look(looked, OneWritten(Path("a.svg"), "a-1.svg"))
    assert printed() == wanted("drawing")


def test_a_look_at_a_drawing_whose_unit_nobody_can_tell(printed: Read) -> None:
    looked = Looked(
        "plan.dxf", "DXF", "", "it does not say", could_be=(("mm", "14 m"), ("m", "14 km")),
        layers=(LookedLayer("", 1, 1, 0),), rings=(ring(1, ""),), lines=tuple("abcdefgh"),
    )  # fmt: skip
    show_look(looked, OneWritten(Path("a.svg")))
    assert printed() == wanted("unit")


def test_a_look_at_a_model(printed: Read) -> None:
    bodies = tuple(
        LookedBody(at, name, "roof", (12500.0, 8000.0, 3250.0), 0.0, 9) for at, name in ((1, "1"), (2, "hall"), (3, ""))
    )
    show_look(Looked("a.obj", "OBJ", "m", "", bodies=bodies), None)
    assert printed() == wanted("model")
    many = tuple(ring(at) for at in range(1, 44))
    show_look(Looked("a.dxf", "DXF", "", "", rings=many), None)
    found = printed()
    assert (len(found), found[-1]) == (1 + 1 + 40 + 1, "  and 3 more; --json has them all")
    show_look(Looked("a.dxf", "DXF", "", "", rings=many[:40]), None)
    assert len(printed()) == 42


def test_an_estate(printed: Read) -> None:
    summary = EstateSummary(
        "map.geojson", "houses.csv", False, 4, ("colour", "pich"), (("pich", "pitch_deg"),),
        {"done": 7, "refused": 2, "late": 1},
        totals={"roof_m2": 12345.6, "sheets_m": 0.4, "gutters_m": 0.0, "boards_m": 99.5},
        spread={"bought_over_net": (1.0104, 1.05, 1.2)},
        odd=(OddHouse(3, "Block 3", "roof_m2", 812.5, 140.2504, 9.14), OddHouse(12, "Yard [a]", "gutters_m", 1.0, 40.0, 2.0)),
        refusals=(("has no ring", 3, "Block 1"), ("has two", 1, "Block 2"), *((f"why {at}", 1, f"B{at}") for at in range(6))),
        files=("houses.csv", "summary.json"),
    )  # fmt: skip
    show_estate(summary, Path("out"))
    assert printed() == wanted("estate")
    few = replace(summary, already=0, totals={}, spread={}, odd=(), refusals=summary.refusals[:6], unread=("pich",))
    show_estate(few, Path("out"))
    assert printed() == wanted("small estate")
    show_estate(replace(few, refusals=summary.refusals[:7]), Path("out"))
    assert "  and 1 reasons more, in not_taken_off.csv" in printed()


FROZEN = (
    IssuedLine("purlins", "rail", "Rail [70 x 45]", 6000.0, "each", 1200.0, 0.0, "m", 0.0),
    IssuedLine("purlins", "nail", "Nail", 0.0, "box", -2.0, 0.0, "box", 0.0),
)
ISSUE = Issue(
    3, "2031-05-07", "shed", "B", "", "", ("purlins",), "the yard", "longer", (1, 2), FROZEN, {"a": "1", "b": "2"}
)


def _done(issue: Issue | None) -> Issued:
    stop = Finding("x", Severity.STOP, "Too steep.", "Look again.", ("P1", "P2"))
    taken: Any = SimpleNamespace(job=SimpleNamespace(job="shed", revision="B"), stops=(stop,))
    return Issued(issue, taken, Path("book/3"))


def test_an_issue(printed: Read) -> None:
    show_issued(_done(ISSUE))
    assert printed() == wanted("issue")
    show_issued(_done(replace(ISSUE, supersedes=(), to="", lines=FROZEN[:1])))
    assert printed() == wanted("first issue")
    show_issued(_done(None))
    assert printed() == wanted("withheld")


def test_a_book(printed: Read) -> None:
    show_book(IssueBook(()))
    assert printed() == ["nothing was issued yet"]
    first = replace(ISSUE, number=1, supersedes=(), deliveries=("purlins", "walls"), lines=FROZEN[:1], to="", note="")
    show_book(IssueBook((first, ISSUE), ("a line is gone",), ("3/order.xlsx",)))
    assert printed() == wanted("book")
    show_book(IssueBook((), ("it is empty",)))
    assert printed() == ["no  date  rev  deliveries  lines  varies  to  note", "damaged: it is empty"]


def _stands(delivery: str, wanted: float, ordered: float, *numbers: int) -> StandingLine:
    return StandingLine("L1", delivery, "i", "n", 0.0, "each", wanted, ordered, 0.0, "each", 0.0, numbers)


def test_how_an_order_stands_to_the_book(printed: Read) -> None:
    lines = (_stands("walls", 2.0, 2.0, 1), _stands("purlins", 2.0, 2.0, 1), _stands("purlins", 3.0, 3.0, 1),
             _stands("purlins", 3.0, 2.0, 1), _stands("purlins", 0.0, 2.0, 1), _stands("walls", 2.0, 0.0))  # fmt: skip
    show_standing(Screen(highlight=False), Standing(lines, (1,)))
    assert printed() == wanted("standing")
    show_standing(Screen(highlight=False), Standing(lines, (1,), faults=("damaged",)))
    assert printed() == []


def _table(rows: int) -> Table:
    return Table(
        "Sheets",
        "Bought otherwise.",
        ("mark", "mm"),
        (False, True),
        tuple((f"P{at}", 1200.5 * at) for at in range(rows)),
    )


def test_tables_of_differences(printed: Read) -> None:
    odd = Table("Odd", "All.", ("a", "b"), (True, False), (("[x]", None),))
    show_tables("house", (_table(0), odd, _table(2)), written=False)
    assert printed() == wanted("tables")
    for written, rest in ((False, ": give --out FILE.xlsx for all of them"), (True, "; the workbook has them all")):
        show_tables("house", (_table(42),), written=written)
        found = printed()
        assert (len(found), found[-1]) == (3 + 1 + 40 + 1, f"  and 2 more{rest}")
    show_tables("house", (_table(40),), written=True)
    assert len(printed()) == 44


def test_a_store_with_and_without_files(printed: Read) -> None:
    show_stored(SimpleNamespace(title="tank", tables=(), written=None))  # type: ignore[arg-type]
    assert printed() == ["tank"]
    written = Written(
        Path("out"), (Path("a"), Path("b")), (("order.xlsx", "order-1.xlsx"),), ("L1: later",), "it is locked"
    )
    show_stored(SimpleNamespace(title="tank", tables=(), written=written))  # type: ignore[arg-type]
    assert printed() == ["tank", *wanted("written")]
    show_written(Screen(highlight=False), Written(Path("out"), (Path("a"),)))
    assert printed() == ["1 file in out"]
    # a name between colons is a name
    show_written(Screen(highlight=False), Written(Path(":house:"), (Path("a"),)))
    assert printed() == ["1 file in :house:"]


def test_explanations(printed: Read) -> None:
    both = Explanation("P1.01", ("a sheet", "3,000 mm"), ("3 x 1",), ("plane P1", "edge E1"))
    show_explanations((both, Explanation("L1", ("a line",)), Explanation("E1", (), (), ("roof",))))
    assert printed() == wanted("explanations")


def test_the_folder_of_an_order(printed: Read) -> None:
    state = FolderState(
        Path("out"), "shed [a]", "abc123", 12, (), ("order.xlsx", "b"), ("L1", "L2"), 20, ("A note.",), True
    )
    show_folder(state)
    assert printed() == wanted("folder")
    show_folder(replace(state, edited=(), differing=(), notes=(), job_changed=False))
    assert printed() == wanted("whole folder")
    show_folder(replace(state, lines=0, differing=(), edited=(), notes=(), job_changed=False))
    assert printed() == [wanted("whole folder")[0], wanted("whole folder")[2]]
    show_folder(FolderState(Path("out"), faults=("a is gone", "b is gone"), differing=("L1",), lines=3, files=4))
    assert printed() == ["not whole: a is gone", "not whole: b is gone"]


def test_findings_and_measures(printed: Read) -> None:
    note, warn = (Finding("x", severity, "Steep...", "", ()) for severity in (Severity.NOTE, Severity.WARN))
    show_each(Screen(highlight=False), (note, warn, Finding("x", Severity.STOP, "A word " * 14, "Look.", ("P1", "P2"))))
    assert printed() == wanted("findings")
    plane = SimpleNamespace(area_mm2=20e6, plan_area_mm2=17.5e6)
    edges = [
        SimpleNamespace(kind=kind, length_mm=mm)
        for kind, mm in ((EdgeKind.EAVE, 6000.0), (EdgeKind.HIP, 1250.0), (EdgeKind.EAVE, 4000.0))
    ]
    roofs = [
        SimpleNamespace(name="main", planes=[plane, plane], own_edges=edges),
        SimpleNamespace(name="shed", planes=[plane], own_edges=[]),
    ]
    _show_measures(Screen(highlight=False), SimpleNamespace(roofs=roofs))  # type: ignore[arg-type]
    assert printed() == [
        "roof main: 2 planes, 40.00 m2 on the slope, 35.00 m2 in plan",
        "  eave 10.00 m, hip 1.25 m",
        "roof shed: 1 plane, 20.00 m2 on the slope, 17.50 m2 in plan",
        "",
    ]


def test_prices_and_loads(printed: Read) -> None:
    prices = SimpleNamespace(amount=1234.5, currency="dollars", lines=[1, 2], extra=12.0, total=1246.5, tax=187.0, tax_name="GST",
                             tax_percent=15.0, with_tax=1433.5)  # fmt: skip
    for changed, words in (
        (
            {},
            "prices: 1,234.50 dollars for 2 of 3 lines, extras 12.00 apart, together 1,246.50, with 187.00 GST 1,433.50",
        ),
        ({"currency": "", "extra": 0.0, "tax_percent": 0.0}, "prices: 1,234.50 for 2 of 3 lines"),
    ):
        of = SimpleNamespace(prices=SimpleNamespace(**(vars(prices) | changed)), lines=[1, 2, 3])
        _show_prices(Screen(highlight=False), of)  # type: ignore[arg-type]
        assert " ".join(line.strip() for line in printed()) == words
    trips = [SimpleNamespace(kg=1499.6), SimpleNamespace(kg=800.0)]
    loads = SimpleNamespace(reason="long sheets", trips=trips, truck=SimpleNamespace(name="the flatbed"), least=1)
    for houses, reason, words in (
        (None, "long sheets", "loads: 2 trips of the flatbed (1,500 kg, 800 kg), at least 1; long sheets"),
        ("two", "", "loads of each house: 2 trips of the flatbed (1,500 kg, 800 kg), at least 1"),
    ):
        said = SimpleNamespace(**(vars(loads) | {"reason": reason}))
        _show_loads(Screen(highlight=False), SimpleNamespace(loads=said, houses=houses))  # type: ignore[arg-type]
        assert printed() == [words]
    _show_loads(Screen(highlight=False), SimpleNamespace(loads=None))  # type: ignore[arg-type]
    _show_prices(Screen(highlight=False), SimpleNamespace(prices=None))  # type: ignore[arg-type]
    _show_order(Screen(highlight=False), SimpleNamespace(order=None))  # type: ignore[arg-type]
    assert printed() == []
