"""Where the page's job file stands, and what a new one says."""

from __future__ import annotations

import datetime
from pathlib import Path

from takeoff.read.job.job_file import IN_FOLDER
from takeoff.write.job_text.new_job import new_job_text


def job_file(path: Path) -> tuple[Path, str]:
    """The job file that a path means, there or not, and the text of a new one, of today."""
    found = path / IN_FOLDER if path.is_dir() or path.suffix not in (".yaml", ".yml") else path
    return found.absolute(), new_job_text("New house", datetime.date.today())
