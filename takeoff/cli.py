"""The command line: arguments in, one pipeline call, files out, exit code. No figure is made here.

Heavy libraries are imported inside the commands, so that `takeoff --help` answers at once.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from shutil import which
from typing import TYPE_CHECKING, Annotated

import typer

from takeoff.basics.errors import ExitCode, TakeoffError, UsageError

if TYPE_CHECKING:
    from takeoff.model.order import Takeoff
    from takeoff.review import Review

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="Job file (YAML).")]
DifferencesFile = Annotated[
    Path | None, typer.Option("--out", metavar="FILE.xlsx", help="Write the differences into a workbook.")
]

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Roof and cladding takeoff: a house's shape in, cut lists, an order sheet and drawings out.",
)


def _version(wanted: bool) -> None:
    if wanted:
        from takeoff import __version__

        typer.echo(f"takeoff {__version__}")
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and leave.")
    ] = False,
) -> None:
    """Options before the command."""


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(help="Folder to write job.yaml into; made if it is not there.")] = Path(),
) -> None:
    """Write a commented starter job."""
    from takeoff.basics.files import template_path

    target = folder / "job.yaml"
    if target.exists():
        raise UsageError(f"{target} is there already; name another folder")
    folder.mkdir(parents=True, exist_ok=True)
    for name, place in (("starter.yaml", target), ("job.schema.json", folder / "job.schema.json")):
        place.write_text(template_path(name).read_text(encoding="utf-8"), encoding="utf-8")
    typer.echo(f"{target}\nnext: {_program()} run {target} --out {folder / 'order'}")


def _program() -> str:
    """The program as it was typed, so that what is printed can be typed too."""
    typed = sys.argv[0]
    if Path(typed).name == "__main__.py":
        return "python -m takeoff"
    return Path(typed).name if which(Path(typed).name) == typed else typed


@app.command()
def run(
    job: JobFile,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for the files.")] = Path("order"),
) -> None:
    """Take off one job: order sheet, drawings, preview and data into DIR."""
    from takeoff import pipeline
    from takeoff.screen import progress, show_takeoff

    with progress() as step:
        takeoff = pipeline.run_file(job, step=step)
        files = pipeline.write_files(takeoff, out, step=step)
    show_takeoff(takeoff, out, files)
    raise typer.Exit(_exit_code(takeoff))


@app.command()
def check(
    job: JobFile,
    cut_list: Annotated[Path, typer.Argument(metavar="LIST", help="Cut list of others, CSV or XLSX.")],
    out: DifferencesFile = None,
    sheet: Annotated[str, typer.Option("--sheet", metavar="NAME", help="Which sheet of the workbook.")] = "",
) -> None:
    """Check a supplied cut list against ours: missing, short, long, extra. Leaves with 7 where they differ."""
    from takeoff import review
    from takeoff.screen import progress

    with progress() as step:
        found = review.check_file(job, cut_list, sheet, step=step)
    _show_review(found, out, "the lists agree")


@app.command()
def measured(
    job: JobFile,
    sizes: Annotated[Path, typer.Argument(metavar="FILE", help="site_measure.csv with the sizes taped filled in.")],
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for the files.")] = Path("order_measured"),
    release: Annotated[bool, typer.Option("--release", help="Release for manufacture, if all is measured.")] = False,
) -> None:
    """Make the order again from sizes measured on the frame, and show what changed."""
    from takeoff import review
    from takeoff.screen import progress
    from takeoff.screen_differences import show_remeasured

    with progress() as step:
        done = review.measured_file(job, sizes, out, release, step=step)
    show_remeasured(done.takeoff, done.tables, out, len(done.files))
    raise typer.Exit(_exit_code(done.takeoff))


@app.command()
def compare(
    old: Annotated[Path, typer.Argument(metavar="OLD", help="Job file, takeoff.json, or the folder of an order.")],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The same, as it is now.")],
    out: DifferencesFile = None,
) -> None:
    """Compare two results line by line, matched by where things lie. Leaves with 7 where anything changed."""
    from takeoff import review
    from takeoff.screen import progress

    with progress() as step:
        found = review.compare_files(old, new, step=step)
    _show_review(found, out, "nothing changed")


@app.command()
def explain(
    job: JobFile,
    mark: Annotated[str, typer.Argument(metavar="MARK", help="Sheet, plane, edge, order line, run, quantity ...")],
) -> None:
    """Explain one figure: its working, the basis of each term, the planes and edges it came from."""
    from takeoff import review
    from takeoff.screen import progress
    from takeoff.screen_differences import show_explanations

    with progress() as step:
        found = review.explain_file(job, mark, step=step)
    show_explanations(found)


@app.command()
def settings(
    word: Annotated[str, typer.Argument(metavar="WORD", help="Only those with this word in name or meaning.")] = "",
) -> None:
    """List the settings a job may set: value, what it may be, meaning and basis."""
    from takeoff.listing import setting_lines

    for line in setting_lines(word):
        typer.echo(line)


@app.command()
def products(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="profiles, boards, gutters, downpipes ...")] = "",
) -> None:
    """List the products a job may name, by the id it names them with."""
    from takeoff.listing import product_lines

    for line in product_lines(kind):
        typer.echo(line)


def _show_review(found: Review, out: Path | None, same: str) -> None:
    from takeoff.review import write_review
    from takeoff.screen_differences import say, show_stops, show_tables

    if found.stops:
        show_stops(found.title, found.stops)
        raise typer.Exit(int(ExitCode.STOPPED))
    written = write_review(found, out) if out is not None else None
    show_tables(found.title, found.tables, written is not None)
    if not found.differs:
        say(same)
    if written is not None:
        say(f"written: {written}")
    raise typer.Exit(int(ExitCode.DIFFERENT if found.differs else ExitCode.DONE))


def _exit_code(takeoff: Takeoff) -> int:
    return int(ExitCode.STOPPED if takeoff.stopped else ExitCode.DONE)


def main() -> None:
    """Run the command line; leave with the exit code of what happened, never with a traceback for bad input."""
    try:
        app(standalone_mode=True)
    except TakeoffError as err:
        for fault in err.faults:
            typer.echo(f"error: {fault}", err=True)
        sys.exit(int(err.exit_code))
    except KeyboardInterrupt:
        typer.echo("stopped by the keyboard; nothing was written", err=True)
        sys.exit(130)
    except OSError as err:
        where = f"{err.filename}: " if err.filename else ""
        typer.echo(f"error: {where}{err.strerror or err}", err=True)
        sys.exit(int(ExitCode.UNREADABLE))
    except Exception as err:
        if os.environ.get("TAKEOFF_DEBUG"):
            raise
        typer.echo(
            f"error: a fault of the program itself, not of the job: {type(err).__name__}: {err}\n"
            "nothing was written; set TAKEOFF_DEBUG=1 to see where, and report it with the job file",
            err=True,
        )
        sys.exit(int(ExitCode.OUR_FAULT))


if __name__ == "__main__":
    main()
