"""Overflow of full gutters in the rarer storm: what each downpipe's share of roof brings, against what spills outwards.

Wanted: catchment x intensity / 3600 [L/s]. Given: litres a second of each way that the job names, a metre of the
gutter that the downpipe drains, or one such place a downpipe (HP22 7.4.3 worked example: an end-stop weir of 0.5 and
10 m of front slots at 0.5 carry 5.5, against 5.4 that 60 m2 bring at 325 mm/h).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takeoff.basics.errors import JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.measure.rainwater.by_code import marked, table_of
from takeoff.measure.rainwater.catchment import flow_l_per_s, wind_terms
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.rain_rules import OverflowRow

_RARE = "Add to the job, with the rarer storm of the place: `site: {rare_rain_mm_per_h: 200}`."


def overflow_ways(names: Sequence[str], chosen: Chosen) -> tuple[OverflowRow, ...]:
    """Rows of the ways that the job names. Raises JobError for one that no table of the code has."""
    rows, _ = table_of(chosen.settings.rules, lambda rain: rain.overflow)
    by_id = {row.id: row for row in rows}
    faults = [name for name in names if name not in by_id]
    if faults:
        known = f"; known: {', '.join(by_id) or 'none by this code'}"
        raise JobError(
            *(f"rainwater.overflow: unknown way {name}{did_you_mean(name, by_id, known)}" for name in faults)
        )
    return tuple(by_id[name] for name in dict.fromkeys(names))


def rare_rain(job: Job, chosen: Chosen) -> Term:
    """Intensity of the rarer storm [mm/h]: the job's, else the default, which may be 0."""
    if job.site.rare_rain_mm_per_h is None:
        return chosen.settings.term("rare_rain_if_not_given_mm_per_h")
    return Term("rare_rain_mm_per_h", job.site.rare_rain_mm_per_h, "mm/h", SET_IN_JOB)


def overflow_given_l_s(gutter_m: float, ways: Sequence[OverflowRow]) -> float:
    """What a downpipe's stretch of gutter spills [L/s].

    >>> from takeoff.model.basis import SET_IN_JOB
    >>> slots = OverflowRow("front_slots", "slots", SET_IN_JOB, l_s_per_m=0.5)
    >>> overflow_given_l_s(10.0, (slots, OverflowRow("end_stop_weir", "weir", SET_IN_JOB, l_s=0.5)))
    5.5
    """
    return sum(way.l_s + way.l_s_per_m * gutter_m for way in ways)


def check_overflow(
    gutters: Sequence[GutterRun], plans: Sequence[DownpipePlan], job: Job, chosen: Chosen
) -> tuple[tuple[Quantity, ...], tuple[Finding, ...]]:
    """Flow wanted and given at each downpipe of spouting [L/s], and what falls short. Nothing where no rarer storm is
    known and the job names no way: then only the usual note is given."""
    ways, rain = overflow_ways(job.rainwater.overflow, chosen), rare_rain(job, chosen)
    spouting = [run for run in gutters if not run.internal]
    if not spouting:
        return (), ()
    if float(rain.value) <= 0.0:
        return (), _no_rain(chosen) if ways else ()
    runs = {run.id: run for run in spouting}
    quantities: list[Quantity] = []
    short: list[tuple[Downpipe, float, float]] = []
    for plan in plans:
        for pipe in plan.pipes if plan.run in runs else ():
            wanted, given = _of_pipe(pipe, runs[plan.run], ways, rain, chosen)
            quantities += (wanted, given) if ways else (wanted,)
            if given.figure < wanted.figure - 1e-9:
                short.append((pipe, wanted.figure, given.figure))
    return tuple(quantities), tuple(_findings(short, ways, rain, job, chosen))


def _of_pipe(
    pipe: Downpipe, run: GutterRun, ways: Sequence[OverflowRow], rain: Term, chosen: Chosen
) -> tuple[Quantity, Quantity]:
    area, gutter_m = pipe.wind_mm2 / 1e6, pipe.gutter_length_mm / 1e3
    wanted = Working(
        "effective catchment in wind x intensity of the rarer storm / 3600; by plane: plan area x F",
        (*wind_terms(pipe.shares), rain),
    )
    _, code = table_of(chosen.settings.rules, lambda table: table.overflow)
    terms = [
        Term(
            way.id,
            way.l_s or way.l_s_per_m,
            "L/s" if way.l_s else "L/s a metre",
            marked(way.basis, code, chosen.settings.rules),
            way.says,
        )
        for way in ways
    ]
    given = Working(
        "sum of what each way carries: a metre of gutter, or one a downpipe",
        (Term("gutter that the downpipe drains", round(gutter_m, 3), "m", ref=pipe.id), *terms),
    )
    names = (f"Overflow wanted at {pipe.id}", f"Overflow given at {pipe.id}")
    return (
        Quantity(
            f"overflow {pipe.id} wanted", names[0], flow_l_per_s(area, float(rain.value)), "L/s", (pipe.id,), wanted
        ),
        Quantity(f"overflow {pipe.id} given", names[1], overflow_given_l_s(gutter_m, ways), "L/s", (pipe.id,), given),
    )


def _ways_words(known: Sequence[str]) -> str:
    """What to do where the job names no way; a code without a table of ways takes none in a job."""
    if not known:
        return "The job's code has no table of overflows: see that slots, a gap or a lower front carry as much."
    line = f"rainwater: {{overflow: [{known[0]}]}}"
    return f"Say in the job how they spill: `{line}`, or by others of {', '.join(known)}."


def _findings(
    short: Sequence[tuple[Downpipe, float, float]], ways: Sequence[OverflowRow], rain: Term, job: Job, chosen: Chosen
) -> Iterator[Finding]:
    if job.site.rare_rain_mm_per_h is None:
        yield Finding(
            "rare-rain-not-given",
            Severity.WARN,
            f"The job gives no rain of the rarer storm: {float(rain.value):g} mm/h was taken for overflow.",
            f"{_RARE}{towns_words(chosen, rare=True)}",
            source=rain.basis.words() if rain.basis else "",
        )
    if not short:
        return
    pipe, wanted, given = max(short, key=lambda row: row[1] - row[2])
    rows, _ = table_of(chosen.settings.rules, lambda table: table.overflow)
    if not ways:
        yield Finding(
            "overflow-not-given",
            Severity.WARN,
            f"The job names no overflow: full gutters must spill up to {wanted:.1f} L/s outwards ({pipe.id}).",
            _ways_words([row.id for row in rows]),
            tuple(row[0].id for row in short),
        )
        return
    names = ", ".join(row[0].id for row in short)
    yield Finding(
        "overflow-too-small",
        Severity.WARN,
        f"Overflow of {pipe.id} carries {given:.1f} L/s, {wanted:.1f} are wanted in {float(rain.value):g} mm/h."
        f"{f' Too small at {names}.' if len(short) > 1 else ''}",
        "Name another way under rainwater: overflow, or add a downpipe.",
        tuple(row[0].id for row in short),
        pipe.at_mm,
        ways[0].basis.words(),
    )


def _no_rain(chosen: Chosen) -> tuple[Finding, ...]:
    return (
        Finding(
            "rare-rain-not-given",
            Severity.WARN,
            "The job names overflow but no rain of the rarer storm: the overflow was not checked.",
            f"{_RARE}{towns_words(chosen, rare=True)}",
        ),
    )


def towns_words(chosen: Chosen, rare: bool = False) -> str:
    """Published rain of towns in the job's code as examples; "" where its tables have none."""
    rows = [(row.town, row.rare_mm_per_h if rare else row.mm_per_h) for row in chosen.settings.rules.rain.towns]
    named = [f"{town} {rain:g}" for town, rain in rows if rain > 0.0]
    if not named:
        return ""
    basis = chosen.settings.rules.rain.towns[0].basis
    return f" Published examples [mm/h]: {', '.join(named)} ({basis.source}, {basis.clause})."
