"""The command for many houses. Registered in `cli`."""

import os
from pathlib import Path
from typing import Annotated

import typer

from takeoff.basics.errors import ExitCode
from takeoff.basics.streams import printed
from takeoff.cli_words import complain


def many(
    source: Annotated[
        Path, typer.Argument(metavar="FILE|FOLDER", help="Map with outlines (GeoJSON, GeoJSONSeq, Parquet), or jobs.")
    ],
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for tables, pictures and what is done.")],
    workers: Annotated[int, typer.Option("--workers", metavar="N", help="Processes; 0 for all cores.")] = 0,
    cluster: Annotated[
        str, typer.Option("--cluster", metavar="ADDRESS", help="Workers of a Dask scheduler: tcp://host:8786.")
    ] = "",
    unit: Annotated[str, typer.Option("--unit", metavar="UNIT", help="Of a map: mm, cm, m, in or ft.")] = "m",
    like: Annotated[
        Path | None, typer.Option("--like", metavar="JOB", help="Job of one roof, for all that a map does not say.")
    ] = None,
    lines: Annotated[bool, typer.Option("--lines", help="To the order: lines added up by delivery and item.")] = False,
    table: Annotated[str, typer.Option("--table", metavar="KIND", help="csv or parquet.")] = "csv",
    seconds: Annotated[float, typer.Option("--seconds", metavar="S", help="A house may take; 0: no limit.")] = 60.0,
) -> None:
    """Take off many houses: a table of quantities, findings, a map. Leaves with 6 where some were not taken off."""
    from takeoff.estate.many import Wanted, take_many
    from takeoff.screen_estate import counting, show_estate

    wanted = Wanted(source, out, unit, like, lines, table, seconds, workers or os.cpu_count() or 1, cluster)
    with counting(source) as progress:
        summary = take_many(wanted, progress)
    with printed(complain, f"the tables in {out} are written and whole"):
        show_estate(summary, out)
    raise typer.Exit(int(ExitCode.DONE if summary.whole else ExitCode.STOPPED))
