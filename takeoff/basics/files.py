"""Where the files that belong to the program lie: the templates, in a checkout or in an installed package."""

from __future__ import annotations

from pathlib import Path

from takeoff.basics.errors import TakeoffError


def template_path(name: str) -> Path:
    """A file of templates/. In a wheel they lie inside the package, in a checkout (editable install) beside it.

    Raises TakeoffError when neither place has it.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "templates", package.parent / "templates"):
        if (folder / name).is_file():
            return folder / name
    raise TakeoffError(f"the template {name} is missing from this installation; install the package again")
