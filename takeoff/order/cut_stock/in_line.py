"""What is said of joints of neighbouring rows that stand nearer to each other than they should."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import Joint, RunDemand


def joints_in_line(runs: Sequence[RunDemand], joints: Sequence[Joint]) -> tuple[Finding, ...]:
    """A finding for each group of rows with joints that are not clear: a warning where they were to be kept apart, a
    note where they may stand in line."""
    told = {run.id: run for run in runs if run.tell}
    groups: dict[str, list[Joint]] = defaultdict(list)
    for joint in joints:
        if not joint.clear and joint.run in told:
            groups[told[joint.run].group].append(joint)
    return tuple(_finding(group, found, told) for group, found in sorted(groups.items()))


def _finding(group: str, joints: Sequence[Joint], told: dict[str, RunDemand]) -> Finding:
    rows = tuple(dict.fromkeys(joint.run for joint in joints))
    places = {round(joint.at_mm + told[joint.run].offset_mm) for joint in joints}
    apart = any(told[joint.run].spare_joints for joint in joints)
    gap = max(told[joint.run].stagger_mm for joint in joints)
    first = told[joints[0].run]
    where = f"on one {first.joint_on}" if len(places) == 1 else f"less than {gap:.0f} mm from those of a row beside"
    if first.rows_apart > 1:
        where += f", in less than {first.rows_apart + 1} rows"
    return Finding(
        "joints-in-line",
        Severity.WARN if apart else Severity.NOTE,
        f"{group}: joints of {len(rows)} rows stand {where}: {rows[0]} to {rows[-1]}.",
        "Name longer stock, or closer supports."
        if apart
        else "Where they must not, a third piece goes into every other row: `settings: {purlin_joints: staggered}`.",
        (*rows, group),
    )
