"""What every course of a wall is cut from, in words: the builder's list, course by course from the foot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order, Takeoff
from takeoff.model.runs import CutPiece
from takeoff.model.walls import BoardPiece, WallBoards
from takeoff.write.words.bought import cut_pieces, pair_words
from takeoff.write.words.words import number


def course_lines(takeoff: Takeoff, order: Order) -> tuple[str, ...]:
    """A line for each course of level boards, or board of upright ones, that is cut like no neighbour: wall, courses,
    lengths [mm] from the left (or from the foot). " + " joins pieces of one board, " / " is an opening or a level break
    between two; rakes are angles off square; an upright board is ripped to what is seen of it, its lap beside."""
    cuts = cut_pieces(order)
    return tuple(line for boards in takeoff.cladding.boards for line in _lines(boards, cuts))


def _lines(boards: WallBoards, cuts: Mapping[str, tuple[CutPiece, ...]]) -> Iterator[str]:
    rows: dict[int, list[str]] = {}
    # of an upright board its cover is told: what the next board laps over is left on it
    seen = " seen" if boards.direction == "vertical" else ""
    for piece in boards.pieces:
        made = cuts.get(piece.id, ())
        lengths = [str(cut.length_mm) for cut in made] or [str(int(half_up(piece.length_mm, 0)))]
        words = " + ".join(lengths)
        words += f" ripped to {piece.ripped_mm:.0f}{seen}" if piece.ripped_mm else ""
        words += _rakes(boards, piece)
        words += f", out of the rest of {piece.rest_of}" if piece.rest_of else ""
        rows.setdefault(piece.row, []).append(words + _sheet_words(piece))
    same: list[tuple[int, int, str]] = []
    for row in sorted(rows):
        words = " / ".join(rows[row])
        if same and same[-1][1] == row - 1 and same[-1][2] == words:
            same[-1] = (same[-1][0], row, words)
        else:
            same.append((row, row, words))
    if boards.direction != "horizontal" and same:
        yield _set_out(boards)
    what = {"horizontal": "course", "sheets": "sheet"}.get(boards.direction, "board")
    for first, last, words in same:
        which = f"{what} {first}" if first == last else f"{what}s {first} to {last}"
        yield f"wall {boards.wall}, {which}: {words}"


def _set_out(boards: WallBoards) -> str:
    """Where the first upright board or sheet begins along the framing: past it at an outside corner."""
    at = int(half_up(boards.marks_mm[0], 0))
    what = "sheets" if boards.direction == "sheets" else "boards"
    place = f"{abs(at)} mm {'before' if at < 0 else 'from'} the left end of the framing" if at else "its left end"
    return f"wall {boards.wall}: {what} set out from {place}"


def _rakes(boards: WallBoards, piece: BoardPiece) -> str:
    """How an upright board is raked at its top and foot, a level one at its left and right end."""
    first, second = piece.rakes_deg
    level = boards.direction == "horizontal"
    ends = (("left end", first), ("right end", second)) if level else (("top", second), ("foot", first))
    return "".join(f" raked {half_up(rake, 1):g}° at the {end}" for end, rake in ends if rake)


def _sheet_words(piece: BoardPiece) -> str:
    """Both sides of a raked sheet at its real edges, and its end lap."""
    left, right = piece.sides_mm
    words = f", left side {left:.0f}, right {right:.0f}" if (left or right) and any(piece.rakes_deg) else ""
    return f"{words}, lapped {piece.lap_mm:.0f} under the next" if piece.lap_mm else words


def wall_pair_lines(order: Order) -> tuple[str, ...]:
    """What raked pairs of wall sheets save, or how they lie in their lengths where they are bought."""
    found: list[str] = []
    for plan in order.wall_pairs:
        if not plan.pairs:
            continue
        saves = f"{len(plan.pairs)} pairs of raked sheets, {number(plan.saving_mm / 1000.0)} m less than sheet by sheet"
        if not plan.bought:
            found.append(f"not bought: {saves}; `settings: {{buy_raked_pairs: true}}` buys them")
            continue
        found.append(saves)
        pairs = {frozenset((pair.first, pair.second)) for pair in plan.pairs}
        for blank in plan.blanks:
            if any(pair <= {part.mark for part in blank.pieces} for pair in pairs):
                found.append(pair_words(blank))
    return tuple(found)
