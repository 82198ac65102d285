"""Lines of a job file: what is said of them, what changed, and line ends that stay as they were."""

from __future__ import annotations

import pytest

from takeoff.web.text_lines import DiffLine, SaidOfLine, changed_lines, counted, plain_ends, said_of_line, with_ends_of


@pytest.mark.parametrize(
    ("text", "typed", "due"),
    [
        ("a\nb\n", "a\nc\n", "a\nc\n"),
        ("a\r\nb\r\n", "a\nc\nd\n", "a\r\nc\r\nd\r\n"),
        ("a\nb\r\nc\r\n", "a\nx\nc\n", "a\nx\r\nc\r\n"),
        ("a\r\nb", "a\nb", "a\r\nb"),
        ("", "a\n", "a\n"),
        ("a\r\n", "", ""),
    ],
)
def test_line_ends_stay(text: str, typed: str, due: str) -> None:
    assert with_ends_of(typed, text) == due
    assert plain_ends(due) == typed


def test_a_text_that_was_not_changed_is_not_changed() -> None:
    text = "a\nb\r\n\r\nc\n\nd"
    assert with_ends_of(plain_ends(text), text) == text


def test_what_changed_has_its_numbers() -> None:
    assert changed_lines("a\nb\nc\n", "a\nB\nc\n") == (
        DiffLine(" ", 1, "a"), DiffLine("-", 2, "b"), DiffLine("+", 2, "B"), DiffLine(" ", 3, "c"),
    )  # fmt: skip
    assert changed_lines("a\r\nb", "a\nb") == ()


def test_faults_know_their_line() -> None:
    said = [
        said_of_line("job.yaml:7:3: roofs[1]: no"),
        said_of_line("stop: x", "job.yaml:7:9"),
        said_of_line("at 12:30: y"),
    ]
    assert said[:2] == [SaidOfLine(7, "roofs[1]: no"), SaidOfLine(7, "stop: x")]
    assert said[2].line == 0
    assert counted(said) == {7: 2}
