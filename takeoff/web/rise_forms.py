"""How an edge rises, by picture: forms that the trade has words for, and the edits that give one to an edge or a roof.

Sizes that a form begins with are common practice and stand in the job to be changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from takeoff.basics.records import record
from takeoff.model.job.edges import RISE_WORDS, ROOF_WORDS
from takeoff.model.job_edits import GONE, Edit, EditPath, value_at
from takeoff.web.numbers_kept import Tree
from takeoff.web.plan_edits import Edits
from takeoff.web.plan_entries import Entry, Typed, set_or_out


@record
class RiseForm:
    """A form: its key in the job ("" for one even slope), its name, what it is, its picture as a path in a box of 60 by
    36, what is written first, and the kind that it asks of the edge."""

    key: str
    name: str
    says: str
    picture: str
    begins: Mapping[str, float] | float | None
    kind: str = "eave"


_HIP = "M4 32L30 8L56 32Z"
RISE_FORMS = (
    RiseForm("", "one slope", "from the fascia to the top at one pitch", _HIP, None),
    RiseForm("half_hip_from_mm", "half hip", "a gable below, hipped above", f"{_HIP}M17 20H43L30 8Z", 1200, "gable"),
    RiseForm("gablet_from_mm", "gablet", "hipped below, a gable above", "M4 32L20 14L30 5L40 14L56 32ZM20 14H40", 1800),
    RiseForm(
        "mansard",
        "mansard",
        "steep below, flatter above",
        "M4 32L14 14L30 7L46 14L56 32ZM14 14H46",
        {"lower_pitch_deg": 65, "to_mm": 2400, "upper_pitch_deg": 20},
    ),
    RiseForm(
        "gambrel",
        "gambrel",
        "steep below, flatter above, between gable ends",
        "M4 32L12 15L30 6L48 15L56 32ZM30 6V32",
        {"lower_pitch_deg": 60, "to_mm": 2000, "upper_pitch_deg": 25},
    ),
    RiseForm(
        "sprocket",
        "sprocket",
        "a flatter foot, the pitch above",
        "M2 32L14 26L30 6L46 26L58 32ZM14 26H46",
        {"pitch_deg": 15, "to_mm": 300},
    ),
)
_LABELS = {
    "half_hip_from_mm": "Hipped from, over the fascia",
    "gablet_from_mm": "Gable from, over the fascia",
    "lower_pitch_deg": "Pitch below",
    "to_mm": "Up to, over the fascia",
    "upper_pitch_deg": "Pitch above",
    "pitch_deg": "Pitch of the foot",
}


def rise_of(tree: Tree, at: EditPath) -> str:
    """The key of the form that an edge or a roof at a path has: "" for one slope, "rise" for steps written by hand."""
    held = value_at(tree, at)
    return next((key for key in RISE_WORDS if isinstance(held, dict) and held.get(key) is not None), "")


def forms_of(at: EditPath) -> tuple[RiseForm, ...]:
    """The forms that may be said at a path: of an edge all, of a whole roof those that every eave can have."""
    return RISE_FORMS if "edges" in at else tuple(form for form in RISE_FORMS if form.key in ("", *ROOF_WORDS))


def rise_given(tree: Tree, at: EditPath, form: RiseForm) -> Edits:
    """Edits that give an edge or a roof a form, and take the last one out. A form that says both its pitches takes the
    place of the pitch; going back to one slope leaves the upper pitch."""
    held = value_at(tree, at)
    now: Mapping[str, Any] = held if isinstance(held, dict) else {}
    edits = [Edit((*at, key), GONE) for key in RISE_WORDS if key in now and key != form.key]
    both = form.key in ("mansard", "gambrel")
    if both and "pitch_deg" in now:
        edits.append(Edit((*at, "pitch_deg"), GONE))
    old = now.get("mansard") or now.get("gambrel")
    if not both and "edges" not in at and "pitch_deg" not in now and isinstance(old, dict):
        edits.append(Edit((*at, "pitch_deg"), old.get("upper_pitch_deg", 25)))
    if "kind" in now and now["kind"] != form.kind and form.key:
        edits.append(Edit((*at, "kind"), GONE))
    if form.key and form.key not in now:
        begins = dict(form.begins) if isinstance(form.begins, Mapping) else form.begins
        edits.append(Edit((*at, form.key), begins))
    if not form.key and set(now) <= set(RISE_WORDS) and edits and "edges" in at:
        return (set_or_out(tree, at, GONE),)
    return tuple(edits)


def rise_entries(tree: Tree, at: EditPath) -> tuple[Entry, ...]:
    """The sizes of the form that an edge or a roof has."""
    key = rise_of(tree, at)
    said = value_at(tree, (*at, key)) if key else None
    if isinstance(said, dict):
        return tuple(_entry((*at, key, name), said.get(name)) for name in said if name in _LABELS)
    return (_entry((*at, key), said),) if key in _LABELS else ()


def _entry(path: EditPath, value: object) -> Entry:
    angle = str(path[-1]).endswith("_deg")
    text = "" if value is None else f"{value:g}" if isinstance(value, int | float) else str(value)
    unit = "\N{DEGREE SIGN}" if angle else "mm"
    return Entry(path, _LABELS[str(path[-1])], Typed.DEGREES if angle else Typed.LENGTH, text, "needed", unit=unit)
