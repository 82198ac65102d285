"""Draw the roof of every sample again: python tests/golden/renew_pictures.py

The pictures are drawings of demonstration jobs, no check values: look at what changed before it is kept.
"""

from __future__ import annotations

from pathlib import Path

from takeoff import pipeline
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.svg import svg_text

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
PICTURE = "roof_3d.svg"
PLAN = SAMPLES / "homestead" / "roof_plan.svg"  # the picture at the top of the README


def sample_jobs() -> list[Path]:
    """The job file of every sample that has a roof to show."""
    jobs = sorted(SAMPLES.glob("*/job.yaml"))
    return [job for job in jobs if "roofs:" in job.read_text(encoding="utf-8")]


def picture(job: Path) -> str:
    """The view of a sample's roof as SVG."""
    view = roof_view(pipeline.run_file(job, pipeline.Stage.SHAPE))
    if view is None:
        raise ValueError(f"{job}: no roof to draw")
    return svg_text(view)


def plan() -> str:
    """The roof plan of the big sample as SVG, as it stands in its order."""
    drawing = roof_plan(pipeline.run_file(PLAN.with_name("job.yaml")))
    if drawing is None:
        raise ValueError("the big sample has no roof")
    return svg_text(drawing)


if __name__ == "__main__":
    for path in sample_jobs():
        path.with_name(PICTURE).write_text(picture(path), encoding="utf-8", newline="\n")
    PLAN.write_text(plan(), encoding="utf-8", newline="\n")
