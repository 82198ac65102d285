"""Raked pairs: two raked pieces out of one square length, where hand, rake and laps allow it.

The mill cuts square only; rakes are cut on site, and the offcut of one rake can be the sheet of another:

      +-----+       turned end for end, face up, an offcut keeps the hand of its rake and changes the side of its lap:
      |  B  |       it fits the same hand on a plane laid the opposite way (or any, when the profile is the same after a
      |    .'       half turn). Not turned it fits the raked foot of a valley that rises the same way, on a plane laid
      |  .' |       the same way. Turning a sheet over would show its back: never done.
      .'  A |
      +-----+
Common practice, no source. Off unless the setting `buy_raked_pairs` asks for it: one bad cut kills two sheets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import radians, tan

from takeoff.basics.rounding import round_up_mm
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.settings import Settings
from takeoff.model.sheets import BlankPart, CutShape, EndCut, PairPlan, PlaneSheets, RakedPair, SheetBlank, SheetPiece
from takeoff.order.sheets.sheet_blanks import guests_of, numbered, pieces_of, plain_blanks, with_guests

_WIDTH_SLACK_MM = 1.0


@dataclass(frozen=True, slots=True)
class Half:
    """A piece that may be half of a pair: one end raked over its whole width, the other square.

    `rises`: the side towards which its rake rises seen from below its eave; `length_mm` with the short pieces that are
    cut from it.
    """

    piece: SheetPiece
    end: str  # "top" or "foot"
    rises: str
    rake_deg: float
    length_mm: float


def half_of(piece: SheetPiece, profile: Profile, guests: Iterable[SheetPiece] = ()) -> Half | None:
    """The piece as half of a pair, None where it is none: not one rake over the whole width, a square other end.

    A sheet that also holds a ridge end or both hips, a ripped one, one with a hole, and one that is itself cut from
    another are left alone.
    """
    raked: EndCut
    if piece.top.shape is CutShape.RAKED and piece.foot.shape is CutShape.SQUARE:
        end, raked = "top", piece.top
    elif piece.foot.shape is CutShape.RAKED and piece.top.shape is CutShape.SQUARE:
        end, raked = "foot", piece.foot
    else:
        return None
    us = [u for u, _ in piece.outline_uv]
    whole_width = abs(max(us) - min(us) - profile.overall_mm) <= _WIDTH_SLACK_MM
    if piece.cut_from or not whole_width or len(piece.outline_uv) > 4 or len(piece.cover_uv) != 1:
        return None
    # a top rises towards its longer side, a foot away from it
    other = "left" if raked.hand == "right" else "right"
    rises = raked.hand if end == "top" else other
    return Half(piece, end, rises, raked.rake_deg, piece.order_mm + sum(guest.order_mm for guest in guests))


def why_not(a: Half, b: Half, profile: Profile, limit_mm: float, settings: Settings) -> str:
    """Why two halves are no pair, "" where they are one."""
    if a.piece.profile != b.piece.profile:
        return "not the same profile"
    if abs(a.rake_deg - b.rake_deg) > settings.number("pair_rake_deg") + 1e-9:
        return "not the same rake"
    turned = a.end == b.end
    if a.rises != b.rises:
        return "not the same hand" if turned else "the valley does not rise the way the hip does"
    same_way = a.piece.start_side == b.piece.start_side
    if turned and same_way and not profile.half_turn_same:
        return "both planes are laid the same way: turned, its lap would be on the wrong side"
    if not turned and not same_way and not profile.half_turn_same:
        return "the planes are laid opposite ways: not turned, its lap would be on the wrong side"
    if pair_length(a, b, profile, settings) > limit_mm:
        return "together longer than the longest piece"
    return ""


def pair_length(a: Half, b: Half, profile: Profile, settings: Settings) -> float:
    """Length bought for a pair [mm]: both lengths less one rake difference over the cover, rounded up once.

    The laps' share of the rake, (overall - cover) x tan(rake), stays in the length as room for the cut.
    """
    shared = profile.cover_mm * tan(radians(min(a.rake_deg, b.rake_deg)))
    return round_up_mm(a.length_mm + b.length_mm - shared, settings.number("raked_step_mm"))


def pair_raked(sheets: Sequence[PlaneSheets], profile: Profile, site: Site, settings: Settings) -> PairPlan:
    """The sheets of one profile and colour bought with as many raked pairs as there can be.

    Pairs of one rake save the same length, so the most pairs are the least metres. A pair stays within the longest
    piece of the site (an ordinary truck where it says nothing). No sheet is bought shorter than alone, and bought
    length never rises.
    """
    pieces = pieces_of(sheets, profile.id)
    guests = guests_of(pieces)
    limit = site.longest_piece_mm or settings.number("ordinary_truck_mm")
    plain = plain_blanks(sheets, profile, settings)
    halves = [h for p in pieces.values() if (h := half_of(p, profile, guests.get(p.mark, ()))) is not None]
    found: list[tuple[Half, Half]] = []
    most = 0
    for group in _by_rake(halves, settings):
        for rises in ("left", "right"):
            pairs, bound = _most_pairs([h for h in group if h.rises == rises], profile, limit, settings)
            found += pairs
            most += bound
    blanks = _blanks(pieces, guests, found, profile, settings)
    plain_mm, paired_mm = sum(b.length_mm for b in plain), sum(b.length_mm for b in blanks)
    return PairPlan(
        profile.id,
        blanks,
        tuple(_pair(a, b, pair_length(a, b, profile, settings)) for a, b in found),
        plain_mm,
        paired_mm,
        most,
        "as many pairs as pieces that touch every possible pair: no list has more"
        if not profile.half_turn_same
        else "longest with shortest: a piece left over fits with none that is left",
    )


def _by_rake(halves: Sequence[Half], settings: Settings) -> list[list[Half]]:
    """Halves whose rakes are one cut, at the least rake of their group: then all its pairs save one length.

    Each group lies apart from the next by more than the setting.
    """
    groups: list[list[Half]] = []
    for half in sorted(halves, key=lambda h: h.rake_deg):
        if groups and half.rake_deg - groups[-1][-1].rake_deg <= settings.number("pair_rake_deg"):
            groups[-1].append(half)
        else:
            groups.append([half])
    order = {id(half): place for place, half in enumerate(halves)}
    return [
        [replace(half, rake_deg=group[0].rake_deg) for half in sorted(group, key=lambda h: order[id(h)])]
        for group in groups
    ]


def _most_pairs(
    halves: Sequence[Half], profile: Profile, limit_mm: float, settings: Settings
) -> tuple[list[tuple[Half, Half]], int]:
    """Most pairs among halves of one rise, and the proven bound."""
    if profile.half_turn_same:
        pairs = _longest_with_shortest(halves, profile, limit_mm, settings)
        return pairs, len(pairs)
    # every pair joins one of these with one of the others: turned, ends are alike and ways differ; not turned, the
    # reverse
    left = [h for h in halves if (h.end == "top") == (h.piece.start_side == "left")]
    right = [h for h in halves if (h.end == "top") != (h.piece.start_side == "left")]
    fits = [
        sorted(
            (j for j, b in enumerate(right) if not why_not(a, b, profile, limit_mm, settings)),
            key=lambda j, a=a: _liking(a, right[j], j),  # type: ignore[misc]
        )
        for a in left
    ]
    partner = _matching(fits, len(right))
    return [(left[i], right[j]) for j, i in sorted(partner.items())], len(_touching_all(fits, partner))


def _liking(a: Half, b: Half, place: int) -> tuple[bool, float, int]:
    """Pairs that are kept together on site first: one plane, then like lengths."""
    return (a.piece.plane != b.piece.plane, abs(a.length_mm - b.length_mm), place)


def _matching(fits: Sequence[Sequence[int]], others: int) -> dict[int, int]:
    """Largest matching by augmenting paths, shortest first: place on the right -> place on the left."""
    partner: dict[int, int] = {}
    for start in range(len(fits)):
        if len(partner) == others:
            break
        came: dict[int, int] = {}  # place on the right -> the left one it was reached from
        waiting, end = [start], -1
        for i in waiting:
            for j in fits[i]:
                if j not in came:
                    came[j] = i
                    if j not in partner:
                        end = j
                        break
                    waiting.append(partner[j])
            if end >= 0:
                break
        held = {i: j for j, i in partner.items()}
        while end >= 0:
            i = came[end]
            partner[end] = i
            end = held.get(i, -1)
    return partner


def _touching_all(fits: Sequence[Sequence[int]], partner: Mapping[int, int]) -> set[tuple[str, int]]:
    """A least set of pieces that touches every possible pair (König): its size is the proof of the matching."""
    held = set(partner.values())
    lefts = [i for i in range(len(fits)) if i not in held]
    reached, crossed = set(lefts), set[int]()
    while lefts:
        i = lefts.pop()
        for j in fits[i]:
            if j not in crossed:
                crossed.add(j)
                if j in partner and partner[j] not in reached:
                    reached.add(partner[j])
                    lefts.append(partner[j])
    return {("left", i) for i in range(len(fits)) if i not in reached and fits[i]} | {("right", j) for j in crossed}


def _longest_with_shortest(
    halves: Sequence[Half], profile: Profile, limit_mm: float, settings: Settings
) -> list[tuple[Half, Half]]:
    """Most pairs where any two fit but for their length: the longest with the shortest, or with none."""
    waiting = sorted(halves, key=lambda half: half.length_mm)
    pairs: list[tuple[Half, Half]] = []
    while len(waiting) > 1:
        longest = waiting.pop()
        if not why_not(waiting[0], longest, profile, limit_mm, settings):
            pairs.append((waiting.pop(0), longest))
    return pairs


def _pair(a: Half, b: Half, length_mm: float) -> RakedPair:
    return RakedPair(a.piece.mark, b.piece.mark, a.end == b.end, length_mm, a.length_mm + b.length_mm - length_mm)


def _blanks(
    pieces: Mapping[str, SheetPiece],
    guests: Mapping[str, tuple[SheetPiece, ...]],
    pairs: Sequence[tuple[Half, Half]],
    profile: Profile,
    settings: Settings,
) -> tuple[SheetBlank, ...]:
    least = settings.number("least_run_mm")
    paired = {half.piece.mark for pair in pairs for half in pair}
    blanks = [
        with_guests((BlankPart(mark, 0.0, False),), piece.order_mm, guests.get(mark, ()), least)
        for mark, piece in pieces.items()
        if mark not in paired and not piece.cut_from
    ]
    for a, b in pairs:
        cut_from = (*guests.get(a.piece.mark, ()), *guests.get(b.piece.mark, ()))
        length = pair_length(a, b, profile, settings) - sum(guest.order_mm for guest in cut_from)
        blanks.append(with_guests(_parts(a, b, length), length, cut_from, least))
    return numbered(blanks, profile)


def _parts(a: Half, b: Half, length_mm: float) -> tuple[BlankPart, ...]:
    """Where both pieces lie in their length, rakes towards each other, the first at its start."""
    if a.end == b.end:
        low, high = a, b
        low_turned, high_turned = low.end == "foot", high.end == "top"
    else:
        low, high = (a, b) if a.end == "top" else (b, a)
        low_turned = high_turned = False
    return (
        BlankPart(low.piece.mark, 0.0, low_turned),
        BlankPart(high.piece.mark, length_mm - high.piece.order_mm, high_turned),
    )
