"""The text of a new job file: short, with the few comments that whoever opens it first needs."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Literal

from takeoff.basics.errors import UsageError
from takeoff.basics.rounding import half_up
from takeoff.basics.vectors import Point2
from takeoff.write.job_text.written import flow_words, scalar_words

_HEAD = """\
# Lengths are millimetres, pitches degrees; edges and walls count from 1 as they are drawn.
job: {name}
revision: A
date: {date}
north_deg: 0   # compass bearing of plan up

# site: {{wind_zone: high, rain_mm_per_h: 110}}   # of the place where the house stands

"""
_ROOF = """\
roofs:
  - name: main
    # {what}; edge n runs from point n to the next
    {key}: {points}
{overhang}    fascia_height_mm: 2450   # underside of the sheets at the fascia, over the finished floor
    pitch_deg: {pitch}
"""
_WHAT = {"wall_line": "outside of the framing", "outline": "outer face of the fascia"}
_OVERHANG = "    eave_overhang_mm: 600\n"


def new_job_text(
    name: str,
    date: datetime.date,
    drawn: Sequence[Point2] = (),
    drawn_is: Literal["wall_line", "outline"] = "wall_line",
    pitch_deg: float = 25.0,
) -> str:
    """A job without a roof, or with one of a drawn ring of points in plan [mm], put to whole mm.

    Fascia height and overhang are those of the starter in the templates. UsageError for fewer than three points.
    """
    text = _HEAD.format(name=scalar_words(name), date=date.isoformat())
    if not drawn:
        return text + "roofs: []\n"
    points = [[int(half_up(x, 0)), int(half_up(y, 0))] for x, y in drawn]
    if len(points) < 3:
        raise UsageError("an outline has at least three points")
    overhang = _OVERHANG if drawn_is == "wall_line" else ""
    pitch = scalar_words(pitch_deg)
    roof = {"what": _WHAT[drawn_is], "key": drawn_is, "points": flow_words(points), "overhang": overhang}
    return text + _ROOF.format(**roof, pitch=pitch)
