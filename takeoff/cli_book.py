"""The commands of the book of issues: order and freeze, list. Registered in `cli`."""

from typing import Annotated

import typer

from takeoff.basics.errors import ExitCode
from takeoff.basics.streams import printed
from takeoff.cli_words import JobFile, OfficeFile, complain


def issue(
    job: JobFile,
    note: Annotated[str, typer.Option("--note", metavar="TEXT", help="Why: it stands in the book.")],
    delivery: Annotated[
        str, typer.Option("--delivery", metavar="NAME", help="This delivery alone: purlins, roof sheets ...")
    ] = "",
    to: Annotated[str, typer.Option("--to", metavar="NAME", help="To whom it is sent.")] = "",
    date: Annotated[
        str, typer.Option("--date", metavar="DAY", help="Day of the issue, as 2026-03-02; else the job's, else today.")
    ] = "",
    office: OfficeFile = None,
) -> None:
    """Order and freeze what is still to order. It lies with its files in `issues` beside the job."""
    from takeoff.book.issuing import issue_file
    from takeoff.screen import progress
    from takeoff.screen_book import show_issued

    with progress() as step:
        done = issue_file(job, note, delivery, to, date, office, step=step)
    with printed(complain, f"issue {done.issue.number} stands in the book" if done.issue is not None else ""):
        show_issued(done)
    raise typer.Exit(int(ExitCode.STOPPED if done.issue is None else ExitCode.DONE))


def issues(job: JobFile) -> None:
    """List what was issued of a job. Leaves with 0, 7 where files were changed since, 4 for a damaged book."""
    from takeoff.book.issuing import issues_of
    from takeoff.screen_book import show_book

    book = issues_of(job)
    with printed(complain):
        show_book(book)
    if book.faults:
        raise typer.Exit(int(ExitCode.UNREADABLE))
    raise typer.Exit(int(ExitCode.DIFFERENT if book.edited else ExitCode.DONE))
