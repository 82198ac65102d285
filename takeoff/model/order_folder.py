"""A folder with an order in it: what was written into it, and how it is found later."""

from __future__ import annotations

from pathlib import Path

from takeoff.basics.records import record

ORDER_SHEET = "order_sheet.xlsx"
MEASURE_FORM = "site_measure.csv"
HOUSE_PAGE = "house.html"
HOUSE_GLB = "house.glb"
HOUSE_IFC = "house.ifc"
START = "start_here.pdf"


@record
class Written:
    """A set of files as it was written. `kept`: name of a file that somebody had changed, and the name it has now.
    `unmatched`: what people had typed into the last order sheet that stands beside no line of the new one; `unread`:
    why it could not be read back."""

    folder: Path
    paths: tuple[Path, ...]
    kept: tuple[tuple[str, str], ...] = ()
    unmatched: tuple[str, ...] = ()
    unread: str = ""


@record
class OneWritten:
    """One file as it was written. `kept`: the name that what was there before has now, "" for nothing."""

    path: Path
    kept: str = ""


@record
class FolderState:
    """How the folder of an order is found. `faults`: why it is not one whole set; `edited`: files changed since they
    were written; `differing`: lines of the order sheet whose totals are not those of the data; `lines`: how many of
    them were compared; `notes`: what could not be compared, and why;
    `job_changed`: it was made from another version of the job."""

    folder: Path
    job: str = ""
    fingerprint: str = ""
    files: int = 0
    faults: tuple[str, ...] = ()
    edited: tuple[str, ...] = ()
    differing: tuple[str, ...] = ()
    lines: int = 0
    notes: tuple[str, ...] = ()
    job_changed: bool = False

    @property
    def whole(self) -> bool:
        """True where every file of the set is there, and the sheet says what the data says where nobody edited it."""
        return not self.faults
