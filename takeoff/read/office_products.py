"""An office's own products among those of the catalogue, its own tables before those of the code."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from takeoff.model.basis import Basis, Status
from takeoff.model.code_rules import FootRow, RuleSet, ScrewPattern, ScrewRow, SpanRow
from takeoff.model.job.fields import Part
from takeoff.model.office import Office
from takeoff.model.own_products import OwnTables
from takeoff.model.products import Board, Catalogue, DownpipeProfile, FlashingProfile, GutterProfile, Roll
from takeoff.model.rain_rules import BracketRow, GutterTypeRow, NeededRow, PipeRow

R = TypeVar("R")
TABLES = ("spans", "on_foot", "screws", "brackets", "types", "needed", "pipes")


def office_basis(words: str | None) -> Basis:
    """The basis of what an office gives, with where it says it has it from."""
    return Basis(Status.SET_IN_OFFICE, source=words or "")


def with_office_products(catalogue: Catalogue, office: Office | None) -> Catalogue:
    """The catalogue with an office's gutters, downpipes, boards, rolls and flashings; one of the same name is the
    office's. Profiles, whose girth is worked out, are put in with those of the job."""
    if office is None:
        return catalogue
    return replace(
        catalogue,
        gutters={**catalogue.gutters, **_made(GutterProfile, office.gutters)},
        downpipes={**catalogue.downpipes, **_made(DownpipeProfile, office.downpipes)},
        boards={**catalogue.boards, **_made(Board, office.boards)},
        rolls={**catalogue.rolls, **_made(Roll, office.rolls)},
        flashings={**catalogue.flashings, **_made(FlashingProfile, office.flashings)},
    )


def _made(record: Callable[..., R], rows: dict[str, Any]) -> dict[str, R]:
    return {
        name: record(id=name, basis={"*": office_basis(row.basis)}, **_values(row, ("basis",)))
        for name, row in rows.items()
    }


def _values(row: Part, left_out: Sequence[str] = ()) -> dict[str, Any]:
    """Fields of a row with lists as tuples."""
    held = {name: getattr(row, name) for name in type(row).model_fields if name not in left_out}
    return {name: tuple(value) if isinstance(value, list) else value for name, value in held.items()}


def with_office_tables(rules: RuleSet, office: Office | None, default_code: str) -> RuleSet:
    """A code's rules with an office's own rows; a row of the code that the office gives otherwise is left out."""
    own = office.tables if office is not None else None
    if own is None or (own.code or default_code) != rules.id:
        return rules
    patterns = _patterns(own)
    rain = replace(
        rules.rain,
        brackets=_before(rules.rain.brackets, _rows(BracketRow, own, "brackets"), ("below_width_mm", "snow")),
        types=_before(rules.rain.types, _rows(GutterTypeRow, own, "types"), ("type",)),
        pipes=_before(rules.rain.pipes, _rows(PipeRow, own, "pipes"), ("round_mm", "wide_mm", "deep_mm")),
        needed=_rows(NeededRow, own, "needed") or rules.rain.needed,
        needed_areas_m2=tuple(own.needed_areas_m2) if own.needed else rules.rain.needed_areas_m2,
    )
    return replace(
        rules,
        patterns=(*patterns, *(row for row in rules.patterns if row.id not in own.patterns)),
        screws=_before(rules.screws, _rows(ScrewRow, own, "screws"), ("family", "bmt_mm")),
        spans=_before(rules.spans, _rows(SpanRow, own, "spans"), ("family", "bmt_mm")),
        on_foot=_before(rules.on_foot, _rows(FootRow, own, "on_foot"), ("family", "bmt_mm")),
        rain=rain,
    )


def _patterns(own: OwnTables) -> tuple[ScrewPattern, ...]:
    basis = office_basis(own.screws_basis)
    return tuple(ScrewPattern(name, row.screws, row.of, row.says, basis) for name, row in own.patterns.items())


def _rows(record: Callable[..., R], own: OwnTables, table: str) -> tuple[R, ...]:
    basis = office_basis(getattr(own, f"{table}_basis"))
    return tuple(record(basis=basis, **_values(row)) for row in getattr(own, table))


def _before(theirs: tuple[R, ...], own: tuple[R, ...], keys: Sequence[str]) -> tuple[R, ...]:
    """Own rows, then those of the code for which there is no own one with the same keys."""
    given = {tuple(getattr(row, key) for key in keys) for row in own}
    return (*own, *(row for row in theirs if tuple(getattr(row, key) for key in keys) not in given))
