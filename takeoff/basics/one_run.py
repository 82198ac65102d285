"""What a process that does one thing and ends asks of the interpreter; a program that uses takeoff is not told so."""

from __future__ import annotations

import atexit
import gc
import os

# records made between two looks for rings among the youngest: a run makes some 300 000, a third of which last to its
# end, and hardly any ring; at the usual 700 a tenth of its time goes into looking
_YOUNG = 500_000


def for_one_run() -> None:
    """Look for rings of records seldom, and not once more at the end, when all goes with the process; and let the
    schema library ask no other package that is installed whether it has something to add."""
    gc.set_threshold(_YOUNG)
    atexit.register(gc.freeze)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
