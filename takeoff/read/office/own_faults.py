"""Faults of an office's own products and tables whose fields are right by themselves."""

from __future__ import annotations

from takeoff.basics.nearest import did_you_mean
from takeoff.model.code_rules import NOT_ALLOWED
from takeoff.model.office import Office
from takeoff.model.own_products import OwnTables
from takeoff.model.products import ProfileShape
from takeoff.read.catalogue import codes, default_code, load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.job.yaml_tree import Path
from takeoff.read.office_products import TABLES

Faults = list[tuple[Path, str]]
FAMILIES = tuple(
    dict.fromkeys(
        [shape.value for shape in ProfileShape if shape is not ProfileShape.TRAY]
        + ["tray_narrow", "five_rib", "six_rib"]
    )
)


def product_faults(office: Office) -> Faults:
    """Faults between the fields of own products: a cover wider than the whole, an edge kind that there is not."""
    faults: Faults = []
    for name, profile in office.profiles.items():
        if profile.overall_mm < profile.cover_mm:
            text = f"{profile.overall_mm:g} is less than cover_mm {profile.cover_mm:g}"
            faults.append((("profiles", name, "overall_mm"), f"{text}; overall is the whole width of a sheet"))
    for name, board in office.boards.items():
        if board.width_mm < board.cover_mm:
            text = f"{board.cover_mm:g} is more than width_mm {board.width_mm:g}"
            faults.append((("boards", name, "cover_mm"), text))
    kinds = sorted({product.edge_kind for product in load_catalogue().flashings.values()})
    for name, flashing in office.flashings.items():
        if flashing.edge_kind not in kinds:
            hint = did_you_mean(flashing.edge_kind, kinds, f"; known: {', '.join(kinds)}")
            faults.append((("flashings", name, "edge_kind"), f"unknown edge kind {flashing.edge_kind}{hint}"))
    for name, pipe in office.downpipes.items():
        if len(pipe.table_m2) not in (0, 4):
            faults.append((("downpipes", name, "table_m2"), f"needs four bands or none, has {len(pipe.table_m2)}"))
    return faults


def table_faults(own: OwnTables | None) -> Faults:
    """Faults of own tables: no basis, a family, pattern or zone that there is not, too few types in a row."""
    if own is None:
        return []
    faults: Faults = []
    for table in TABLES:
        if getattr(own, table) and getattr(own, f"{table}_basis") is None:
            at: Path = ("tables", table)
            faults.append((at, f"needs {table}_basis: where its figures come from"))
    if own.code is not None and own.code not in codes():
        hint = did_you_mean(own.code, codes(), f"; known: {', '.join(codes())}")
        return [*faults, (("tables", "code"), f"unknown code {own.code}{hint}")]
    faults += _family_faults(own) + _screw_faults(own)
    for i, row in enumerate(own.needed):
        if len(row.types) != len(own.needed_areas_m2):
            text = f"has {len(row.types)} types for {len(own.needed_areas_m2)} catchments of needed_areas_m2"
            faults.append((("tables", "needed", i, "types"), text))
    if list(own.needed_areas_m2) != sorted(set(own.needed_areas_m2)):
        faults.append((("tables", "needed_areas_m2"), "goes from the least to the largest, each once"))
    return faults


def _family_faults(own: OwnTables) -> Faults:
    faults: Faults = []
    for table in ("spans", "on_foot", "screws"):
        for i, row in enumerate(getattr(own, table)):
            if row.family not in FAMILIES:
                hint = did_you_mean(row.family, FAMILIES, f"; known: {', '.join(FAMILIES)}")
                faults.append((("tables", table, i, "family"), f"unknown family {row.family}{hint}"))
    return faults


def _screw_faults(own: OwnTables) -> Faults:
    rules = rule_set(own.code or default_code())
    known = {*own.patterns, *(pattern.id for pattern in rules.patterns), NOT_ALLOWED}
    faults: Faults = []
    for i, row in enumerate(own.screws):
        at: Path = ("tables", "screws", i)
        if not row.by_zone and not (row.end and row.internal):
            faults.append((at, "needs by_zone, or end and internal"))
        if row.by_zone and len(row.by_zone) != len(rules.zones):
            zones = ", ".join(zone.id for zone in rules.zones)
            faults.append(((*at, "by_zone"), f"needs a pattern for each wind zone: {zones}"))
        for name in (*row.by_zone, row.end, row.internal):
            if name and name not in known:
                hint = did_you_mean(name, known, f"; known: {', '.join(sorted(known))}")
                faults.append((at, f"unknown pattern {name}{hint}"))
    return faults
