"""Draws houses many ways and compares what is ordered.

    python tests/properties/same_house.py --all                 every house, every way; prints the counts
    python tests/properties/same_house.py --houses 40           samples and 40 generated houses, six ways each
    python tests/properties/same_house.py --house "sample homestead" --way 3 --yaml    the job of one way

A difference in the order is explained where the square house with the very sides that the drawn one has after it was
put in order, all within its rounding of the sides wanted, has the same order: then a length that lies within the
rounding of a threshold has passed it. The sides are said with it.
"""

from __future__ import annotations

import argparse
import json
import sys
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from itertools import count, islice
from pathlib import Path
from random import Random

import yaml

sys.path.insert(0, str(Path(__file__).parent))

from same_house_compare import jumps, order_differences, shape_differences
from same_house_houses import House, generated, sample, sample_names
from same_house_moves import SURVEY_MM, Move, moved_house, moved_mm, square_twin

from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

TURNS = (90.0, 37.3, 25.7, -61.9, 11.25, None)  # None: an angle of the house's own
ROUNDINGS = (1.0, 0.1, 0.01, 0.001, 0.0001)
NOISE_MM = 2.0
CROOKED_MM = 1e-4  # what floats on a survey grid leave of a side that was put square
SAID_FROM_MM = 1.0  # corners moved by more are said in a finding,
MOST_MOVED_MM = 3.0  # and none is moved further
GENERATED = 300


@dataclass(frozen=True)
class Outcome:
    """What came of one house drawn one way. `kind`: same, explained, unexplained, crash, refusal."""

    house: str
    way: str
    kind: str
    said: tuple[str, ...] = ()


def ways(name: str, every: bool) -> list[Move]:
    """How a house is drawn: each turn with each rounding, or each turn once and each rounding at least once; each also
    from another corner, every second one clockwise; two with the corners off at random."""
    chance = Random(f"ways of {name}")
    own = round(chance.uniform(-180.0, 180.0), 3)
    first = chance.randrange(len(ROUNDINGS))
    found = []
    for i, turn in enumerate(TURNS):
        steps = ROUNDINGS if every else (ROUNDINGS[(first + i) % len(ROUNDINGS)],)
        for j, step in enumerate(steps):
            way = own if turn is None else turn
            found.append(Move(way, SURVEY_MM, step, chance.randrange(12), (i + j) % 2 == 1))
    found += [
        Move(turn, SURVEY_MM, 0.1, chance.randrange(12), turn != 0.0, NOISE_MM, k) for k, turn in enumerate((0.0, own))
    ]
    return found


def take_off(house: House) -> Takeoff:
    """The takeoff of a job given as a mapping, read as a file would be."""
    return pipeline.run(parse_job(json.dumps(house, default=str)))


@lru_cache(maxsize=4)
def _square(text: str) -> Takeoff | TakeoffError:
    """The takeoff of the square house, or why there is none. Anything else that is raised is a crash."""
    try:
        return take_off(json.loads(text, object_hook=_numbered))
    except TakeoffError as err:
        return err


def _numbered(held: dict[str, object]) -> dict[object, object]:
    return {int(key) if key.isdigit() else key: value for key, value in held.items()}


def square(house: House) -> Takeoff | TakeoffError:
    """The takeoff of the square house, kept while its ways are drawn."""
    return _square(json.dumps(house, default=str))


def may_be_off_mm(move: Move) -> float:
    """How far a corner may lie from where the square house has it: its own rounding both ways, and as much again for
    being put in order, where at least a hundredth of a millimetre is left."""
    return 0.01 + 1.5 * move.round_mm + 1.5 * move.noise_mm


def check(name: str, house: House, move: Move) -> Outcome:
    """Draw the house, take it off, compare."""

    def outcome(kind: str, *said: str) -> Outcome:
        return Outcome(name, move.words, kind, said)

    one = square(house)
    drawn = moved_house(house, move)
    try:
        two = take_off(drawn)
        if isinstance(one, TakeoffError):
            return outcome("unexplained", f"the square house is refused: {one}")
        return outcome(*_compared(house, one, drawn, two, move))
    except TakeoffError as err:
        if isinstance(one, TakeoffError):
            return outcome("same")
        return outcome("refusal", *err.faults)
    except Exception as err:
        where = traceback.extract_tb(err.__traceback__)[-1]
        at = f"{Path(where.filename).name}:{where.lineno} {where.name}"
        return outcome("crash", f"{type(err).__name__}: {err} at {at}")


def _compared(house: House, one: Takeoff, drawn: House, two: Takeoff, move: Move) -> tuple[str, ...]:
    stops = _stops(two) - _stops(one)
    if stops:
        return ("refusal", *(f"{finding.code}: {finding.text}" for finding in two.stops if finding.code in stops))
    off = may_be_off_mm(move)
    shape = shape_differences(one, two, 6.0 * off)
    if shape:
        return ("unexplained", *shape)
    if move.noise_mm:
        return _put_in_order(house, two, drawn, move)
    differences = order_differences(one, two)
    if not differences:
        return ("same",)
    twin = square_twin(house, move, drawn, two.roofs)
    if twin.crooked_mm > CROOKED_MM:
        return ("unexplained", f"sides are out of square by {twin.crooked_mm:.6f} mm", *differences)
    if twin.off_mm > off:
        return ("unexplained", f"a corner lies {twin.off_mm:.4f} mm off, over {off:.4f}", *differences)
    three = take_off(twin.house)
    left = order_differences(three, two)
    if left:
        return ("unexplained", "the square house of the same sides is ordered otherwise", *left)
    too_far = jumps(one, two)
    if too_far:
        return ("unexplained", *too_far, *twin.said)
    return ("explained", *differences, *twin.said)


def _stops(takeoff: Takeoff) -> set[str]:
    return {finding.code for finding in takeoff.findings if finding.severity is Severity.STOP}


def _put_in_order(house: House, two: Takeoff, drawn: House, move: Move) -> tuple[str, ...]:
    """A taped house: its sides are square again, no corner moved too far, and a finding says what was moved by more than
    a millimetre."""
    twin = square_twin(house, move, drawn, two.roofs)
    if twin.crooked_mm > CROOKED_MM:
        return ("unexplained", f"sides are out of square by {twin.crooked_mm:.6f} mm")
    far = moved_mm(drawn, two.roofs)
    if far > MOST_MOVED_MM:
        return ("unexplained", f"a corner was moved by {far:.3f} mm")
    said = [finding for finding in two.findings if finding.severity is Severity.FIXED]
    if far > SAID_FROM_MM and not said:
        return ("unexplained", f"a corner was moved by {far:.3f} mm and no finding says so")
    return ("same",)


def sound(house: House) -> bool:
    """Whether the square house is ordered at all."""
    one = square(house)
    return not isinstance(one, TakeoffError) and one.order is not None


def named(name: str) -> House:
    """A house by the name that is printed with it."""
    kind, rest = name.split(" ", 1)
    return sample(rest) if kind == "sample" else generated(int(rest))


def run_house(name: str, every: bool) -> list[Outcome]:
    """All ways of one house."""
    house = named(name)
    return [check(name, house, move) for move in ways(name, every)]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run and print the counts; 1 where anything is unexplained, crashed or newly refused."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--all", action="store_true", help="300 generated houses, every turn with every rounding")
    parser.add_argument("--houses", type=int, default=GENERATED, help="generated houses beside the samples")
    parser.add_argument(
        "--first", type=int, default=0, help="number of the first generated house; above 0 without samples"
    )
    parser.add_argument("--house", help="one house by its name")
    parser.add_argument("--way", type=int, help="one way of it, counted from 0")
    parser.add_argument("--yaml", action="store_true", help="print the job of that way and stop")
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args(arguments)
    if given.house and given.way is not None:
        move = ways(given.house, given.all)[given.way]
        if given.yaml:
            print(yaml.safe_dump(moved_house(named(given.house), move), sort_keys=False, default_flow_style=None))
            return 0
        _tell(found := [check(given.house, named(given.house), move)])
        return _report(found, 1)
    outcomes: list[Outcome] = []
    wanted = (GENERATED if given.all else given.houses) + (0 if given.first else len(sample_names()))
    names = iter([given.house]) if given.house else _names(given.first)
    run = 0
    with ProcessPoolExecutor(given.processes) as pool:
        while run < wanted and (some := list(islice(names, min(wanted - run, 20 * given.processes)))):
            for found in pool.map(run_sound, some, [given.all] * len(some)):
                run += bool(found)
                outcomes += found
                _tell(found)
    return _report(outcomes, run)


def _names(first: int) -> Iterator[str]:
    """Samples, then the endless row of generated houses; from a later number on only these."""
    yield from (f"sample {name}" for name in (() if first else sample_names()))
    yield from (f"generated {number}" for number in count(first))


def run_sound(name: str, every: bool) -> list[Outcome]:
    """All ways of one house; none where the square house is refused or stopped."""
    return run_house(name, every) if sound(named(name)) else []


def _tell(outcomes: Sequence[Outcome]) -> None:
    for one in outcomes:
        if one.kind != "same":
            print(f"{one.kind}: {one.house}: {one.way}")
            print("".join(f"    {text}\n" for text in one.said), end="", flush=True)


def _report(outcomes: Sequence[Outcome], houses_run: int) -> int:
    counts = Counter(one.kind for one in outcomes)
    words = [f"{counts[kind]} {kind}" for kind in ("same", "explained", "unexplained", "crash", "refusal")]
    print(f"{houses_run} houses, {len(outcomes)} ways: {', '.join(words)}")
    return 1 if counts["unexplained"] or counts["crash"] or counts["refusal"] else 0


if __name__ == "__main__":
    sys.exit(main())
