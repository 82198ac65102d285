"""Lines of a quotation against lines of an order, one at a time and whole, by hand: counts, prices, sums and names."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.basis import Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import Order, OrderLine, PricedLine, Prices
from takeoff.model.quotation import Quotation, QuoteCheck, QuoteDifference, QuotedLine, QuoteFault
from takeoff.order.comparing.check_quotation import check_quotation


def line(
    number: int, item: str, count: float, each_mm: float = 0.0, unit: str = "each", where: str = "purlins"
) -> OrderLine:
    total, total_unit = (round(count * each_mm / 1000.0, 3), "m") if each_mm else (count, unit)
    of = Item(item, item, ItemKind.TIMBER, Trade.PURLINS, "length")
    return OrderLine(f"L{number}", where, of, count, unit, each_mm, total, total_unit, 0.0, (), Working(""))


LINES = (
    line(1, "purlin_70x45", 10, 6000.0),
    line(2, "purlin_70x45", 4, 4800.0),
    line(3, "purlin_screw", 2, unit="box"),
    line(4, "framing_nail", 1, unit="box"),
    line(5, "weatherboard", 3, 4200.0, where="walls"),
    replace(line(6, "cut_raked_ends", 7), labour=True),
)
NAMES = {
    "purlin_70x45": "Purlin 70 x 45",
    "purlin_screw": "Purlin screw, box of 500",
    "framing_nail": "Framing nail, box of 500",
}
# 4.20 a metre, 90 a box
PRICES = Prices("dollars", (PricedLine("L1", 4.2, 252.0), PricedLine("L3", 90.0, 180.0)), (), 432.0, 0.0, 432.0)
ORDER = Order(LINES, (), (), 0.0, 0.0, 0.0, 0.0, prices=PRICES)


def checked(*lines: QuotedLine, delivery: str = "", order: Order = ORDER) -> QuoteCheck:
    return check_quotation(Quotation("q", "s", lines), order, NAMES, delivery)


Told = tuple[list[str], float, float]


def told(check: QuoteCheck) -> Told:
    """Faults of what is quoted, what it comes to, and our counts at those prices."""
    faults = [one.fault.value for one in check.differences if one.fault is not QuoteFault.MISSING]
    assert check.agree == (check.matched if not faults else 0)
    return faults, check.amount, check.ours_at_theirs


PURLIN, SCREW, NAIL = "Purlin 70 x 45", "Purlin screw, box of 500", "Framing nail, box of 500"
M6, M48 = 6000.0, 4800.0


@pytest.mark.parametrize(
    ("quoted", "wanted"),
    [
        # a price a piece of 6 m, 25.20, by its own amount; without one; and a price a metre by its own amount
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", 25.2, 252.0), ([], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", 25.2, None), ([], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, 0.0, 10, "each", 25.2, None), ([], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", 4.2, 252.0), ([], 252.0, 252.0)),
        # in metres, however they write them
        (QuotedLine(2, "1", PURLIN, M6, 60, "m", 4.2, None), ([], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, M6, 60, "LM", 4.2, 252.0), ([], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, M6, 60, "Metres", None, 252.0), ([], 252.0, 252.0)),
        # an amount alone: over 10 x 6 m, over boxes
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", None, 252.0), ([], 252.0, 252.0)),
        (QuotedLine(2, "4", NAIL, 0.0, 1, "box", None, 30.0), ([], 30.0, 30.0)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", None, 180.0), ([], 180.0, 180.0)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.0, None), ([], 180.0, 180.0)),
        # no price, and an amount for nothing
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", None, None), (["no price"], 0.0, 0.0)),
        (QuotedLine(2, "4", NAIL, 0.0, 0, "box", None, 30.0), (["less", "no price"], 30.0, 0.0)),
        # half a cent is no other price, more is; a line that we have no price for has none
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.0049, None), ([], 180.01, 180.01)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.006, None), (["price"], 180.01, 180.01)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 89.99, None), (["price"], 179.98, 179.98)),
        (QuotedLine(2, "2", PURLIN, M48, 4, "each", 9.9, None), ([], 39.6, 39.6)),
        # a sum may be a cent off, not two; twice 4.20 a metre for ten lengths of 6 m is neither
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.0, 180.01), ([], 180.01, 180.0)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.0, 180.02), (["sum is wrong"], 180.02, 180.0)),
        (QuotedLine(2, "3", SCREW, 0.0, 2, "box", 90.0, 179.98), (["sum is wrong"], 179.98, 180.0)),
        (QuotedLine(2, "1", PURLIN, M6, 10, "each", 4.2, 504.0), (["sum is wrong"], 504.0, 252.0)),
        # more and less, in pieces and in metres
        (QuotedLine(2, "1", PURLIN, M6, 11, "each", 25.2, None), (["more"], 277.2, 252.0)),
        (QuotedLine(2, "1", PURLIN, M6, 54, "m", 4.2, None), (["less"], 226.8, 252.0)),
        (QuotedLine(2, "3", SCREW, 0.0, 3, "m", 90.0, None), (["more"], 270.0, 180.0)),
        # under our number another thing, another length of it, and a length a millimetre off, or nearly
        (QuotedLine(2, "1", "Deck board", M6, 10, "each", 25.2, None), (["substituted"], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, M48, 10, "m", 4.2, None), (["substituted", "less"], 42.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, 6001.0, 60, "m", 4.2, None), (["substituted"], 252.0, 252.0)),
        (QuotedLine(2, "1", PURLIN, 5999.1, 60, "m", 4.2, None), ([], 252.0, 252.0)),
        # by number as we write it, by id, by name in other letters; with a length of its own and by it alone
        (QuotedLine(2, "l3", SCREW, 0.0, 2, "box", 90.0, None), ([], 180.0, 180.0)),
        (QuotedLine(2, "", "PURLIN-70x45", M48, 4, "each", 9.6, None), ([], 38.4, 38.4)),
        (QuotedLine(2, "", "framing nail (box of 500)", 0.0, 1, "box", 30.0, None), ([], 30.0, 30.0)),
        # by a name that is like it, in any order of words, and not by one that is not
        (QuotedLine(2, "", "box of 500 purlin screws", 0.0, 2, "box", 90.0, None), ([], 180.0, 180.0)),
        (QuotedLine(2, "", "Purlin bolt", 0.0, 2, "box", 9.0, None), (["not ours"], 18.0, 0.0)),
        (QuotedLine(2, "", "Purlin 70 x 45", 3000.0, 2, "each", 9.0, None), (["not ours"], 18.0, 0.0)),
        # what is not ours: at its amount, or its price, by the metre or not
        (QuotedLine(2, "", "Bucket", 0.0, 3, "each", 9.5, None), (["not ours"], 28.5, 0.0)),
        (QuotedLine(2, "", "Bucket", 0.0, 3, "each", 9.5, 30.0), (["not ours"], 30.0, 0.0)),
        (QuotedLine(2, "", "Rope", M6, 3, "m", 9.5, None), (["not ours"], 28.5, 0.0)),
        (QuotedLine(2, "", "Rope", 0.0, 3, "m", None, None), (["not ours"], 0.0, 0.0)),
        # a line of labour is not bought
        (QuotedLine(2, "6", "Cut raked ends", 0.0, 7, "each", 1.0, None), (["not ours"], 7.0, 0.0)),
    ],
)  # fmt: skip
def test_a_quoted_line(quoted: QuotedLine, wanted: Told) -> None:
    faults, amount, ours = told(checked(quoted))
    assert (faults, amount, ours) == (wanted[0], pytest.approx(wanted[1], abs=1e-9), pytest.approx(wanted[2], abs=1e-9))


def test_differences_are_told_whole() -> None:
    """3 screws for 2 at 100 for all, 33.3333 a box; a bucket; the purlins are missing, the wall's boards not asked for."""
    lines = (QuotedLine(5, "3", "Screws", 0.0, 3, "box", None, 100.0), QuotedLine(6, "", "Bucket", 250.0, 4, "each", 9.0, None),
             QuotedLine(7, "2", PURLIN, M48, 19.2, "m", 3.0, 57.6))  # fmt: skip
    check = checked(*lines)
    found = ("purlins", "L3", "Purlin screw, box of 500", "Screws", 5, 2, 3, 90.0, 33.3333)
    assert check == QuoteCheck(
        Quotation("q", "s", lines),
        ("purlins",),
        (
            QuoteDifference(QuoteFault.SUBSTITUTED, *found),
            QuoteDifference(QuoteFault.MORE, *found),
            QuoteDifference(QuoteFault.PRICE, *found),
            QuoteDifference(QuoteFault.NOT_OURS, "", "", "", "Bucket, 250 mm", 6, 0.0, 4, None, 9.0),
            QuoteDifference(QuoteFault.MISSING, "purlins", "L1", "Purlin 70 x 45, 6000 mm", "", 0, 10, 0.0, 4.2, None),
            QuoteDifference(QuoteFault.MISSING, "purlins", "L4", NAIL, "", 0, 1, 0.0, None, None),
        ),
        2,
        1,
        193.6,
        124.27,  # 2 x 33.3333 and 19.2 x 3
    )


def test_the_deliveries_that_are_held_against() -> None:
    board = QuotedLine(2, "5", "Weatherboard", 4200.0, 3, "each", 9.0, None)
    check = checked(board)
    assert (check.deliveries, check.differences, check.agree) == (("walls",), (), 1)
    # one that is asked for counts though nothing of it is quoted, and its lines alone are ours
    check = checked(board, delivery="purlins")
    assert check.deliveries == ("purlins",)
    assert [(one.fault, one.line) for one in check.differences] == [
        (QuoteFault.NOT_OURS, ""),
        *((QuoteFault.MISSING, f"L{number}") for number in (1, 2, 3, 4)),
    ]
    # without prices of our own there is none to differ from
    bare = replace(ORDER, prices=None)
    assert told(checked(QuotedLine(2, "3", SCREW, 0.0, 2, "box", 7.0, None), order=bare)) == ([], 14.0, 14.0)
    with pytest.raises(UsageError) as caught:
        checked(board, delivery="wals")
    assert str(caught.value) == "--delivery: there is no wals; did you mean walls?"


def test_two_that_want_one_line_of_ours() -> None:
    """The one that names our number takes it, wherever it stands; of two names that of the likeness."""
    by_name = QuotedLine(2, "", NAIL, 0.0, 1, "box", 1.0, None)
    by_number = QuotedLine(3, "L4", NAIL, 0.0, 1, "box", 2.0, None)
    check = checked(by_name, by_number)
    assert [(one.fault, one.row) for one in check.differences if one.row] == [(QuoteFault.NOT_OURS, 2)]
    again = checked(by_number, replace(by_number, row=4))
    assert (again.matched, again.differences[0].fault, again.differences[0].row) == (1, QuoteFault.NOT_OURS, 4)
    likely = QuotedLine(2, "", "nails framing box of 500", 0.0, 1, "box", 1.0, None)
    more = QuotedLine(3, "", "framing nails, box of 500", 0.0, 1, "box", 2.0, None)
    check = checked(replace(likely, item="nails framing boxed of 500"), more)
    assert [(one.fault, one.row) for one in check.differences if one.row] == [(QuoteFault.NOT_OURS, 2)]


def test_what_has_no_length_is_not_counted_by_the_metre() -> None:
    """Five of ours, sold by number and without a length, quoted as five metres: a count like another."""
    clip = replace(ORDER, lines=(line(1, "clip", 5),), prices=None)
    assert told(checked(QuotedLine(2, "1", "clip", 0.0, 5, "m", 2.0, None), order=clip)) == ([], 10.0, 10.0)


@pytest.mark.parametrize(
    ("ours", "theirs", "found"),
    [
        # of 13 and 12 letters 9 stand in both: 18 of 25 are just alike enough; of 13 and 13 they are not
        ("rail aaaabbbb", "rail aaaaccc", True),
        ("rail aaaabbbb", "rail aaaacccc", False),
        # without a word in common two names mean two things, however alike
        ("aaaabbbbc", "aaaabbbbd", False),
        ("aaaabbbbc x", "aaaabbbbd x", True),
        ("rail aaaabbbb", "bbbb rail aaaa", True),
    ],
)
def test_names_that_are_alike(ours: str, theirs: str, found: bool) -> None:
    own = replace(ORDER, lines=(line(1, ours, 2, unit="box"),), prices=None)
    check = checked(QuotedLine(2, "", theirs, 0.0, 2, "box", 7.0, None), order=own)
    assert check.matched == found


def test_our_own_id_is_no_substitute() -> None:
    """Under our number, by our name or our id; anything that is called so otherwise is another thing."""
    own = replace(ORDER, lines=(line(1, "z1q", 2, unit="box"),), prices=None)
    faults = {}
    for item in ("z1q", "Z1Q", "Roof bolt, long", "Tarpaulin"):
        quoted = Quotation("q", "s", (QuotedLine(2, "1", item, 0.0, 2, "box", 7.0, None),))
        check = check_quotation(quoted, own, {"z1q": "Roof bolt, long"})
        faults[item] = [one.fault for one in check.differences]
    assert faults == {"z1q": [], "Z1Q": [], "Roof bolt, long": [], "Tarpaulin": [QuoteFault.SUBSTITUTED]}


@pytest.mark.parametrize(
    ("amount", "rate"), [(30.0, 6.6667), (45.0, 10.0), (37.4, 6.6667), (37.6, 10.0), (None, 6.6667)]
)
def test_a_price_of_a_piece_or_of_a_metre(amount: float | None, rate: float) -> None:
    """Three of 1.5 m at 10: 30 says a piece, 45 a metre; between the two the nearer; without a sum a piece."""
    own = replace(
        ORDER,
        lines=(line(1, "rail", 3, 1500.0),),
        prices=Prices("dollars", (PricedLine("L1", 1.0, 4.5),), (), 4.5, 0.0, 4.5),
    )
    check = checked(QuotedLine(2, "1", "rail", 1500.0, 3, "each", 10.0, amount), order=own)
    assert {one.their_rate for one in check.differences} == {rate}
