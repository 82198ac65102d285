"""What a file says its roof measures, beside ours. Files mix up true and plan areas: each is told by what it is."""

from __future__ import annotations

from takeoff.model.faces import RawFaces, StatedPart
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof

_SAME = 0.005  # share by which a stated area may differ from ours and still be it
_WORDS = 12  # told in a finding at most


def area_findings(raw: RawFaces, roof: Roof) -> tuple[Finding, ...]:
    """A note that sets each of the file's areas of its roof parts beside the area of ours that it is; a warning where
    none of them is a true area of ours, for then one of the two is wrong or something is left out."""
    parts = {part.id: part for part in raw.parts if part.stated is StatedPart.ROOF}
    stated: dict[str, list[tuple[str, float]]] = {}
    for area in raw.stated_areas:
        if area.part in parts:
            name = parts[area.part].name or area.part
            stated.setdefault(area.word, []).append((name, area.m2))
    if not stated:
        return ()
    lines = [(word, *_line(word, given, roof)) for word, given in stated.items()]
    true = [line for _, kind, line in lines if kind == "true"]
    plan = [line for _, kind, line in lines if kind == "plan"]
    none = [word for word, kind, _ in lines if kind == ""]
    told = "; ".join([*true, *plan][:_WORDS])
    left = f" No area of ours: {', '.join(none[:_WORDS])}." if none else ""
    severity = Severity.NOTE if true else Severity.WARN
    advice = (
        "" if true else "Look whether a part of the roof is missing, or whether the file's areas are those in plan."
    )
    text = f"{raw.came_from} states areas of its own. {told + '.' if told else 'None of them is one of ours.'}{left}"
    return (Finding("file-areas", severity, text, advice),)


def _line(word: str, given: list[tuple[str, float]], roof: Roof) -> tuple[str, str]:
    """What the areas of one word are, "true", "plan" or "", and the words for it."""
    matches = [_match(m2, roof) for _, m2 in given]
    kinds = {kind for kind, _ in matches}
    if len(kinds) != 1 or kinds == {""}:
        total = sum(m2 for _, m2 in given)
        kind, what = _match(total, roof)
        return kind, f"{word}: together {total:.2f} m2: {what}"
    listed = ", ".join(f"{name} {m2:.2f} m2" for name, m2 in given[:_WORDS])
    return kinds.pop(), f"{word}: {listed}: {', '.join(dict.fromkeys(what for _, what in matches[:_WORDS]))}"


def _match(m2: float, roof: Roof) -> tuple[str, str]:
    """What of ours is this large: "true" or "plan", and words for it; two empty ones where nothing is. Of a level plane
    both are alike, and it is the true one."""
    ours = {
        "plan": {plane.id: plane.plan_area_mm2 / 1e6 for plane in roof.planes},
        "true": {plane.id: plane.area_mm2 / 1e6 for plane in roof.planes},
    }
    best: tuple[float, str, str] = (_SAME * m2, "", "")
    for kind, areas in ours.items():
        near = [name for name, area in areas.items() if abs(area - m2) <= _SAME * m2]
        off = min((abs(areas[name] - m2) for name in near), default=best[0])
        if near and off <= best[0]:
            best = (off, kind, f"our {kind} area of {' or '.join(near[:4])}")
        whole = abs(sum(areas.values()) - m2)
        if whole <= best[0] and len(areas) > 1:
            best = (whole, kind, f"our {kind} area of the whole roof")
    return best[1], best[2]
