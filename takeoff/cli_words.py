"""What the commands share: the arguments that several take, and how a fault is told."""

import sys
from contextlib import suppress
from pathlib import Path
from shutil import get_terminal_size
from textwrap import fill
from typing import Annotated

import typer

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="Job file (YAML), or a folder with job.yaml in it.")]
OfficeFile = Annotated[
    Path | None,
    typer.Option("--office", metavar="FILE", help="Office file; else office.yaml beside the job, where it is."),
]


def complain(text: str) -> None:
    """A line on the error stream, where there is one; wrapped for a person, whole for a program that reads it."""
    with suppress(OSError, ValueError):
        if sys.stderr.isatty():
            text = fill(text, get_terminal_size().columns, subsequent_indent="  ", break_long_words=False)
        typer.echo(text, err=True)
