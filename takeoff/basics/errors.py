"""The exceptions of the package, each with the exit code the command line leaves with.

TakeoffError                  1  our own fault
 +- UsageError                2  the command was typed wrongly
 +- JobError                  3  the job file asks for something impossible; carries every fault found at its level
 +- UnreadableFileError       4  a geometry file cannot be used
 +- ShapeError                5  the shape is not a roof or a wall that can be solved
     +- UndecidedError        6  the shape can be read in several ways; says what to write in the job for each

A stop finding (exit 6) and differences found (exit 7) are results, not exceptions.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class ExitCode(IntEnum):
    """What the command line leaves with, by kind of outcome."""

    DONE = 0
    OUR_FAULT = 1
    USAGE = 2
    JOB = 3
    UNREADABLE = 4
    SHAPE = 5
    STOPPED = 6
    DIFFERENT = 7


class Fault(str):
    """A fault's sentence that knows where in the job its cause stands: keys and places of lists (from 0), a roof by its
    name, and ("edge", number) for an edge of a roof's outline."""

    path: tuple[str | int, ...]

    def __new__(cls, text: str, *path: str | int) -> Fault:
        """A sentence at a path."""
        made = super().__new__(cls, text)
        made.path = path
        return made


def faults_at(texts: Iterable[str], *path: str | int) -> list[str]:
    """Faults that have their cause at or below a path; one that knows more of it keeps that."""
    return [Fault(text, *path, *(text.path if isinstance(text, Fault) else ())) for text in texts]


class TakeoffError(Exception):
    """Root of the family. `faults` are complete sentences, one a fault, each saying where and what to do."""

    exit_code = ExitCode.OUR_FAULT

    def __init__(self, *faults: str) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class UsageError(TakeoffError):
    """The command was typed wrongly."""

    exit_code = ExitCode.USAGE


class JobError(TakeoffError, ValueError):
    """The job file asks for something impossible."""

    exit_code = ExitCode.JOB


class UnreadableFileError(TakeoffError, OSError):
    """A file cannot be read as what it claims to be."""

    exit_code = ExitCode.UNREADABLE


class ShapeError(TakeoffError, ValueError):
    """The geometry is not a roof or a wall that can be solved; names the edges and what to change."""

    exit_code = ExitCode.SHAPE


class UndecidedError(ShapeError):
    """A shape that can be read in several ways. The order stops until the job says which; a fault each way has the line
    to write, between backquotes."""

    exit_code = ExitCode.STOPPED
