"""The folders of catalogue/codes -> rule sets: a country is a folder of data, no code.

A row without a basis, with a field nobody knows, a pattern no table names or a zone too few is a fault of ours and
raises at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from typing import Any, TypeVar

from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Basis, Setting
from takeoff.model.code_rules import (
    NOT_ALLOWED,
    CoverRow,
    ExpansionRow,
    FootRow,
    LapRow,
    PitchRow,
    RuleSet,
    ScrewPattern,
    ScrewRow,
    SpanRow,
    ValleyRow,
    WindZone,
)
from takeoff.model.rain_rules import (
    BracketRow,
    BurstRow,
    FreeboardRow,
    GutterTypeRow,
    InternalRow,
    LongestRow,
    MovementRow,
    NeededRow,
    OverflowRow,
    PipeRow,
    RainRules,
    TownRow,
)
from takeoff.model.wall_rules import BoardLapRow, TrimmerRow, VentRow, WallRules
from takeoff.read.catalogue import basis_of_row, code_data, default_code, default_settings

T = TypeVar("T")
_BASIS_KEYS = frozenset(("status", "source", "clause", "via", "holds"))


@cache
def settings_of_code(code: str) -> Mapping[str, Setting]:
    """Every setting by name as a code has it, where neither office nor job says otherwise: each run asks thrice."""
    rules = rule_set(code)
    return {name: marked(setting, rules) for name, setting in default_settings(rules.id).items()}


def marked(setting: Setting, rules: RuleSet) -> Setting:
    """A setting for jobs under these rules: where its value is of another code, what it holds for says so."""
    code = setting.basis.code
    if code in ("", rules.id):
        return setting
    held = f"; {setting.basis.holds}" if setting.basis.holds else ""
    holds = f"{rule_set(code).name}, taken where the code of {rules.name} is silent{held}"
    return replace(setting, basis=replace(setting.basis, holds=holds))


@cache
def rule_set(code: str = "") -> RuleSet:
    """The rules of a code by its name, the default code's where none is named. Raises TakeoffError for faulty data."""
    code = code or default_code()
    held = code_data(code, "code")
    where = f"catalogue/codes/{code}/code.yaml"
    for key in ("name", "source", "edition", "date", "wind_zones", "wind_basis"):
        if key not in held:
            raise TakeoffError(f"{where}: needs {key}")
    zones = tuple(WindZone(str(row["id"]), float(row["speed_m_s"])) for row in held["wind_zones"])
    rules = RuleSet(
        id=code,
        name=str(held["name"]),
        source=str(held["source"]),
        edition=str(held["edition"]),
        date=str(held["date"]),
        zones=zones,
        zone_basis=basis_of_row(held["wind_basis"], where),
        patterns=tuple(_patterns(code)),
        screws=table(code, "screws", "rows", ScrewRow),
        spans=table(code, "spans", "spans", SpanRow),
        on_foot=table(code, "spans", "on_foot", FootRow),
        pitches=table(code, "sheets", "pitch", PitchRow),
        end_laps=table(code, "sheets", "end_laps", LapRow),
        covers=table(code, "flashings", "categories", CoverRow),
        expansion=table(code, "flashings", "expansion", ExpansionRow),
        rain=_rain(code),
        walls=_walls(code),
        valleys=table(code, "flashings", "valleys", ValleyRow),
        silent=rule_set(str(held["silent"])) if "silent" in held else None,
    )
    _check(rules, f"catalogue/codes/{code}")
    return rules


def table(code: str, file: str, name: str, record: type[T]) -> tuple[T, ...]:
    """A table of a code's file as records: `<name>` its rows, `<name>_basis` the basis of those that give none of
    their own. Fields of a record that end in `basis` are read as one."""
    held = code_data(code, file)
    where = f"catalogue/codes/{code}/{file}.yaml: {name}"
    shared = held.get(f"{name}_basis")
    return tuple(_record(record, row, shared, where) for row in held.get(name, ()))


def _record(record: type[T], row: Mapping[Any, Any], shared: Any, where: str) -> T:
    named = {field.name for field in fields(record)}  # type: ignore[arg-type]
    values: dict[str, Any] = {"basis": basis_of_row(row if "status" in row else shared or {}, where)}
    for key, value in row.items():
        if key in _BASIS_KEYS:
            continue
        if key not in named:
            raise TakeoffError(f"{where}: unknown field {key}")
        if str(key).endswith("basis"):
            values[str(key)] = basis_of_row(value, where)
        else:
            values[str(key)] = tuple(str(word) for word in value) if isinstance(value, list) else value
    try:
        return record(**values)
    except TypeError as err:
        raise TakeoffError(f"{where}: {err}") from None


def _rain(code: str) -> RainRules:
    """The tables of a code's rainwater.yaml."""
    areas = tuple(float(area) for area in code_data(code, "rainwater").get("needed_areas_m2", ()))
    rain = RainRules(
        brackets=table(code, "rainwater", "brackets", BracketRow),
        longest=table(code, "rainwater", "longest", LongestRow),
        movement=table(code, "rainwater", "movement", MovementRow),
        types=table(code, "rainwater", "types", GutterTypeRow),
        needed_areas_m2=areas,
        needed=table(code, "rainwater", "needed", NeededRow),
        pipes=table(code, "rainwater", "pipes", PipeRow),
        overflow=table(code, "rainwater", "overflow", OverflowRow),
        bursts=table(code, "rainwater", "bursts", BurstRow),
        freeboard=table(code, "rainwater", "freeboard", FreeboardRow),
        internal=table(code, "rainwater", "internal", InternalRow),
        towns=table(code, "rainwater", "towns", TownRow),
    )
    if any(len(row.types) != len(areas) for row in rain.needed):
        raise TakeoffError(f"catalogue/codes/{code}/rainwater.yaml: needed: a type for each of needed_areas_m2")
    return rain


def _walls(code: str) -> WallRules:
    """The tables of a code's walls.yaml."""
    return WallRules(
        board_laps=table(code, "walls", "board_laps", BoardLapRow),
        trimmers=table(code, "walls", "trimmers", TrimmerRow),
        ventilation=table(code, "walls", "ventilation", VentRow),
    )


def _patterns(code: str) -> list[ScrewPattern]:
    found: list[ScrewPattern] = []
    for name, row in code_data(code, "screws").get("patterns", {}).items():
        where = f"catalogue/codes/{code}/screws.yaml: pattern {name}"
        basis: Basis = basis_of_row(row, where)
        found.append(ScrewPattern(str(name), int(row["screws"]), int(row["of"]), str(row["says"]), basis))
    return found


def _check(rules: RuleSet, where: str) -> None:
    """Patterns that rows name exist, and every row that goes by zone has one for each."""
    known = {pattern.id for pattern in rules.patterns}
    for row in rules.screws:
        if row.by_zone and len(row.by_zone) != len(rules.zones):
            raise TakeoffError(f"{where}/screws.yaml: {row.family} {row.bmt_mm:g}: a pattern for each wind zone")
        named = {*row.by_zone, row.end, row.internal} - {"", NOT_ALLOWED}
        if named - known:
            raise TakeoffError(f"{where}/screws.yaml: no pattern {min(named - known)}")
    zones = {zone.id for zone in rules.zones}
    for cover in rules.covers:
        if set(cover.zones) - zones:
            raise TakeoffError(f"{where}/flashings.yaml: no wind zone {min(set(cover.zones) - zones)}")
