"""The command line: arguments in, one pipeline call, files out, exit code. No figure is made here.

Heavy libraries are imported inside the commands, so that `takeoff --help` answers at once.
"""

import os
import sys
from pathlib import Path
from shutil import which
from typing import TYPE_CHECKING, Annotated

import typer

from takeoff.basics.errors import ExitCode, TakeoffError, UsageError
from takeoff.basics.interrupts import Stopped, stop_on_signals
from takeoff.basics.streams import printed, sturdy_streams
from takeoff.cli_book import issue, issues
from takeoff.cli_estate import many
from takeoff.cli_page import page
from takeoff.cli_words import JobFile, OfficeFile
from takeoff.cli_words import complain as _complain

if TYPE_CHECKING:
    from takeoff.model.order import Takeoff
    from takeoff.model.order_folder import Written
    from takeoff.review import Review

DifferencesFile = Annotated[
    Path | None, typer.Option("--out", metavar="FILE.xlsx", help="Write the differences into a workbook.")
]
Only = Annotated[
    str | None,
    typer.Option("--only", metavar="KIND,...", help="Only these kinds or files: order, site, dxf, html ...; all."),
]

app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
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
    office: Annotated[bool, typer.Option("--office", help="An office file, office.yaml, instead of a job.")] = False,
) -> None:
    """Write a commented starter job, or office file (--office)."""
    from takeoff.basics.files import template_path
    from takeoff.write.atomic import write_one

    if office:
        _new_office(folder / "office.yaml")
        return
    target = folder / "job.yaml"
    if os.path.lexists(target):
        raise UsageError(f"{target} is there already; name another folder")
    schema = write_one(folder / "job.schema.json", template_path("job.schema.json").read_bytes())
    write_one(target, template_path("starter.yaml").read_bytes())
    with printed(_complain, f"{target} is written"):
        if schema.kept:
            typer.echo(f"{schema.path.name} was another one: it is now {schema.kept}")
        typer.echo(f"{target}\nnext: {_program()} run {_typed(folder)}")


def _new_office(target: Path) -> None:
    from takeoff.basics.files import template_path
    from takeoff.write.atomic import write_one

    if os.path.lexists(target):
        raise UsageError(f"{target} is there already; name another folder")
    write_one(target, template_path("office.yaml").read_bytes())
    with printed(_complain, f"{target} is written"):
        typer.echo(f"{target}\nit is read with every job beside it; elsewhere: {_program()} run JOB --office {target}")


def _program() -> str:
    """The program as it was typed, so that what is printed can be typed too."""
    typed = sys.argv[0]
    if Path(typed).name == "__main__.py":
        return "python -m takeoff"
    return Path(typed).name if which(Path(typed).name) == typed else typed


def _typed(path: Path) -> str:
    """A path as it can be typed after the program's name."""
    return f'"{path}"' if " " in str(path) else str(path)


def _beside(job: Path, name: str) -> Path:
    """A folder of that name in the job's own folder."""
    return (job if job.is_dir() else job.parent) / name


@app.command()
def run(
    job: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder for the files; else `order` in the job's folder."),
    ] = None,
    mesh: Annotated[
        Path | None,
        typer.Option("--mesh", metavar="FILE", help="The roofs as a mesh too: OBJ, STL, PLY or GLB, by its ending."),
    ] = None,
    only: Only = None,
    office: OfficeFile = None,
) -> None:
    """Take off one job: order sheet, drawings and data into a folder."""
    from takeoff import pipeline
    from takeoff.screen import progress, show_takeoff
    from takeoff.write.files import kinds_of

    kinds_of(only)  # before the time is spent on a run
    with progress() as step:
        takeoff = pipeline.run_file(job, step=step, office=office)
        meshed = pipeline.write_mesh(takeoff, mesh) if mesh is not None else None
        written = pipeline.write_files(takeoff, out or _beside(job, "order"), step=step, only=only)
    with printed(_complain, _standing(written)):
        show_takeoff(takeoff, written, meshed)
    raise typer.Exit(_exit_code(takeoff))


@app.command()
def look(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Drawing, map or model: DXF, GeoJSON, CSV, OBJ ...")],
    picture: Annotated[
        Path | None, typer.Option("--out", metavar="PICTURE.svg", help="Draw rings and edges with their numbers.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="For programs.")] = False,
    layer: Annotated[str, typer.Option("--layer", metavar="NAME", help="This layer alone.")] = "",
    unit: Annotated[str, typer.Option("--unit", metavar="UNIT", help="mm, cm, m, in or ft.")] = "",
    part: Annotated[str, typer.Option("--part", metavar="NAME", help="This building of a model alone.")] = "",
) -> None:
    """List what a model or drawing holds, as a job names it."""
    from takeoff import looking

    found = looking.look(file, layer, unit, part)
    written = looking.write_picture(found, picture) if picture is not None else None
    with printed(_complain, f"{written.path} is written" if written is not None else ""):
        if as_json:
            typer.echo(looking.looked_json(found), nl=False)
        else:
            from takeoff.screen_look import show_look

            show_look(found, written)


@app.command()
def check(
    job: JobFile,
    cut_list: Annotated[Path, typer.Argument(metavar="LIST", help="Cut list or quotation of others, CSV or XLSX.")],
    out: DifferencesFile = None,
    sheet: Annotated[str, typer.Option("--sheet", metavar="NAME", help="Which sheet of the workbook.")] = "",
    quotation: Annotated[
        bool, typer.Option("--quotation", help="LIST is a supplier's quotation: prices, missing, other, more, less.")
    ] = False,
    delivery: Annotated[
        str, typer.Option("--delivery", metavar="NAME", help="With --quotation: this delivery; else those it quotes.")
    ] = "",
    office: OfficeFile = None,
) -> None:
    """Check a supplied cut list or quotation against ours. Shows what is missing, short, long or extra; leaves with 7
    then."""
    from takeoff import review
    from takeoff.screen import progress

    with progress() as step:
        if quotation:
            found = review.quotation_file(job, cut_list, sheet, delivery, step=step, office=office)
        else:
            found = review.check_file(job, cut_list, sheet, step=step, office=office)
    _show_review(found, out, "the quotation agrees" if quotation else "the lists agree")


@app.command()
def measured(
    job: JobFile,
    sizes: Annotated[Path, typer.Argument(metavar="FILE", help="site_measure.csv with the sizes taped filled in.")],
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder for the files; else `order_measured` in the job's folder."),
    ] = None,
    release: Annotated[bool, typer.Option("--release", help="Release the sheets, if all planes are measured.")] = False,
    revision: Annotated[
        str, typer.Option("--revision", metavar="LETTER", help="Letter of this issue; else the job's own.")
    ] = "",
    only: Only = None,
    office: OfficeFile = None,
) -> None:
    """Make the order again from sizes measured on the frame. Shows what that changes."""
    from takeoff import review
    from takeoff.screen import progress
    from takeoff.screen_differences import show_remeasured
    from takeoff.write.files import kinds_of

    kinds_of(only)  # before the time is spent on a run
    folder = out or _beside(job, "order_measured")
    with progress() as step:
        done = review.measured_file(job, sizes, folder, release, revision, step=step, only=only, office=office)
    with printed(_complain, _standing(done.written)):
        show_remeasured(done.takeoff, done.tables, done.written)
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
    office: OfficeFile = None,
) -> None:
    """Explain one figure: its working and the basis of each term. Also the planes and edges that it came from."""
    from takeoff import review
    from takeoff.screen import progress
    from takeoff.screen_differences import show_explanations

    with progress() as step:
        found = review.explain_file(job, mark, step=step, office=office)
    with printed(_complain):
        show_explanations(found)


@app.command()
def verify(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of an order.")],
    job: Annotated[
        Path | None, typer.Option("--job", metavar="JOB", help="Job file that the order should be of, as it is now.")
    ] = None,
    office: OfficeFile = None,
) -> None:
    """Verify that a folder holds one whole order. Leaves with 0 for whole, 7 for edited since, 4 for not whole."""
    from takeoff import review
    from takeoff.screen_differences import show_folder

    state = review.verify_folder(folder, job, office)
    with printed(_complain):
        show_folder(state)
    if not state.whole:
        raise typer.Exit(int(ExitCode.UNREADABLE))
    raise typer.Exit(int(ExitCode.DIFFERENT if state.edited or state.job_changed else ExitCode.DONE))


app.command()(issue)
app.command()(issues)
app.command()(many)
app.command()(page)


@app.command()
def tank(
    job: JobFile,
    rain: Annotated[
        Path | None, typer.Option("--rain", metavar="FILE", help="Daily rain, CSV: date, mm; else the job's own.")
    ] = None,
    people: Annotated[
        float | None, typer.Option("--people", metavar="N", help="How many draw water; else the job's own.")
    ] = None,
    sizes: Annotated[
        str, typer.Option("--sizes", metavar="L,L,...", help="Sizes to choose among, in litres: 10000,25000.")
    ] = "",
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Folder for the files; else `tank` in the job's folder.")
    ] = None,
) -> None:
    """Size the store of rainwater day by day. Shows what each size gives, and writes a sheet, a picture and data."""
    from takeoff.screen import progress
    from takeoff.screen_differences import show_stored
    from takeoff.storing import sizes_of, tank_file

    with progress() as step:
        done = tank_file(job, rain, people, sizes_of(sizes), out or _beside(job, "tank"), step=step)
    with printed(_complain, _standing(done.written) if done.written is not None else ""):
        show_stored(done)


@app.command()
def settings(
    word: Annotated[str, typer.Argument(metavar="WORD", help="Only those with this word in name or meaning.")] = "",
    status: Annotated[str, typer.Option("--status", metavar="STATUS", help="Only those of it: memory, seen ...")] = "",
    code: Annotated[str, typer.Option("--code", metavar="CODE", help="Values of this country's code.")] = "",
) -> None:
    """List the settings a job may set, with bounds and basis."""
    from takeoff.listing import setting_lines

    for line in setting_lines(word, status, code):
        typer.echo(line)


@app.command()
def products(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="profiles, boards, gutters, downpipes ...")] = "",
) -> None:
    """List the products a job may name, by the id it names them with."""
    from takeoff.listing import product_lines

    for line in product_lines(kind):
        typer.echo(line)


def _show_review(found: "Review", out: Path | None, same: str) -> None:
    from takeoff.review import write_review
    from takeoff.screen_differences import say, show_stops, show_tables

    if found.stops:
        with printed(_complain):
            show_stops(found.title, found.stops)
        raise typer.Exit(int(ExitCode.STOPPED))
    written = write_review(found, out) if out is not None else None
    with printed(_complain, f"{written.path} is written" if written is not None else ""):
        show_tables(found.title, found.tables, written is not None)
        if not found.differs:
            say(same)
        if written is not None:
            if written.kept:
                say(f"{written.path.name} was there already: it is now {written.kept}")
            say(f"written: {written.path}")
    raise typer.Exit(int(ExitCode.DIFFERENT if found.differs else ExitCode.DONE))


def _exit_code(takeoff: "Takeoff") -> int:
    return int(ExitCode.STOPPED if takeoff.stopped else ExitCode.DONE)


def _standing(written: "Written") -> str:
    return f"the {len(written.paths)} files in {written.folder} are written and whole"


def main() -> None:
    """Run the command line; leave with the exit code of what happened, never with a traceback for bad input."""
    sturdy_streams()
    stop_on_signals()
    try:
        app(standalone_mode=True)
    except TakeoffError as err:
        for fault in err.faults:
            _complain(f"error: {fault}")
        sys.exit(int(err.exit_code))
    except Stopped as stop:
        _complain(f"stopped; {stop.standing}")
        sys.exit(128 + stop.number)
    except OSError as err:
        where = f"{err.filename}: " if err.filename else ""
        _complain(f"error: {where}{err.strerror or err}")
        sys.exit(int(ExitCode.UNREADABLE))
    except Exception as err:
        if os.environ.get("TAKEOFF_DEBUG"):
            raise
        _complain(
            f"error: a fault of the program itself, not of the job: {type(err).__name__}: {err}\n"
            "set TAKEOFF_DEBUG=1 to see where, and report it with the job file; whether the folder for the files is "
            "whole, takeoff verify says"
        )
        sys.exit(int(ExitCode.OUR_FAULT))


if __name__ == "__main__":
    main()
