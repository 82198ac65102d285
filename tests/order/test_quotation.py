"""A supplier's quotation against our lines: what is wrong with each, by hand, from CSV and XLSX alike."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from openpyxl import Workbook

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.cli import main
from takeoff.model.basis import Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import Order, OrderLine, PricedLine, Prices
from takeoff.model.quotation import QuoteCheck
from takeoff.order.comparing.check_quotation import check_quotation
from takeoff.pipeline import run_file
from takeoff.read.lists.quotation_file import read_money, read_quotation
from takeoff.write.words.item_names import item_name


def line(number: int, item: str, count: float, each_mm: float = 0.0, unit: str = "each") -> OrderLine:
    total, total_unit = (round(count * each_mm / 1000.0, 3), "m") if each_mm else (count, unit)
    of = Item(item, item, ItemKind.TIMBER, Trade.PURLINS, "length")
    return OrderLine(f"L{number}", "purlins", of, count, unit, each_mm, total, total_unit, 0.0, (), Working(""))


LINES = (
    line(1, "purlin_70x45", 10, 6000.0),
    line(2, "purlin_70x45", 4, 4800.0),
    line(3, "purlin_screw", 2, unit="box"),
    line(4, "framing_nail", 1, unit="box"),
)
NAMES = {
    "purlin_70x45": "Purlin 70 x 45",
    "purlin_screw": "Purlin screw, box of 500",
    "framing_nail": "Framing nail, box of 500",
}
PRICES = Prices("dollars", (PricedLine("L1", 4.2, 252.0), PricedLine("L3", 90.0, 180.0)), (), 432.0, 0.0, 432.0)
ORDER = Order(LINES, (), (), 0.0, 0.0, 0.0, 0.0, prices=PRICES)
HEAD = "line,item,length mm,qty,unit,price,amount\n"


def checked(path: Path, text: str, delivery: str = "") -> QuoteCheck:
    path.write_text(text, encoding="utf-8")
    return check_quotation(read_quotation(path), ORDER, NAMES, delivery)


def told(check: QuoteCheck) -> list[tuple[str, str, int]]:
    return [(one.fault.value, one.line, one.row) for one in check.differences]


@pytest.fixture
def quote(tmp_path: Path) -> Path:
    return tmp_path / "quote.csv"


def test_a_quotation_of_just_that_agrees(quote: Path) -> None:
    """10 x 6 m at 4.20 a metre is 252.00; 4 x 4.8 m are 80.64; 2 boxes at 90 are 180; a box at 30."""
    check = checked(
        quote,
        HEAD + "1,Purlin 70 x 45,6000,10,,4.20,252.00\n2,Purlin 70x45,4.8 m,4,,4.20,80.64\n"
        "3,Purlin screw,,2,box,90,180\n,Framing nail box of 500,,1,box,30,30\ntotal,,,,,,542.64\n",
    )
    assert (told(check), check.matched, check.agree) == ([], 4, 4)
    assert (check.amount, check.ours_at_theirs, check.deliveries) == (542.64, 542.64, ("purlins",))


def test_each_fault_is_told_once_with_its_rows(quote: Path) -> None:
    check = checked(
        quote,
        HEAD + "1,Purlin 70 x 45,6000,12,,4.50,324.00\n2,Steel batten 40,4800,3,,,\n3,Purlin screw,,2,box,90,170\n"
        ",Ridge vent,,5,each,12,60\n",
    )
    assert told(check) == [
        ("more", "L1", 2),
        ("price", "L1", 2),
        ("substituted", "L2", 3),
        ("less", "L2", 3),
        ("no price", "L2", 3),
        ("sum is wrong", "L3", 4),
        ("not ours", "", 5),
        ("missing", "L4", 0),
    ]
    price = check.differences[1]
    assert (price.our_rate, price.their_rate, price.our_count, price.their_count) == (4.2, 4.5, 10, 12)


def test_prices_a_piece_and_metres_are_read_as_what_they_are(quote: Path) -> None:
    """25.20 a piece of 6 m is 4.20 a metre; 60 m of 6 m lengths are ten."""
    check = checked(quote, HEAD + ",Purlin 70 x 45,6000,10,each,25.20,252\n")
    assert [one.fault.value for one in check.differences] == ["missing"] * 3
    check = checked(quote, HEAD + ",purlin_70x45,6000,60,m,4.20,252\n")
    assert [one.fault.value for one in check.differences] == ["missing"] * 3


def test_another_length_under_our_line_is_a_substitute(quote: Path) -> None:
    check = checked(quote, HEAD + "1,Purlin 70 x 45,5400,10,,4.20,226.80\n")
    assert told(check)[0] == ("substituted", "L1", 2)


def test_two_lengths_of_one_item_are_paired_by_length_not_by_their_order(quote: Path) -> None:
    """The supplier lists the shorter first, without our line numbers."""
    text = HEAD + ",Purlin 70 x 45,4800,4,,4.20,80.64\n,Purlin 70 x 45,6000,10,,4.20,252.00\n"
    assert [each for each in told(checked(quote, text)) if each[1] in ("L1", "L2")] == []


def test_one_delivery_alone_and_one_that_there_is_not(quote: Path) -> None:
    text = HEAD + ",Ridge vent,,5,each,12,60\n"
    assert len(checked(quote, text, "purlins").differences) == 5
    assert checked(quote, text).deliveries == ()
    with pytest.raises(UsageError, match="no purlin; did you mean purlins"):
        checked(quote, text, "purlin")


def test_a_workbook_reads_as_its_csv(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(["Quotation 17"])
    sheet.append(["Line", "Description", "Length (mm)", "Quantity", "Unit", "Unit price", "Total"])
    sheet.append([1, "Purlin 70 x 45", 6000, 10, "each", 25.2, 252.0])
    data = io.BytesIO()
    book.save(data)
    path = tmp_path / "quote.xlsx"
    path.write_bytes(data.getvalue())
    assert len(read_quotation(path).lines) == 1
    assert [one.fault.value for one in check_quotation(read_quotation(path), ORDER, NAMES).differences] == [
        "missing"
    ] * 3
    with pytest.raises(UsageError, match="has no sheet"):
        read_quotation(path, "Prices")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("item,qty\na,1\n", "no heading row with an item, a quantity and a price"),
        (HEAD + "1,a,6000,many,,4,4\n", "row 2: 'many' is no quantity"),
        (HEAD + "1,a,6000,1,,-4,4\n", "row 2: '-4' is no price"),
        (HEAD + "1,a,6 ft,1,,4,4\n", "ft is not read"),
        (HEAD + "1,,6000,1,,4,4\n", "a quantity (1) without an item"),
        (HEAD, "no line with an item and a quantity"),
        (HEAD + "1,a,,1e999,,4,4\n", "is no quantity"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_row(quote: Path, text: str, said: str) -> None:
    quote.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableFileError) as caught:
        read_quotation(quote)
    assert any(said in fault for fault in caught.value.faults), caught.value.faults


def test_money_by_hand() -> None:
    assert read_money("4,20", commas=True) == 4.2
    assert read_money("1 234.50 dollars") == 1234.5
    assert read_money(None) is None
    assert read_money("-") is None
    with pytest.raises(ValueError, match="is no price"):
        read_money(float("nan"))


def test_our_own_order_quoted_back_agrees(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "job.yaml").write_text(
        "job: Hut\nroofs: [{outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], pitch_deg: 20}]\n", encoding="utf-8"
    )
    order = run_file(tmp_path).order
    assert order is not None
    rows = [
        f'"{item_name(one.of)}",{one.each_mm or ""},{one.count},{one.unit},1.00'
        for one in order.lines
        if not one.labour
    ]
    quote = tmp_path / "quote.csv"
    quote.write_text("\n".join(["item,length mm,qty,unit,price", *rows, ""]), encoding="utf-8")
    for text, code in (
        (quote.read_text(encoding="utf-8"), 0),
        ("\n".join(["item,length mm,qty,unit,price", *rows[1:]]), 7),
    ):
        quote.write_text(text, encoding="utf-8")
        monkeypatch.setattr("sys.argv", ["takeoff", "check", str(tmp_path), str(quote), "--quotation"])
        with pytest.raises(SystemExit) as left:
            main()
        shown = capsys.readouterr().out
        assert left.value.code == code, shown
    assert "missing" in shown
