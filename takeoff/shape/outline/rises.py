"""How each edge of a roof job rises: eave pitch, gable, wall, or a rise in steps -> the solver's profiles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.basics.errors import Fault, faults_at
from takeoff.basics.records import record
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.edges import EdgeJob, RiseStep
from takeoff.model.job.roofs import RoofJob
from takeoff.shape.faces.parts import Face
from takeoff.shape.outline.rise_words import written_rise
from takeoff.shape.skeleton.record import EdgeProfile
from takeoff.shape.skeleton.record import RiseStep as SolverStep

VERTICAL = SolverStep(None, 90.0)


@record
class EdgeRise:
    """One edge: what it is called, its fascia height [mm], its level overhang [mm] and its profile."""

    name: str
    fascia_mm: float
    overhang_mm: float
    profile: EdgeProfile


def edge_rises(job: RoofJob, count: int, fascia_mm: float) -> tuple[dict[int, EdgeRise], tuple[str, ...]]:
    """The rise of edges 1 to `count`, and every fault found. `fascia_mm` holds where the edge gives none."""
    rises: dict[int, EdgeRise] = {}
    faults: list[str] = []
    for number in sorted(job.edges):
        if not 1 <= number <= count:
            text = f"roof {job.name}: there is no edge {number}; its edges are numbered 1 to {count}"
            faults.append(Fault(text, "roofs", job.name, "edge", number))
    plain = EdgeJob()
    for number in range(1, count + 1):
        edge = job.edges.get(number, plain)
        height = edge.fascia_height_mm if edge.fascia_height_mm is not None else fascia_mm
        where = f"roof {job.name}: edge {number}"
        steps, found = _steps(edge, job, height, where)
        if job.flat_top_at_mm is not None and steps and not _stands(steps):
            steps, closed = _flat_topped(steps, fascia_mm + job.flat_top_at_mm, where)
            found += closed
        faults += faults_at(found, "roofs", job.name, "edge", number)
        name = edge.kind or ("gable" if steps and steps[0].pitch_deg == 90.0 else "eave")
        rises[number] = EdgeRise(name, height, _overhang(job, edge, name), EdgeProfile(height, tuple(steps)))
    if not faults and all(_stands(rise.profile.steps) for rise in rises.values()):
        text = f"no edge slopes: edges 1 to {count} all stand upright and never close; give one of them a pitch"
        faults.append(Fault(f"roof {job.name}: {text}", "roofs", job.name))
    return rises, tuple(faults)


def _stands(steps: Sequence[SolverStep]) -> bool:
    return all(step.pitch_deg == 90.0 for step in steps)


def overhang_mm(job: RoofJob, edge: EdgeJob) -> float:
    """Level overhang of an edge of a wall line [mm]."""
    rise = written_rise(edge, job)
    upright = bool(rise) and rise is not None and rise[0].vertical
    return _overhang(job, edge, edge.kind or ("gable" if upright else "eave"))


def _overhang(job: RoofJob, edge: EdgeJob, name: str) -> float:
    if name == "wall":
        return 0.0
    if name == "gable":
        return edge.verge_overhang_mm if edge.verge_overhang_mm is not None else job.verge_overhang_mm
    return edge.eave_overhang_mm if edge.eave_overhang_mm is not None else job.eave_overhang_mm


def _steps(edge: EdgeJob, job: RoofJob, fascia_mm: float, where: str) -> tuple[list[SolverStep], list[str]]:
    pitch = edge.pitch_deg if edge.pitch_deg is not None else job.pitch_deg
    if len(edge.rise_words) > 1 or len(job.rise_words) > 1:
        return [], [f"{where}: give one of {' and '.join(edge.rise_words or job.rise_words)}"]
    rise = written_rise(edge, job)
    if rise is None:
        if edge.kind in ("gable", "wall"):
            return [VERTICAL], []
        if pitch is None:
            return [], [f"{where} has no pitch; give pitch_deg to the roof or the edge, or make it a gable"]
        return [SolverStep(None, pitch)], []
    return _given_steps(rise, edge.kind, pitch, fascia_mm, where)


def _flat_topped(steps: list[SolverStep], top_z: float, where: str) -> tuple[list[SolverStep], list[str]]:
    """Steps ended by a level top at `top_z` [mm over the floor]."""
    *lower, last = steps
    begin = lower[-1].up_to_z if lower else None
    if last.pitch_deg == 0.0:
        return steps, [f"{where} has a flat top of its own; leave out flat_top_at_mm, or the last step"]
    if begin is not None and begin >= top_z:
        gap_mm = begin - top_z
        text = (
            f"{where}: the flat top must lie above the height where its last step begins, which is {gap_mm:g} mm higher"
        )
        return steps, [
            text if gap_mm else f"{where}: the flat top lies where its last step begins; leave out one of them"
        ]
    return [*lower, SolverStep(top_z, last.pitch_deg), SolverStep(None, 0.0)], []


def _given_steps(
    rise: Sequence[RiseStep], kind: str | None, pitch: float | None, fascia_mm: float, where: str
) -> tuple[list[SolverStep], list[str]]:
    steps: list[SolverStep] = []
    faults: list[str] = []
    reached = 0.0
    for number, step in enumerate(rise, start=1):
        at = f"{where}, step {number} of its rise"
        last = number == len(rise)
        angle, fault = _angle(step, pitch, at)
        faults += [fault] if fault else []
        if step.flat and not last:
            faults.append(f"{at} is flat: a flat top ends the roof, so it must be the last step")
        if last and step.up_to_mm is not None:
            faults.append(f"{at} is the last and goes to the top; leave out up_to_mm")
        elif not last and step.up_to_mm is None:
            faults.append(f"{at} needs up_to_mm, the height above the fascia where the next step begins")
        elif not last and step.up_to_mm is not None:
            if step.up_to_mm <= reached:
                faults.append(f"{at} ends at {step.up_to_mm:g}, not above {reached:g} where it begins")
            reached = max(reached, step.up_to_mm)
        up_to = fascia_mm + step.up_to_mm if step.up_to_mm is not None else None
        steps.append(SolverStep(up_to, angle))
    if not faults and kind in ("gable", "wall") and steps[0].pitch_deg != 90.0:
        faults.append(f"{where} is a {kind} but its rise does not start upright; make its first step vertical")
    if not faults and kind == "eave" and steps[0].pitch_deg == 90.0:
        faults.append(f"{where} is an eave but its rise starts upright; call it a gable")
    return steps, faults


def _angle(step: RiseStep, pitch: float | None, at: str) -> tuple[float, str]:
    if step.vertical + step.flat + (step.pitch_deg is not None) > 1:
        return 0.0, f"{at}: give one of pitch_deg, vertical and flat"
    if step.vertical:
        return 90.0, ""
    if step.flat:
        return 0.0, ""
    angle = step.pitch_deg if step.pitch_deg is not None else pitch
    return (angle, "") if angle is not None else (0.0, f"{at}: give pitch_deg, vertical or flat")


def plate_heights(rises: Mapping[int, EdgeRise]) -> dict[int, float]:
    """Height of the roof plane over the wall line [mm] for every sloping eave: fascia + overhang x tan(pitch)."""
    from math import radians, tan

    found = {}
    for number, rise in rises.items():
        first = rise.profile.steps[0].pitch_deg
        if rise.name == "eave" and first is not None and 0.0 < first < 90.0:
            found[number] = rise.fascia_mm + rise.overhang_mm * tan(radians(first))
    return found


def unreached_steps(name: str, rises: Mapping[int, EdgeRise], faces: Sequence[Face]) -> list[Finding]:
    """A finding for every edge of which a step makes no face: the roof closes below it, and the plan will surprise."""
    made = {(edge, face.step) for face in faces for edge in face.outline_edges}
    tops: dict[int, float] = {}
    for face in faces:
        for edge in face.outline_edges:
            tops[edge] = max(tops.get(edge, 0.0), max(z for ring in face.rings_mm for _, _, z in ring))
    flat = any(face.upright is None and face.pitch_deg == 0.0 for face in faces)
    found = []
    for number, rise in sorted(rises.items()):
        steps = rise.profile.steps
        for step in range(1, len(steps)):
            level = steps[step].pitch_deg == 0.0
            if (number, step) in made or (level and flat):
                continue
            begin_mm = (steps[step - 1].up_to_z or rise.fascia_mm) - rise.fascia_mm
            top_mm = max(0.0, tops.get(number, rise.fascia_mm) - rise.fascia_mm)
            what = "the flat top" if level else f"step {step + 1} of its rise"
            text = (
                f"roof {name}: edge {number}: {what} begins {begin_mm:.0f} mm over its fascia, but the roof over that "
                f"edge ends at {top_mm:.0f} mm and never gets there"
            )
            advice = "let it begin lower, or leave it out"
            found.append(Finding("rise-not-reached", Severity.WARN, text, advice, refs=(f"edge {number}",)))
            break
    return found
