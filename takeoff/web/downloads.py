"""What can be taken away from the page: the files of the order as the command line writes them, by kind."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.model.order_folder import ORDER_SHEET
from takeoff.web.house import House, News

_DAY = (1980, 1, 1, 0, 0, 0)  # of every entry: the same files give the same bytes


@record
class Download:
    """A kind: its `key` in the address, what it is called, `only` as the command line takes it, and the files of it,
    by pattern. `needs`: a package that it cannot be made without."""

    key: str
    words: str
    only: str
    names: tuple[str, ...]
    needs: str = ""

    @property
    def lacks(self) -> bool:
        """Whether it cannot be made here."""
        return bool(self.needs) and find_spec(self.needs) is None


DOWNLOADS: tuple[Download, ...] = (
    Download("workbook", "Order sheet (XLSX)", "order", (ORDER_SHEET,)),
    Download("orders", "Orders for suppliers and mill (PDF)", "order", ("*.pdf",)),
    Download("site", "Site paper (PDF)", "site", ("site.pdf",)),
    Download("measure", "Form for taped sizes (CSV)", "site", ("site_measure.csv",)),
    Download("flashings", "Flashings (PDF)", "flashings", ("flashings.pdf",)),
    Download("walls", "Walls (PDF)", "walls", ("walls.pdf",)),
    Download("office", "Checks and bases (PDF)", "office", ("office.pdf",)),
    Download("dxf", "Drawings (DXF)", "dxf", ("*.dxf",)),
    Download("svg", "Drawings (SVG)", "svg", ("*.svg",)),
    Download("house", "House to turn (HTML)", "html", ("house.html",)),
    Download("glb", "Model (GLB)", "models", ("house.glb",), "ifcopenshell"),
    Download("ifc", "Model (IFC)", "models", ("house.ifc",), "ifcopenshell"),
    Download("json", "Data (JSON)", "start", ("takeoff.json",)),
    Download("all", "Everything (ZIP)", "all", ("*",)),
)


def why_not(house: House) -> str:
    """Why no file can be taken away; "" where it can."""
    if house.current(News.REFUSED):
        return "The job cannot be taken off: see Findings."
    if not house.current(News.ORDERED):
        return "The order of the newest edit is not there yet."
    return "" if house.order_stands else "NOT AN ORDER: something stops it, see Findings."


async def taken_away(house: House, key: str) -> tuple[str, bytes]:
    """The name and the bytes of a download: one file as it is, several as a ZIP. Raises UsageError for a kind that is
    none or that has nothing for this house, TakeoffError where there is no order."""
    wanted = next((each for each in DOWNLOADS if each.key == key), None)
    if wanted is None:
        raise UsageError(f"there is no download {key[:40]!r}.")
    why = why_not(house)
    if why:
        raise UsageError(why)
    with TemporaryDirectory(prefix="takeoff-page-") as folder:
        out = Path(folder) / "files"
        await house.written(out, wanted.only)
        return packed(out, wanted)


def packed(out: Path, wanted: Download) -> tuple[str, bytes]:
    """What a download holds of the files in a folder. Raises UsageError where that is none."""
    found = [
        path for path in sorted(out.iterdir()) if any(PurePosixPath(path.name).match(each) for each in wanted.names)
    ]
    if not found:
        raise UsageError(f"{wanted.words}: this house has none.")
    if len(wanted.names) == 1 and "*" not in wanted.names[0]:
        return found[0].name, found[0].read_bytes()
    return f"takeoff_{wanted.key}.zip", _zipped(found)


def _zipped(paths: Sequence[Path]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in paths:
            archive.writestr(zipfile.ZipInfo(path.name, _DAY), path.read_bytes(), zipfile.ZIP_DEFLATED)
    return made.getvalue()
