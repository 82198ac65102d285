"""One gutter of 5000 mm2 and one pipe of 4300 mm2 that drains 85, 70, 60 and 50 m2 by its table, for rules of rainwater by
hand."""

from __future__ import annotations

import json
from dataclasses import replace

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.limits import (
    Limits,
)
from takeoff.model.basis import SET_IN_JOB, Basis, Status, Term, Working
from takeoff.model.code_rules import RuleSet
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterLeg, GutterRun, PlaneShare, ValleyFoot
from takeoff.model.job.job import Job
from takeoff.model.products import DownpipeProfile, GutterProfile
from takeoff.model.rain_rules import (
    OverflowRow,
    RainRules,
    TownRow,
)  # fmt: skip
from takeoff.model.settings import Settings

NONE = Basis(Status.SEEN, "a book", "a clause")
OWN = {"*": Basis(Status.COMMON_PRACTICE)}
GUTTER = GutterProfile("g", "Gutter G", "bracketed_metal", 5000.0, 125.0, (6000,), OWN)
PIPE = DownpipeProfile("p", "Pipe P", 4300.0, (3000,), OWN, (85.0, 70.0, 60.0, 50.0), 80.0, "round 80")


def rules(**rain: object) -> RuleSet:
    return RuleSet("own", "Ourland", "s", "v", "d", (), rain=RainRules(**rain))  # type: ignore[arg-type]


def chosen(
    settings: Settings, method: str = "e1_as1", rain: float = 100.0, table: RuleSet | None = None, **given: object
) -> Chosen:
    """The gutter and the pipe above, with settings changed by name."""
    values = {name: replace(settings.values[name], value=value) for name, value in given.items()}  # type: ignore[arg-type]
    whole = Settings({**settings.values, **values}, rules=table or settings.rules)
    intensity, ground = Term("rain_mm_per_h", rain, "mm/h", SET_IN_JOB), Term("ground_mm", -300.0, "mm", SET_IN_JOB)
    return Chosen(GUTTER, PIPE, method, intensity, ground, whole)


def run(length: float = 24_000.0, plan_mm2: float = 100e6, pitch: float = 25.0, **more: object) -> GutterRun:
    leg = GutterLeg("E1", (1,), (0.0, 0.0, 2400.0), (length, 0.0, 2400.0), length, plan_mm2)
    return replace(GutterRun("G1", "main", (leg,), (), False, plan_mm2, pitch), **more)  # type: ignore[arg-type]


def pipe(name: str = "DP1", plan_mm2: float = 60e6, **more: object) -> Downpipe:
    shares = (PlaneShare("P1", plan_mm2, 25.0),)
    bare = Downpipe(name, "G1", (1000.0, 0.0, 2400.0), 1000.0, 2700.0, plan_mm2, gutter_length_mm=8000.0, shares=shares)
    return replace(bare, **more)  # type: ignore[arg-type]


def plan(*pipes: Downpipe) -> DownpipePlan:
    return DownpipePlan("G1", "e1_as1", len(pipes), "", (), pipes, Working(""))


LIMITS = Limits(40e6, 12_000.0, 20_000.0, 15e6, 2000.0, 300.0, 30e6)


def foot(along: float, plan_mm2: float = 20e6) -> ValleyFoot:
    return ValleyFoot(f"V{along:g}", (along, 0.0, 2400.0), along, plan_mm2)


SLOTS = OverflowRow("front_slots", "slots", NONE, l_s_per_m=0.5)
WEIR = OverflowRow("end_weir", "a weir", NONE, l_s=0.5)
TOWNS = (TownRow("Upper Ferry", 120.0, NONE, 180.0), TownRow("Lower Ferry", 95.5, NONE))


def job(rare: float | None = None, ways: tuple[str, ...] = (), **more: object) -> Job:
    site = {} if rare is None else {"rare_rain_mm_per_h": rare}
    return Job.model_validate_json(
        json.dumps({"job": "x", "site": site, "rainwater": {"overflow": list(ways)}, **more})
    )
