"""Trade words for how an edge rises, written out as steps: (up to a height above the edge's fascia, pitch).

half hip             gablet            mansard, gambrel         sprocket             flat top
   _                   |                     __                    /                ______
 /                     |                   /                      /                /
|  from             /  from              |   to                __/ to             /   at
|                  /                     |                   _-                  /
"""

from __future__ import annotations

from takeoff.model.job.edges import EdgeJob, RiseStep, TwoSlopes
from takeoff.model.job.roofs import RoofJob


def written_rise(edge: EdgeJob, roof: RoofJob) -> list[RiseStep] | None:
    """The steps of an edge that changes as it rises, without the roof's flat top; None for one plain slope or upright.

    An edge's own words and pitch hold before the roof's. A step that needs a pitch which nobody gave has none.
    """
    pitch_deg = edge.pitch_deg if edge.pitch_deg is not None else roof.pitch_deg
    if edge.rise is not None:
        return list(edge.rise)
    if edge.half_hip_from_mm is not None:
        return [RiseStep(up_to_mm=edge.half_hip_from_mm, vertical=True), RiseStep(pitch_deg=pitch_deg)]
    if edge.gablet_from_mm is not None:
        return [RiseStep(up_to_mm=edge.gablet_from_mm, pitch_deg=pitch_deg), RiseStep(vertical=True)]
    own = bool(edge.rise_words) or edge.pitch_deg is not None or edge.kind in ("gable", "wall")
    slopes = edge.mansard or edge.gambrel or (None if own else roof.mansard or roof.gambrel)
    if slopes is not None:
        return _two_slopes(slopes)
    sprocket = edge.sprocket or (None if own else roof.sprocket)
    if sprocket is not None:
        return [RiseStep(up_to_mm=sprocket.to_mm, pitch_deg=sprocket.pitch_deg), RiseStep(pitch_deg=pitch_deg)]
    return None


def _two_slopes(slopes: TwoSlopes) -> list[RiseStep]:
    lower = RiseStep(up_to_mm=slopes.to_mm, pitch_deg=slopes.lower_pitch_deg)
    return [lower, RiseStep(pitch_deg=slopes.upper_pitch_deg)]
