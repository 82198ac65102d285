"""Random edits of samples through a warm session, each held against a fresh run of the same job.

    python tests/properties/random_edits.py --edits 300 --seed 1        every sample in turn, prints the counts

What is compared: every byte of `takeoff.json`, and of one edit in ten every byte of every file that is written.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import takeoff
from takeoff.model.job.job import Job
from takeoff.session import Session, changed_job
from takeoff.write.data.result_json import result_json

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
EDITED = (
    "homestead",
    "two_storeys",
    "dormer",
    "verandah",
    "l_house",
    "unequal_pitches",
    "porch",
    "hip_12x8",
    "butterfly",
)
BACK = 0.25  # share of edits that are taken back: an earlier job again
ALL_FILES = 10  # of one edit in so many every file is compared

Change = dict[str, object]


def random_change(job: Job, random: Random) -> Change:
    """One change of a job that a person might make, or slip into."""
    roof = random.randrange(len(job.roofs))
    here = f"roofs[{roof + 1}]"
    given = job.roofs[roof]
    found: list[Change] = [
        {f"{here}.pitch_deg": round(random.uniform(8.0, 45.0), 1)},
        {f"{here}.pitch_deg": float(random.randint(10, 35))},
        {f"{here}.fascia_height_mm": float(random.randrange(2200, 5200, 10))},
        {f"{here}.covering.bmt_mm": random.choice((0.40, 0.55))},
        {f"{here}.covering.colour": random.choice(("grey", "green", ""))},
        {f"{here}.covering.profile": random.choice(("corrugated", "trapezoidal_5_rib", "corrugated"))},
        {"purlins.spacing_mm": float(random.randrange(600, 1200, 50))},
        {"rainwater.ground_mm": float(-random.randrange(100, 900, 50))},
        {"site.wind_zone": random.choice(("low", "medium", "high", "very_high"))},
        {"site.rain_mm_per_h": float(random.randrange(70, 160, 5))},
        {"site.longest_piece_mm": float(random.randrange(5000, 12000, 500))},
        {"north_deg": float(random.randrange(0, 360, 15))},
        {"revision": random.choice("BCDEF")},
        {"settings": {random.choice(("nail_spare_pct", "purlin_fixing_spare_percent")): float(random.randint(0, 20))}},
        {"settings": {"buy_raked_pairs": random.random() < 0.5}},
        {"settings": {"roof_depth_mm": float(random.randrange(80, 160, 10))}},
        {"settings": None},
    ]
    if given.edges or given.outline or given.wall_line:
        edge = random.randrange(1, 5)
        found += [
            {f"{here}.edges": {**_edges(job, roof), edge: {"pitch_deg": float(random.randint(15, 40))}}},
            {f"{here}.edges": {**_edges(job, roof), edge: {"kind": "gable"}}},
        ]
    for key in ("outline", "wall_line"):
        ring = getattr(given, key)
        if ring:
            corner = random.randrange(len(ring))
            x = ring[corner][0]
            moved = [list(point) for point in ring]
            step = float(random.choice((-300, -100, 100, 300)))
            # the two corners of one side, so that it stays square
            for n in (corner, (corner + 1) % len(ring)):
                moved[n][0 if ring[(corner + 1) % len(ring)][0] == x else 1] += step
            found.append({f"{here}.{key}": moved})
    if job.walls is not None and job.walls.openings:
        number = random.randrange(len(job.walls.openings)) + 1
        opening = f"walls.openings[{number}]"
        found += [
            {f"{opening}.width_mm": float(random.randrange(600, 2400, 100))},
            {f"{opening}.from_left_mm": float(random.randrange(300, 6000, 100))},
            {f"{opening}.height_mm": float(random.randrange(600, 2100, 100))},
            {opening: None},
            {"walls.zones[1].board": random.choice(("bevel_187", "bevel_142"))},
        ]
    return random.choice(found)


def _edges(job: Job, roof: int) -> dict[object, object]:
    return dict(job.roofs[roof].model_dump(exclude_unset=True).get("edges", {}))


def told(job: Job, base: Path) -> str:
    """The result of a fresh run as its file, or what it is refused for."""
    try:
        return result_json(takeoff.run(job, base))
    except takeoff.TakeoffError as err:
        return f"{type(err).__name__}: {err}"


def told_warm(session: Session, job: Job) -> str:
    """The same of a session."""
    try:
        return result_json(session.edit(job).takeoff)
    except takeoff.TakeoffError as err:
        return f"{type(err).__name__}: {err}"


def outcomes(name: str, edits: int, seed: int) -> Iterator[tuple[str, str]]:
    """Outcome and what was changed of so many random edits of a sample: same, refused alike, or differs."""
    random = Random(f"{name} {seed}")
    path = SAMPLES / name / "job.yaml"
    session = Session.of_file(path)
    jobs = [takeoff.read_job(path)]
    for number in range(edits):
        if len(jobs) > 1 and random.random() < BACK:
            change, job = {"back": ""}, random.choice(jobs)
        else:
            change = random_change(jobs[-1], random)
            try:
                job = changed_job(jobs[-1], change)
            except takeoff.UsageError:
                yield "no job", str(change)
                continue
        warm, fresh = told_warm(session, job), told(job, path.parent)
        taken = session.job is job
        jobs += [job] if taken else []
        same = warm == fresh and not (taken and number % ALL_FILES == 0 and files_differ(session, job, path.parent))
        yield ("same" if taken else "refused alike") if same else "differs", f"{name}, edit {number}: {change}"


def files_differ(session: Session, job: Job, base: Path) -> list[str]:
    """Names of written files that are not those of a fresh run."""
    with TemporaryDirectory() as folder:
        out = [Path(folder) / way for way in ("warm", "fresh")]
        for done, where in zip((session.takeoff, takeoff.run(job, base)), out, strict=True):
            assert done is not None
            takeoff.write_files(done, where)
        found = [{path.name: path.read_bytes() for path in where.iterdir() if path.is_file()} for where in out]
    return [name for name in dict.fromkeys((*found[0], *found[1])) if found[0].get(name) != found[1].get(name)]


def main(arguments: Sequence[str]) -> int:
    """Print the counts; 1 where a session differed from a fresh run."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--edits", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    counts: Counter[str] = Counter()
    for n, name in enumerate(EDITED):
        share = given.edits // len(EDITED) + (n < given.edits % len(EDITED))
        for outcome, change in outcomes(name, share, given.seed):
            counts[outcome] += 1
            if outcome == "differs":
                print(change)
    print(", ".join(f"{outcome} {count}" for outcome, count in sorted(counts.items())))
    return int(counts["differs"] > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
