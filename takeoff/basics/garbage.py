"""How often a process looks for records that hold each other in a ring: our own say so, a library does not."""

from __future__ import annotations

import gc

# records made between two looks among the youngest: a run makes some 100 000 that last to its end, and hardly any ring;
# at the usual 700 a tenth of its time goes into looking
_YOUNG = 50_000


def look_seldom() -> None:
    """From now on this process looks for rings seldom."""
    gc.set_threshold(_YOUNG)
