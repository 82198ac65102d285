"""Marks of a supplied list, read by hand: each spelling and what it stands for."""

from __future__ import annotations

import pytest

from takeoff.order.comparing.list_marks import mark_key, marks_in


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("P1.05", "p1.5"),
        ("p 12 / 0034", "p12.34"),
        (" P1-7 ", "p1.7"),
        ("P2.03-2b", "p2.3-2b"),
        ("P2.03B", "p2.3b"),
        ("P0.00", "p0.0"),
        ("P1234.5678", "p1234.5678"),
        # five digits, no number of a strip, two letters, another letter before it
        ("P12345.1", ""),
        ("P1.12345", ""),
        ("P1.", ""),
        ("P1.05ab", ""),
        ("A7", ""),
        ("AP1.05", ""),
        ("", ""),
    ],
)
def test_one_mark(text: str, key: str) -> None:
    assert mark_key(text) == key


@pytest.mark.parametrize(
    ("text", "marks"),
    [
        ("P1.05 to P1.07, P3.02", ("p1.5", "p1.6", "p1.7", "p3.2")),
        ("P1.05 - P1.06; P2.01 and P2.04", ("p1.5", "p1.6", "p2.1", "p2.4")),
        ("P10.05–P10.06", ("p10.5", "p10.6")),
        ("P2.09-2b TO p2.11-2b", ("p2.9-2b", "p2.10-2b", "p2.11-2b")),
        ("P1.00 to P1.02", ("p1.0", "p1.1", "p1.2")),
        ("P4.01", ("p4.1",)),
    ],
)
def test_marks_of_a_line(text: str, marks: tuple[str, ...]) -> None:
    """One for each of its sheets: of any other number they do not name them."""
    assert marks_in(text, len(marks)) == marks
    assert marks_in(text, len(marks) - 1) == marks_in(text, len(marks) + 1) == ()


@pytest.mark.parametrize(
    "text",
    [
        "P1.05 to P2.07",  # of two planes
        "P1.05-1 to P1.07-2",  # of two runs
        "P1.05a to P1.07b",  # of two parts
        "P1.05a to P1.07",
        "P1.07 to P1.05",  # backwards
        "P1.05 to P1.05",  # a row of one
        "P1.05, P1.05",  # twice
        "P1.05 to P1.07, P1.06",
        "P1.05, kitchen",
        "kitchen to P1.05",
    ],
)
def test_a_line_that_does_not_name_its_sheets(text: str) -> None:
    assert [marks_in(text, count) for count in range(1, 6)] == [()] * 5


def test_the_longest_row() -> None:
    """P1.01 to P1.200 is 199 steps; 200 steps are too many to be meant."""
    assert marks_in("P1.01 to P1.200", 200) == tuple(f"p1.{number}" for number in range(1, 201))
    assert marks_in("P1.01 to P1.201", 201) == ()
