"""A supplied cut list against ours: sheets matched by our marks where the list has them, else by length within a plane,
or within a profile where the list names no planes.

Others number their sheets as they like: marks are ours only where at least half of the sheets that bear them are about
as long as ours of that mark.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.differences import ListCheck, ListDifference, ListFault, ListTally
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import ItemKind
from takeoff.model.order import Order
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetBlank, SheetPiece
from takeoff.model.supplied import SuppliedList
from takeoff.order.comparing.list_marks import mark_key, marks_in

_CRUMB_MM = TOLERANCES.list_mm
_ORDER = (ListFault.MISSING, ListFault.SHORT, ListFault.UNDER, ListFault.LONG, ListFault.EXTRA)


@record
class _Sheet:
    """One sheet of either list; `name` is our mark or, of theirs, its row. `mark` is its mark as `mark_key` reads it,
    `reach_mm` what ours must reach, all allowances left out."""

    length_mm: float
    name: str
    mark: str = ""
    reach_mm: float = 0.0


# plane and profile ("" where they are not told apart) -> sheets
_Lists = dict[tuple[str, str], list[_Sheet]]


@record
class _Scope:
    """Within what sheets are matched: `profiles` leads the names of the list to ours, None: lengths alone count."""

    by_plane: bool
    profiles: Mapping[str, str] | None
    findings: tuple[Finding, ...]


@record
class _Match:
    pairs: tuple[tuple[_Sheet, _Sheet], ...]
    ours: tuple[_Sheet, ...]
    theirs: tuple[_Sheet, ...]


def check_list(supplied: SuppliedList, order: Order, sheets: Sequence[PlaneSheets], settings: Settings) -> ListCheck:
    """Missing, short, long and extra sheets of a supplied list, within the setting `list_tolerance_mm`.

    `order` and `sheets` are ours. A bought length that carries several sheets stands on the plane of its first.
    """
    known = list(dict.fromkeys(plane.plane for plane in sheets))
    scope = _scope(supplied, known, list(dict.fromkeys(blank.profile for blank in order.blanks)))
    ours, theirs = _ours(order, sheets, scope, settings), _theirs(supplied, scope)
    marked = _marks_are_ours(ours, theirs, settings)
    if not marked:
        theirs = {key: [replace(sheet, mark="") for sheet in own] for key, own in theirs.items()}
    differences: list[ListDifference] = []
    tallies: list[ListTally] = []
    spares = _spares(order)
    all_spares = tuple(spares)
    for key in sorted({*ours, *theirs}, key=lambda key: _key(key, known)):
        found, tally = _bucket(key, ours.get(key, []), theirs.get(key, []), spares, settings)
        differences += found
        tallies.append(tally)
    findings = [*supplied.findings, *scope.findings]
    if marked:
        findings.append(Finding("list-by-marks", Severity.NOTE, "Sheets that bear our marks were matched by them."))
    taken = list((Counter(all_spares) - Counter(spares)).elements())
    if taken:
        held = ", ".join(f"{profile} {sheet.length_mm:.0f} mm" for profile, sheet in taken)
        text = f"The list holds spare sheets of our order, which the tally counts as theirs only: {held}."
        findings.append(Finding("list-with-spares", Severity.NOTE, text, "They are no difference."))
    if spares:
        left = ", ".join(f"{profile} {sheet.length_mm:.0f} mm" for profile, sheet in spares)
        text = f"Spare sheets of our order that the list does not hold: {left}."
        findings.append(Finding("list-without-spares", Severity.NOTE, text, "Order them apart where they are wanted."))
    return ListCheck(
        file=supplied.file,
        sheet=supplied.sheet,
        tolerance_mm=settings.number("list_tolerance_mm"),
        by_plane=scope.by_plane,
        differences=tuple(differences),
        tallies=tuple(tallies),
        findings=tuple(findings),
    )


def _scope(supplied: SuppliedList, planes: Sequence[str], profiles: Sequence[str]) -> _Scope:
    """Within what sheets are matched: planes and profiles, as far as the list names ours."""
    findings: list[Finding] = []
    by_plane = supplied.by_plane
    if by_plane and not any(line.plane in planes for line in supplied.lines):
        by_plane = False
        named = ", ".join(dict.fromkeys(line.plane for line in supplied.lines))
        text = f"The list names planes ({named[:80]}) but none of ours ({', '.join(planes)}): checked by totals."
        findings.append(Finding("list-planes-unknown", Severity.NOTE, text, "Name planes as the roof plan does."))
    wanted = list(dict.fromkeys(line.profile for line in supplied.lines))
    names = {name: _profile_of(name, profiles) for name in wanted}
    if not any(names.values()):
        # the list does not tell profiles apart as we do: lengths alone are matched
        return _Scope(by_plane, None, tuple(findings))
    unknown = [name for name in wanted if not names[name] and "spare" not in name.lower()]
    for name in unknown:
        text = (
            f"The list names {name[:60] or 'no profile in some lines'}, which is none of ours: {', '.join(profiles)}."
        )
        findings.append(Finding("list-profile-unknown", Severity.WARN, text, "Check that it is the same sheet."))
    only = profiles[0] if len(profiles) == 1 else ""
    return _Scope(by_plane, {name: names[name] or only or name or "no profile" for name in wanted}, tuple(findings))


def _profile_of(name: str, profiles: Sequence[str]) -> str:
    """The profile of ours whose id stands in a name, "" for none."""
    words = name.lower().replace("_", " ")
    held = [profile for profile in profiles if profile.lower().replace("_", " ") in words]
    return max(held, key=len, default="")


def _ours(order: Order, sheets: Sequence[PlaneSheets], scope: _Scope, settings: Settings) -> _Lists:
    pieces = {piece.mark: piece for plane in sheets for piece in plane.pieces}
    found: _Lists = {}
    for blank in order.blanks:
        mark = blank.pieces[0].mark
        key = (pieces[mark].plane if scope.by_plane else "", blank.profile if scope.profiles is not None else "")
        reach = _reach_mm(blank, pieces, settings)
        found.setdefault(key, []).append(_Sheet(blank.length_mm, mark, mark_key(mark), reach))
    return found


def _reach_mm(blank: SheetBlank, pieces: Mapping[str, SheetPiece], settings: Settings) -> float:
    """What a bought length must reach at least [mm]: of one sheet its own reach; where several come out of it, what is
    left of it without the allowance of each."""
    parts = [pieces[part.mark] for part in blank.pieces if part.mark in pieces]
    if not parts:
        return blank.length_mm
    if len(parts) == 1 == len(blank.pieces):
        return parts[0].reach_mm + parts[0].foot_turn_mm
    allowance = settings.number("raked_allowance_mm")
    return blank.length_mm - sum(min(allowance, p.order_mm - p.reach_mm - p.foot_turn_mm) for p in parts)


def _marks_are_ours(ours: _Lists, theirs: _Lists, settings: Settings) -> bool:
    """Whether the marks of a list are ours: of the sheets that bear one of ours at least half are about as long."""
    near = settings.number("list_pair_mm") + _CRUMB_MM
    of = {sheet.mark: sheet for own in ours.values() for sheet in own}
    known = [(of[sheet.mark], sheet) for own in theirs.values() for sheet in own if sheet.mark in of]
    alike = sum(abs(one.length_mm - two.length_mm) <= near for one, two in known)
    return bool(known) and len({two.mark for _, two in known}) == len(known) and 2 * alike >= len(known)


def _theirs(supplied: SuppliedList, scope: _Scope) -> _Lists:
    found: _Lists = {}
    for line in supplied.lines:
        profile = scope.profiles[line.profile] if scope.profiles is not None else ""
        key = (line.plane if scope.by_plane else "", profile)
        marks = marks_in(line.mark, line.count) or ("",) * line.count
        found.setdefault(key, []).extend(_Sheet(line.length_mm, str(line.row), mark) for mark in marks)
    return found


def _spares(order: Order) -> list[tuple[str, _Sheet]]:
    """Our spare sheets, by profile: they may stand in the list, on any plane or none."""
    return [
        (line.of.product, _Sheet(line.each_mm, "spare"))
        for line in order.lines
        if line.of.kind is ItemKind.SPARE_SHEET
        for _ in range(int(line.count))
    ]


def _key(key: tuple[str, str], known: Sequence[str]) -> tuple[int, str, str]:
    return (known.index(key[0]) if key[0] in known else len(known), *key)


def _bucket(
    key: tuple[str, str],
    ours: list[_Sheet],
    theirs: list[_Sheet],
    spares: list[tuple[str, _Sheet]],
    settings: Settings,
) -> tuple[list[ListDifference], ListTally]:
    """Differences and tally of one plane or profile; spares that are found are taken out of `spares`."""
    plane, profile = key
    tolerance = settings.number("list_tolerance_mm") + _CRUMB_MM
    near_mm = settings.number("list_pair_mm") + _CRUMB_MM
    named, ours_left, theirs_left = _by_marks(ours, theirs, near_mm)
    same = [pair for pair in named if abs(pair[0].length_mm - pair[1].length_mm) <= tolerance]
    match = _match(ours_left, theirs_left, tolerance)
    found = [_differing(plane, profile, *pair) for pair in named if pair not in same]
    near = _nearest(_without_spares(match, profile, spares, tolerance), settings.number("list_pair_mm") + _CRUMB_MM)
    found += [_differing(plane, profile, our, their) for our, their in near.pairs]
    found += [_one(ListFault.MISSING, plane, profile, our, None) for our in near.ours]
    found += [_one(ListFault.EXTRA, plane, profile, None, their) for their in near.theirs]
    tally = ListTally(
        plane=plane,
        profile=profile,
        ours=len(ours),
        theirs=len(theirs),
        agree=len(match.pairs) + len(same),
        ours_m=half_up(sum(sheet.length_mm for sheet in ours) / 1000.0, 3),
        theirs_m=half_up(sum(sheet.length_mm for sheet in theirs) / 1000.0, 3),
    )
    return _grouped(found), tally


def _by_marks(
    ours: list[_Sheet], theirs: list[_Sheet], most_mm: float
) -> tuple[list[tuple[_Sheet, _Sheet]], list[_Sheet], list[_Sheet]]:
    """Sheets of one mark that are about as long, and what either list has beside them."""
    of = {sheet.mark: sheet for sheet in ours}
    named = [(of[sheet.mark], sheet) for sheet in theirs if _alike(of.get(sheet.mark), sheet, most_mm)]
    taken = {id(sheet) for pair in named for sheet in pair}
    return named, [s for s in ours if id(s) not in taken], [s for s in theirs if id(s) not in taken]


def _alike(our: _Sheet | None, their: _Sheet, most_mm: float) -> bool:
    return our is not None and bool(their.mark) and abs(our.length_mm - their.length_mm) <= most_mm


def _differing(plane: str, profile: str, our: _Sheet, their: _Sheet) -> ListDifference:
    fault = ListFault.LONG
    if their.length_mm < our.length_mm:
        reaches = their.length_mm >= our.reach_mm - TOLERANCES.same_length_mm
        fault = ListFault.UNDER if reaches else ListFault.SHORT
    return _one(fault, plane, profile, our, their)


def _without_spares(match: _Match, profile: str, spares: list[tuple[str, _Sheet]], tolerance_mm: float) -> _Match:
    kept = []
    for their in match.theirs:
        for place, (of, spare) in enumerate(spares):
            fits = of == profile or not profile or "spare" in profile.lower()
            if fits and abs(spare.length_mm - their.length_mm) <= tolerance_mm:
                del spares[place]
                break
        else:
            kept.append(their)
    return replace(match, theirs=tuple(kept))


def _one(fault: ListFault, plane: str, profile: str, our: _Sheet | None, their: _Sheet | None) -> ListDifference:
    return ListDifference(
        fault=fault,
        plane=plane,
        profile=profile,
        count=1,
        ours_mm=our.length_mm if our else 0.0,
        theirs_mm=their.length_mm if their else 0.0,
        marks=(our.name,) if our else (),
        rows=(int(their.name),) if their else (),
        reach_mm=our.reach_mm if our else 0.0,
    )


def _grouped(found: Sequence[ListDifference]) -> list[ListDifference]:
    """Differences that are alike on one line, missing first, longest first."""
    groups: dict[tuple[ListFault, float, float], ListDifference] = {}
    for one in found:
        key = (one.fault, one.ours_mm, one.theirs_mm)
        held = groups.get(key)
        if held is None:
            groups[key] = one
        else:
            rows = tuple(dict.fromkeys((*held.rows, *one.rows)))
            marks, reach = (*held.marks, *one.marks), max(held.reach_mm, one.reach_mm)
            groups[key] = replace(held, count=held.count + 1, marks=marks, rows=rows, reach_mm=reach)
    return sorted(groups.values(), key=lambda d: (_ORDER.index(d.fault), -max(d.ours_mm, d.theirs_mm), -d.theirs_mm))


def _match(ours: Sequence[_Sheet], theirs: Sequence[_Sheet], tolerance_mm: float) -> _Match:
    """Most sheets paired within the tolerance; of two ways that pair as many, the one with more equal lengths."""
    mine, other = (sorted(sheets, key=lambda sheet: -sheet.length_mm) for sheets in (ours, theirs))
    by_turns = _in_turn(mine, other, tolerance_mm)
    equal = _in_turn(mine, other, _CRUMB_MM)
    rest = _in_turn(equal.ours, equal.theirs, tolerance_mm)
    equal_first = _Match((*equal.pairs, *rest.pairs), rest.ours, rest.theirs)
    return equal_first if len(equal_first.pairs) >= len(by_turns.pairs) else by_turns


def _in_turn(ours: Sequence[_Sheet], theirs: Sequence[_Sheet], tolerance_mm: float) -> _Match:
    """Both lists longest first, paired in turn: no other way pairs more, since the tolerance is one for all."""
    pairs: list[tuple[_Sheet, _Sheet]] = []
    left: list[_Sheet] = []
    over: list[_Sheet] = []
    i = j = 0
    while i < len(ours) and j < len(theirs):
        gap = ours[i].length_mm - theirs[j].length_mm
        if abs(gap) <= tolerance_mm:
            pairs.append((ours[i], theirs[j]))
            i, j = i + 1, j + 1
        elif gap > 0.0:
            left.append(ours[i])
            i += 1
        else:
            over.append(theirs[j])
            j += 1
    return _Match(tuple(pairs), (*left, *ours[i:]), (*over, *theirs[j:]))


def _nearest(match: _Match, most_mm: float) -> _Match:
    """Of the sheets left over, those nearest to each other paired first, up to a distance; by distinct length, since a
    list may hold thousands of one."""
    ours, theirs = _by_length(match.ours), _by_length(match.theirs)
    near = [(abs(a - b), -a, -b) for a in ours for b in theirs if abs(a - b) <= most_mm]
    pairs: list[tuple[_Sheet, _Sheet]] = []
    for _, a, b in sorted(near):
        left, right = ours[-a], theirs[-b]
        while left and right:
            pairs.append((left.pop(0), right.pop(0)))
    return _Match(
        tuple(pairs),
        tuple(sheet for sheets in ours.values() for sheet in sheets),
        tuple(sheet for sheets in theirs.values() for sheet in sheets),
    )


def _by_length(sheets: Sequence[_Sheet]) -> dict[float, list[_Sheet]]:
    groups: dict[float, list[_Sheet]] = {}
    for sheet in sorted(sheets, key=lambda sheet: -sheet.length_mm):
        groups.setdefault(sheet.length_mm, []).append(sheet)
    return groups
