"""What came of one case, and how a job is run for it: in this process, with the exit the command line would leave with."""

from __future__ import annotations

import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

MOST_SECONDS = 10.0  # of processor time in one case
SAMPLES = Path(__file__).resolve().parents[3] / "geometry_samples"


@dataclass(slots=True)
class Outcome:
    """`wrong`: why this is a finding, "" for none. `evidence`: files that show it again, by name."""

    exit_code: int
    cause: str
    wrong: str = ""
    evidence: Mapping[str, bytes] = field(default_factory=dict)
    seconds: float = 0.0
    megabytes: float = 0.0


def cause_words(text: str) -> str:
    """A message without what differs from case to case: places, figures and quoted words."""
    line = text.strip().splitlines()[0] if text.strip() else ""
    line = re.sub(r"^\S*?:\d+:\d+: ", "", re.sub(r"/\S+/", "", line))
    line = re.sub(r"'[^']*'|\"[^\"]*\"", "'...'", line)
    return re.sub(r"-?\d[\d,.]*", "#", line)[:100]


def fault_outcome(err: BaseException, evidence: Mapping[str, bytes]) -> Outcome:
    """A refusal, or a fault of the program, which is a finding."""
    if isinstance(err, TakeoffError) and int(err.exit_code) != 1:
        return Outcome(int(err.exit_code), cause_words(str(err)))
    frames = traceback.extract_tb(err.__traceback__)
    where = next((f"{Path(f.filename).name}:{f.name}" for f in reversed(frames) if "takeoff" in f.filename), "")
    return Outcome(1, f"{type(err).__name__} in {where}", f"{type(err).__name__}: {err} in {where}", evidence)


def take_off(text: str, base: Path) -> Takeoff:
    """A job's text to its order. Raises what the program raises."""
    return pipeline.run(parse_job(text), base)
