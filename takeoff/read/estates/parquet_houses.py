"""Houses of a Parquet table: a column `geometry` (WKB, as GeoParquet has it, or WKT), the others are attributes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import shapely
from shapely.geometry import mapping

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.regular_files import opened
from takeoff.model.estate import EstateHouse
from takeoff.read.estates.attributes import house_name
from takeoff.read.estates.map_houses import geometry_house
from takeoff.read.outlines.geojson_rings import DEGREES_NAMED

if TYPE_CHECKING:
    from pyarrow.parquet import ParquetFile

_ROWS = 1_000  # a batch
_COLUMN = "geometry"
_GEO = b"geo"  # key of GeoParquet's own words in the file


def read_table(path: Path) -> Iterator[EstateHouse]:
    """Every row of a Parquet table as a house. Raises UnreadableFileError for a file that is none, without geometries
    or in degrees, UsageError where the library that reads it is not installed."""
    try:
        from pyarrow import ArrowInvalid
        from pyarrow.parquet import ParquetFile
    except ImportError:
        raise UsageError("Parquet is read by an extra: pip install 'takeoff[parquet]'") from None
    with opened(path, "table") as stream:
        try:
            table = ParquetFile(stream)
            _check(path.name, table)
            number = 0
            for batch in table.iter_batches(batch_size=_ROWS):
                for row in batch.to_pylist():
                    number += 1
                    yield _house(path.name, number, row)
        except (ArrowInvalid, OSError) as err:
            raise UnreadableFileError(f"{path.name}: is no Parquet table ({str(err)[:80]}); save it again") from None


def _check(name: str, table: ParquetFile) -> None:
    if _COLUMN not in table.schema_arrow.names:
        raise UnreadableFileError(f"{name}: has no column {_COLUMN}, with outlines as WKB or WKT")
    said = (table.schema_arrow.metadata or {}).get(_GEO)
    if said is None:
        return
    try:
        column = json.loads(said)["columns"][_COLUMN]
    except (ValueError, KeyError, TypeError):
        return
    crs = column.get("crs", "OGC:CRS84")  # what GeoParquet means where it says nothing
    if DEGREES_NAMED.search(_crs_words(crs)):
        raise UnreadableFileError(
            f"{name}: its grid is degrees of longitude and latitude; save it in a projected grid, in metres"
        )


def _crs_words(crs: Any) -> str:
    """Authority and code of a grid as they are looked for."""
    if isinstance(crs, dict):
        own = crs.get("id")
        return f"{own.get('authority')}:{own.get('code')}" if isinstance(own, dict) else ""
    return str(crs)


def _house(name: str, number: int, row: Mapping[str, Any]) -> EstateHouse:
    named = house_name(row, f"row {number}")
    properties = {key: value for key, value in row.items() if key != _COLUMN}
    held = row.get(_COLUMN)
    try:
        shape = shapely.from_wkb(held) if isinstance(held, bytes) else shapely.from_wkt(held)
    except (shapely.errors.GEOSException, TypeError) as err:
        return EstateHouse(number, named, refused=f"its geometry cannot be read ({str(err)[:80]})")
    if shape is None or shape.is_empty:
        return EstateHouse(number, named, refused="has no geometry")
    return geometry_house(name, number, named, json.loads(json.dumps(mapping(shape))), properties)
