"""Faults in what a job says of the rise of its edges: trade words, steps, pitches and kinds that clash."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.model.job.edges import EdgeJob, RiseStep, SprocketJob, TwoSlopes
from takeoff.model.job.roofs import RoofJob

Fault = tuple[tuple[str | int, ...], str]
Path = tuple[str | int, ...]

_KINDS = {
    "half_hip_from_mm": ("gable", "a half hip starts as a gable"),
    "gablet_from_mm": ("eave", "a gablet stands on a hip end, which is an eave"),
    "mansard": ("eave", "a mansard starts at an eave"),
    "gambrel": ("eave", "a gambrel starts at an eave"),
    "sprocket": ("eave", "a sprocket starts at an eave"),
}


def edge_rise_faults(roof: RoofJob, edge: EdgeJob, path: Path) -> list[Fault]:
    """Faults of one edge's rise; `path` leads to the edge in the job."""
    words = edge.rise_words
    if len(words) > 1:
        return [(path, f"give one of {' and '.join(words)}; what no word says is written as a rise in steps")]
    faults: list[Fault] = []
    for word in words:
        faults += _kind_faults(edge, word, path)
    for word in ("mansard", "gambrel"):
        faults += _two_slopes_faults(getattr(edge, word), (*path, word))
        if word in words and edge.pitch_deg is not None:
            faults.append(((*path, "pitch_deg"), f"the {word} gives both pitches; leave out pitch_deg"))
    faults += _sprocket_faults(edge.sprocket, _pitch(roof, edge), (*path, "sprocket"))
    if edge.rise:
        if edge.pitch_deg is not None:
            faults.append(((*path, "pitch_deg"), "give a pitch or a rise, not both"))
        faults += _step_faults(edge.rise, path)
        if roof.flat_top_at_mm is not None and edge.rise[-1].flat:
            faults.append(
                ((*path, "rise"), "ends in a flat top, and so does the whole roof by flat_top_at_mm; give one")
            )
    return faults


def roof_rise_faults(roof: RoofJob, path: Path) -> list[Fault]:
    """Faults of the rise that holds for every eave of a roof; `path` leads to the roof in the job."""
    words = roof.rise_words
    if len(words) > 1:
        return [(path, f"give one of {' and '.join(words)}; single edges may have their own")]
    faults: list[Fault] = []
    for word in ("mansard", "gambrel"):
        faults += _two_slopes_faults(getattr(roof, word), (*path, word))
        if word in words and roof.pitch_deg is not None:
            text = f"the {word} gives both pitches of every eave; give pitch_deg to single edges only"
            faults.append(((*path, "pitch_deg"), text))
    faults += _sprocket_faults(roof.sprocket, roof.pitch_deg, (*path, "sprocket"))
    if roof.drawn is not None:
        given = [*words, *(["flat_top_at_mm"] if roof.flat_top_at_mm is not None else [])]
        faults += [((*path, word), "belongs to an outline or a wall line, not to a mesh") for word in given]
    return faults


def has_slope(roof: RoofJob, edge: EdgeJob | None) -> bool:
    """Whether an edge is upright or its pitch is known."""
    if edge is None:
        return roof.pitch_deg is not None or roof.mansard is not None or roof.gambrel is not None
    if edge.rise or edge.mansard or edge.gambrel:
        return True
    if edge.kind in ("gable", "wall") and edge.half_hip_from_mm is None:
        return True
    if edge.rise_words:
        return _pitch(roof, edge) is not None
    return edge.pitch_deg is not None or has_slope(roof, None)


def _pitch(roof: RoofJob, edge: EdgeJob) -> float | None:
    return edge.pitch_deg if edge.pitch_deg is not None else roof.pitch_deg


def _kind_faults(edge: EdgeJob, word: str, path: Path) -> list[Fault]:
    if word == "rise":
        if edge.kind in ("gable", "wall"):
            return [((*path, "rise"), f"a {edge.kind} edge is upright; leave out kind to give a rise")]
        return []
    kind, why = _KINDS[word]
    if edge.kind is not None and edge.kind != kind:
        return [
            ((*path, "kind"), f"{why}, not as a{'n eave' if edge.kind == 'eave' else f' {edge.kind}'}; leave out kind")
        ]
    return []


def _two_slopes_faults(slopes: TwoSlopes | None, path: Path) -> list[Fault]:
    if slopes is None or slopes.lower_pitch_deg > slopes.upper_pitch_deg:
        return []
    low, high = slopes.lower_pitch_deg, slopes.upper_pitch_deg
    return [(path, f"is steeper below than above, not {low:g} below {high:g} degrees; a flatter foot is a sprocket")]


def _sprocket_faults(sprocket: SprocketJob | None, above_deg: float | None, path: Path) -> list[Fault]:
    if sprocket is None or above_deg is None or sprocket.pitch_deg < above_deg:
        return []
    text = f"is flatter than the slope above it, not {sprocket.pitch_deg:g} below {above_deg:g} degrees"
    return [((*path, "pitch_deg"), text)]


def _step_faults(steps: Sequence[RiseStep], path: Path) -> list[Fault]:
    faults: list[Fault] = []
    below = 0.0
    for k, step in enumerate(steps):
        here = (*path, "rise", k)
        if (step.pitch_deg is not None) + step.vertical + step.flat != 1:
            faults.append((here, "needs one of pitch_deg, vertical: true, flat: true"))
        up_to = step.up_to_mm
        last = k == len(steps) - 1
        if up_to is None and not last:
            faults.append((here, "needs up_to_mm: only the last step goes to the top"))
        if up_to is not None and last:
            faults.append((here, "the last step goes to the top: leave out up_to_mm"))
        if step.flat and not last:
            faults.append((here, "flat can only be the last step"))
        if up_to is not None:
            if up_to <= below:
                faults.append(((*here, "up_to_mm"), f"must be above the step before it, which ends at {below:g}"))
            below = up_to
    return faults
