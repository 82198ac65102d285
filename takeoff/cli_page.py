"""The command for the page. Registered in `cli`."""

from pathlib import Path
from typing import Annotated

import typer

from takeoff.basics.errors import UsageError
from takeoff.cli_words import OfficeFile


def page(
    job: Annotated[
        Path, typer.Argument(metavar="JOB", help="Job file (YAML) or its folder; a new one where there is none.")
    ] = Path(),
    port: Annotated[int, typer.Option("--port", metavar="N", min=0, max=65535, help="0: any free one.")] = 0,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open it in the browser.")] = True,
    office: OfficeFile = None,
) -> None:
    """Draw, see and order a house in the browser of this machine."""
    try:
        from takeoff.web.serve import serve
    except ModuleNotFoundError as err:
        raise UsageError(f"the page needs {err.name}, which is not installed: pip install 'takeoff[page]'.") from err
    from takeoff.web.new_house import job_file

    path, otherwise = job_file(job)
    serve(path, port, browser, lambda address: typer.echo(f"{address}\nCtrl-C ends it."), otherwise, office)
