"""Pairs of cut sheets: two pieces out of one square length, where outlines, hands and laps allow it.

The mill cuts square only; rakes are cut on site, and the offcut of one rake can be the sheet of another:

      +-----+       turned end for end, face up, an offcut keeps the hand of its rake and changes the side of its lap:
      |  B  |       it fits the same hand on a plane laid the opposite way (or any, when the profile is the same after a
      |    .'       half turn). Not turned it fits the raked foot of a valley that rises the same way, on a plane laid
      |  .' |       the same way. Turning a sheet over would show its back: never done.
      .'  A |
      +-----+
The blank of a pair is the two short sides, one rake over the overall width and both raked allowances. Ends cut to two
lines join where their outlines nest. Common practice, no source. Off unless the setting `buy_raked_pairs` asks for it:
one bad cut kills two sheets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING

from takeoff.basics.records import record
from takeoff.basics.rounding import round_up_mm
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.settings import Settings
from takeoff.model.sheets import BlankPart, CutShape, PairPlan, PlaneSheets, RakedPair, SheetBlank, SheetPiece
from takeoff.order.sheets.matching import BEST, MOST_EDGES, Edge, best_pairs
from takeoff.order.sheets.nesting import EndLine, end_line, nested_mm
from takeoff.order.sheets.sheet_blanks import guests_of, numbered, pieces_of, plain_blanks, with_guests

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LEANING_MM = TOLERANCES.leaning_mm
_AT_ONCE = 200_000  # places of the table of ends against ends that are worked out in one go


@record
class Half:
    """A piece that may be half of a pair by one of its ends.

    `line` is that end's outline. `rake_deg` and `rises` (the side towards which it rises seen from below its eave) are
    those of one rake over the whole width, 0 and "" for any other end. `alone_mm` is what the piece adds to the list
    without a partner, `guests_mm` the short pieces that may be cut from it.
    """

    piece: SheetPiece
    end: str  # "top" or "foot"
    line: EndLine
    rises: str
    rake_deg: float
    alone_mm: float
    guests_mm: float = 0.0

    @property
    def simple(self) -> bool:
        """True for one rake over the whole width."""
        return self.rake_deg > 0.0


def halves_of(
    piece: SheetPiece, profile: Profile, guests: Iterable[SheetPiece] = (), least_run_mm: float = 0.0
) -> tuple[Half, ...]:
    """The ends by which a piece may be half of a pair: none for a square sheet, a ripped or notched one and one with a
    hole. A piece shorter than the mill's least run is bought at it, or cut from a longer one."""
    guests_mm = sum(guest.order_mm for guest in guests)
    alone = piece.order_mm if piece.cut_from or guests_mm else max(piece.order_mm, least_run_mm)
    found = []
    for end, cut in (("top", piece.top), ("foot", piece.foot)):
        line = end_line(piece, end, profile.overall_mm)
        if line is None:
            continue
        whole = cut.shape is CutShape.RAKED and line.points[-1][0] - line.points[0][0] >= profile.overall_mm - 1.0
        # a top rises towards its longer side, a foot away from it
        other = "left" if cut.hand == "right" else "right"
        rises = (cut.hand if end == "top" else other) if whole else ""
        found.append(Half(piece, end, line, rises, cut.rake_deg if whole else 0.0, alone, guests_mm))
    return tuple(found)


@record
class PairRule:
    """What pairs of one profile go by: its width, whether it is the same after a half turn, the longest length, how
    near two rakes are one [degrees], the allowance of each cut sheet, the step that lengths are bought in and the
    mill's least run [mm]."""

    overall_mm: float
    half_turn_same: bool
    limit_mm: float
    rake_deg: float
    allowance_mm: float
    step_mm: float
    least_mm: float

    @classmethod
    def of(cls, profile: Profile, limit_mm: float, settings: Settings) -> PairRule:
        """By the settings."""
        return cls(
            profile.overall_mm,
            profile.half_turn_same,
            limit_mm,
            settings.number("pair_rake_deg") + 1e-9,
            settings.number("raked_allowance_mm"),
            settings.number("raked_step_mm"),
            settings.number("least_run_mm"),
        )


def why_not(a: Half, b: Half, rule: PairRule) -> str:
    """Why two halves are no pair, "" where they are one."""
    refused = _laying_refuses(a, b, rule)
    if refused:
        return refused
    length = pair_length(a, b, rule)
    if length + a.guests_mm + b.guests_mm > rule.limit_mm:
        return "together longer than the longest piece"
    return "" if a.alone_mm + b.alone_mm - length > TOLERANCES.same_length_mm else "their outlines do not nest"


def _laying_refuses(a: Half, b: Half, rule: PairRule) -> str:
    """What hand, rake and laps say against a pair, whatever its length."""
    if a.piece.profile != b.piece.profile:
        return "not the same profile"
    turned = a.end == b.end
    if a.simple and b.simple:
        if abs(a.rake_deg - b.rake_deg) > rule.rake_deg:
            return "not the same rake"
        if a.rises != b.rises:
            return "not the same hand" if turned else "the valley does not rise the way the hip does"
    same_way = a.piece.start_side == b.piece.start_side
    if turned and same_way and not rule.half_turn_same:
        return "both planes are laid the same way: turned, its lap would be on the wrong side"
    if not turned and not same_way and not rule.half_turn_same:
        return "the planes are laid opposite ways: not turned, its lap would be on the wrong side"
    return ""


def pair_length(a: Half, b: Half, rule: PairRule) -> float:
    """Length bought for a pair [mm]: both reaches less what their ends nest, both raked allowances, rounded up once.

    For two rakes that is the two short sides + one rake over the overall width + both allowances. Never shorter than
    either alone, nor than the mill runs; short pieces cut from them come on top.
    """
    alone = [half.piece.reach_mm + half.piece.foot_turn_mm + rule.allowance_mm for half in (a, b)]
    facing = b.line.turned(rule.overall_mm) if a.end == b.end else b.line
    length = max(sum(alone) - nested_mm(a.line, facing), *alone)
    return max(round_up_mm(length, rule.step_mm, TOLERANCES.same_length_mm), rule.least_mm)


def pair_raked(sheets: Sequence[PlaneSheets], profile: Profile, site: Site, settings: Settings) -> PairPlan:
    """The sheets of one profile and colour bought with the pairs that save most.

    A pair stays within the longest piece of the site (an ordinary truck where it says nothing). No sheet is bought
    shorter than alone, and bought length never rises.
    """
    pieces = pieces_of(sheets, profile.id)
    guests = guests_of(pieces)
    rule = PairRule.of(profile, site.longest_piece_mm or settings.number("ordinary_truck_mm"), settings)
    plain = plain_blanks(sheets, profile, settings)
    free = [piece for piece in pieces.values() if not _held(piece, pieces, rule)]
    halves = [own for p in free if (own := halves_of(p, profile, guests.get(p.mark, ()), rule.least_mm))]
    pairable = _Pairable(halves, rule)
    worth, every = pairable.worth()
    chosen, proven = best_pairs(worth)
    found = [ends for edge in chosen if (ends := pairable.ends(edge)) is not None]
    blanks = _blanks(pieces, found, profile, rule)
    if sum(blank.length_mm for blank in blanks) > sum(blank.length_mm for blank in plain):
        # short pieces that leave the length they were cut from may leave it shorter than the mill runs
        found, blanks, proven = [], plain, False
    return PairPlan(
        profile=profile.id,
        blanks=blanks,
        pairs=tuple(_pair(a, b, pair_length(a, b, rule)) for a, b in found),
        plain_mm=sum(blank.length_mm for blank in plain),
        paired_mm=sum(blank.length_mm for blank in blanks),
        proof="no choice of pairs saves more: solved as a whole-number programme" if proven and every else "",
    )


def _held(piece: SheetPiece, pieces: Mapping[str, SheetPiece], rule: PairRule) -> bool:
    """True for a short piece cut from a length that the mill would not run without it: it stays there."""
    return bool(piece.cut_from) and pieces[piece.cut_from].order_mm < rule.least_mm


_Ends = tuple[Half, Half]


class _Pairable:
    """Which of many pieces are a pair, by their places, and what each pair saves. Houses alike repeat their pieces many
    times: two pieces that are to pairing what two others were are not asked again, and those that hand, rake or laps
    part are not asked at all."""

    def __init__(self, halves: Sequence[tuple[Half, ...]], rule: PairRule) -> None:
        kinds = [tuple(_kind(half) for half in own) for own in halves]
        numbers = {kind: n for n, kind in enumerate(dict.fromkeys(kinds))}
        self.halves, self.rule = halves, rule
        self._alike = [numbers[kind] for kind in kinds]
        self._known: dict[tuple[int, int], tuple[int, int] | None] = {}

    def ends(self, edge: Edge) -> _Ends | None:
        """The ends by which two pieces are a pair and save most; None where they are none."""
        i, j = edge
        both = (self._alike[i], self._alike[j])
        if both not in self._known:
            self._known[both] = best_ends(self.halves[i], self.halves[j], self.rule)
        found = self._known[both]
        return None if found is None else (self.halves[i][found[0]], self.halves[j][found[1]])

    def worth(self) -> tuple[dict[Edge, float], bool]:
        """What pairs save [mm], and whether that is every pair: of too many the best of each piece.

        Pairs that are kept together on site are liked first: one plane, then like lengths. Liking weighs so little that
        all of it together never outweighs a step.
        """
        if not self.halves:
            return {}, True
        import numpy as np

        saved, unliked = self._by_kind()
        alike, count = np.array(self._alike), len(self.halves)
        planes = {plane: n for n, plane in enumerate(dict.fromkeys(own[0].piece.plane for own in self.halves))}
        plane = np.array([planes[own[0].piece.plane] for own in self.halves])
        after = [
            place + 1 + np.flatnonzero(~np.isnan(saved[alike[place], alike[place + 1 :]])) for place in range(count)
        ]
        in_pairs = np.array([len(others) > 0 for others in after])
        in_pairs[np.concatenate(after)] = True
        share = _LEANING_MM / max(1, int(np.count_nonzero(in_pairs)))

        def worth_of(ones: NDArray[np.intp], others: NDArray[np.intp]) -> NDArray[np.float64]:
            kinds = alike[ones], alike[others]
            liked = np.where(plane[ones] == plane[others], 1.0, 0.5) - unliked[kinds]
            return np.asarray(saved[kinds] + share * liked)

        if sum(map(len, after)) <= MOST_EDGES:
            ones, others = np.repeat(np.arange(count), [len(own) for own in after]), np.concatenate(after)
            return _by_edge(ones, others, worth_of(ones, others)), True
        kept: dict[Edge, float] = {}
        for place, own in enumerate(after):
            before = np.flatnonzero(~np.isnan(saved[alike[:place], alike[place]]))
            ones = np.concatenate((before, np.full(len(own), place)))
            others = np.concatenate((np.full(len(before), place), own))
            found = worth_of(ones, others)
            best = np.argsort(-found, kind="stable")[:BEST]  # of pairs that are worth the same the first one
            kept |= _by_edge(ones[best], others[best], found[best])
        return kept, False

    def _by_kind(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """What a piece of one kind saves with one of another that comes after it [mm], and how little that is liked:
        not a number where they are no pair."""
        import numpy as np

        first = {kind: place for place, kind in reversed(list(enumerate(self._alike)))}
        alone = np.array([self.halves[first[kind]][0].alone_mm for kind in range(len(first))])
        shortest = self._shortest(first, {kind: place for place, kind in enumerate(self._alike)})
        pair = np.isfinite(shortest)
        saved = np.where(pair, alone[:, None] + alone[None, :] - shortest, np.nan)
        apart = np.minimum(np.abs(alone[:, None] - alone[None, :]) / self.rule.limit_mm, 1.0)
        return saved, np.where(pair, 0.4 * apart, np.nan)

    def _shortest(self, first: Mapping[int, int], last: Mapping[int, int]) -> NDArray[np.float64]:
        """Length of the best pair of a piece of one kind with one of another that comes after it, over all their ends
        [mm]: what `why_not` and `pair_length` say, of many ends at once. Infinite where they are none."""
        import numpy as np

        from takeoff.order.sheets.pair_ends import CutEnds

        ends = CutEnds([(kind, half) for kind in range(len(first)) for half in self.halves[first[kind]]], self.rule)
        begins = np.array([first[kind] for kind in ends.kind.tolist()])
        until = np.array([last[kind] for kind in ends.kind.tolist()])
        shortest = np.full((len(first), len(first)), np.inf)
        rows = max(1, _AT_ONCE // len(begins))
        for start in range(0, len(begins), rows):
            ones = np.arange(start, min(start + rows, len(begins)))
            one, others = np.nonzero(ends.laid_as(ones) & (until > begins[ones, None]))
            pair, lengths = ends.pairs(ones[one], others)
            np.minimum.at(shortest, (ends.kind[ones[one]][pair], ends.kind[others][pair]), lengths[pair])
        return shortest


def _by_edge(ones: NDArray[np.intp], others: NDArray[np.intp], worth: NDArray[np.float64]) -> dict[Edge, float]:
    return dict(zip(zip(ones.tolist(), others.tolist(), strict=True), worth.tolist(), strict=True))


def _kind(half: Half) -> tuple[object, ...]:
    """All that `why_not` and `pair_length` ask of a half."""
    piece = half.piece
    of_piece = (piece.profile, piece.start_side, piece.reach_mm, piece.foot_turn_mm)
    return (half.end, half.line, half.rises, half.rake_deg, half.alone_mm, half.guests_mm, *of_piece)


def best_ends(one: Sequence[Half], other: Sequence[Half], rule: PairRule) -> tuple[int, int] | None:
    """The ends, by their places, by which two pieces are a pair and save most; None where they are none."""
    pairs = product(range(len(one)), range(len(other)))
    ways = [(a, b) for a, b in pairs if not why_not(one[a], other[b], rule)]
    if len(ways) > 1:
        return min(ways, key=lambda ends: pair_length(one[ends[0]], other[ends[1]], rule))
    return ways[0] if ways else None


def _pair(a: Half, b: Half, length_mm: float) -> RakedPair:
    return RakedPair(a.piece.mark, b.piece.mark, a.end == b.end, length_mm, a.alone_mm + b.alone_mm - length_mm)


def _blanks(
    pieces: Mapping[str, SheetPiece], pairs: Sequence[_Ends], profile: Profile, rule: PairRule
) -> tuple[SheetBlank, ...]:
    """Every pair a blank, every other piece one; short pieces without a partner in the blank they are cut from."""
    paired = {half.piece.mark for pair in pairs for half in pair}
    guests = guests_of({mark: piece for mark, piece in pieces.items() if mark not in paired})
    blanks = [
        with_guests((BlankPart(mark, 0.0, False),), piece.order_mm, guests.get(mark, ()), rule.least_mm)
        for mark, piece in pieces.items()
        if mark not in paired and not piece.cut_from
    ]
    for a, b in pairs:
        cut_from = (*guests.get(a.piece.mark, ()), *guests.get(b.piece.mark, ()))
        length = pair_length(a, b, rule)
        blanks.append(with_guests(_parts(a, b, length), length, cut_from, rule.least_mm))
    return numbered(blanks, profile)


def _parts(a: Half, b: Half, length_mm: float) -> tuple[BlankPart, ...]:
    """Where both pieces lie in their length, cut ends towards each other, the first at its start, the second ending at
    its end: all that is spare lies between them."""
    if a.end == b.end:
        low, high = a, b
        low_turned, high_turned = low.end == "foot", high.end == "top"
    else:
        low, high = (a, b) if a.end == "top" else (b, a)
        low_turned = high_turned = False
    turn = high.piece.foot_turn_mm if high_turned else 0.0
    return (
        BlankPart(low.piece.mark, 0.0, low_turned),
        BlankPart(high.piece.mark, length_mm - high.piece.reach_mm - turn, high_turned),
    )
