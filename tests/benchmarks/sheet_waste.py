"""Bought over net sheeted area, step by step, for every sample: python tests/benchmarks/sheet_waste.py

Steps: plain with every plane without a lee end started from its left; plain with the sides chosen; pairs of whole rakes
only, in blanks over the overall width; pairs of all ends that nest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from takeoff import pipeline
from takeoff.measure.roofing.sheets import sheets as placing
from takeoff.order.sheets import raked_pairs

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def _all_left(grounds: Sequence[Any], *_: Any) -> list[Any]:
    return list(grounds)


def _simple(halves_of: Callable[..., tuple[Any, ...]]) -> Callable[..., tuple[Any, ...]]:
    return lambda *given: tuple(half for half in halves_of(*given) if half.simple)


@contextmanager
def _before(target: Any, name: str, stand_in: Any) -> Any:
    with patch.object(target, name, stand_in):
        yield


def shares(job: Path) -> tuple[float, float, float, float] | None:
    """The four steps of a sample, None for one without sheets."""
    with _before(placing, "with_least_sides", _all_left):
        left = _share(job, paired=False)
    chosen = _share(job, paired=False)
    with _before(raked_pairs, "halves_of", _simple(raked_pairs.halves_of)):
        rakes = _share(job, paired=True)
    every = _share(job, paired=True)
    return None if left is None or chosen is None or rakes is None or every is None else (left, chosen, rakes, every)


def _share(job: Path, paired: bool) -> float | None:
    order = pipeline.run_file(job).order
    plans = [plan for plan in order.pairs if plan.net_m2 > 0.0] if order is not None else []
    net = sum(plan.net_m2 for plan in plans)
    return sum(plan.paired_m2 if paired else plan.plain_m2 for plan in plans) / net if net else None


if __name__ == "__main__":
    print("| sample | plain, from the left | plain, sides chosen | pairs of rakes | pairs of all ends |")
    print("|---|---|---|---|---|")
    for path in sorted(SAMPLES.glob("*/job.yaml")):
        found = shares(path)
        if found is not None:
            print(f"| {path.parent.name} | " + " | ".join(f"{share:.3f}" for share in found) + " |")
