"""What the plan says beside the job as typed: profiles and wind zones that can be named, figures of the shape."""

from __future__ import annotations

from typing import Any

from takeoff.model.order import Takeoff
from takeoff.read.catalogue import code_data, codes, default_code, default_settings, load_catalogue
from takeoff.web.numbers_kept import Tree


def known_profiles(tree: Tree, taken: Takeoff | None) -> tuple[str, ...]:
    """Sheet profiles that a covering can name: the catalogue's, the office's, the job's own."""
    catalogue = taken.catalogue if taken is not None else load_catalogue()
    own = tree.get("profiles") if isinstance(tree, dict) else None
    return tuple(dict.fromkeys([*catalogue.profiles, *map(str, own if isinstance(own, dict) else ())]))


def wind_zones(tree: Tree) -> tuple[tuple[str, ...], str]:
    """The wind zones of the job's code, and the one that is taken where the job names none."""
    named = tree.get("code") if isinstance(tree, dict) else None
    code = str(named) if named in codes() else default_code()
    rows: Any = code_data(code, "code").get("wind_zones", ())
    return tuple(str(row["id"]) for row in rows), str(default_settings(code)["wind_zone_if_not_given"].value)


def shape_words(mark: str, shaped: Takeoff | None) -> str:
    """What the shape says of a plane or an edge of a mark; "" where there is none."""
    for roof in shaped.roofs if shaped is not None else ():
        for plane in roof.planes:
            if mark == plane.id or mark.startswith(f"{plane.id}."):
                area = f"{plane.area_mm2 / 1e6:.2f} m\N{SUPERSCRIPT TWO} on the slope"
                return f"Plane {plane.id} of roof {roof.name}: {plane.pitch_deg:.4g} degrees, {area}."
        for edge in roof.own_edges:
            if edge.id == mark:
                return f"{edge.kind.capitalize()} {edge.id} of roof {edge.roof}: {edge.length_mm:.0f} mm long."
    return ""
