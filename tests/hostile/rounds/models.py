"""Models with parts and words in them: the samples' CityJSON and IFC, and a 3MF, damaged as text and as bytes."""

from __future__ import annotations

import json
import random
import re
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

from rounds.outcome import SAMPLES, Outcome, cause_words, fault_outcome, take_off

STRANGE: tuple[Any, ...] = (None, -1, 10**9, 1e308, "", "x", [], {}, [[[]]], True, [0, 0, 0], "RoofSurface", "2.2")
WORDS = ("$", "*", "#1", "#999999", "-1.", "1.E308", "''", ".T.", "()", "(", ")", "nan")


@cache
def sample(name: str, model: str) -> tuple[str, str]:
    """A sample's job and model."""
    folder = SAMPLES / name
    return (folder / "job.yaml").read_text("utf-8"), (folder / model).read_text("utf-8")


@cache
def three_mf() -> str:
    """The mesh sample's faces as the model of a 3MF package."""
    lines = [line.split() for line in (SAMPLES / "mesh_house" / "house.obj").read_text("utf-8").splitlines()]
    points = "".join(
        f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in (line[1:] for line in lines if line[:1] == ["v"])
    )
    faces = [[int(word) - 1 for word in line[1:]] for line in lines if line[:1] == ["f"]]
    cut = [(face[0], face[k], face[k + 1]) for face in faces for k in range(1, len(face) - 1)]
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in cut)
    mesh = f"<mesh><vertices>{points}</vertices><triangles>{triangles}</triangles></mesh>"
    build = '<build><item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 0"/></build>'
    return f'<model unit="meter"><resources><object id="1">{mesh}</object></resources>{build}</model>'


def case(chance: random.Random, folder: Path) -> Outcome:
    """One damaged model to its order, or one message."""
    text, name, data = _damaged(chance)
    if chance.random() < 0.2:
        raw = bytearray(data)
        for _ in range(chance.randrange(1, 20)):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
        data = bytes(raw[: chance.choice((len(raw), chance.randrange(1, len(raw) + 1)))])
    (folder / name).write_bytes(data)
    evidence = {"job.yaml": text.encode("utf-8"), name: data}
    try:
        takeoff = take_off(text, folder)
    except Exception as err:
        return fault_outcome(err, evidence)
    stop = takeoff.stops[0].text if takeoff.stopped else ""
    return Outcome(6 if stop else 0, cause_words(stop) or "order")


def _damaged(chance: random.Random) -> tuple[str, str, bytes]:
    """A job, its model's name, and the model's bytes."""
    draw = chance.random()
    if draw < 0.7:
        job, model = sample("cityjson_house", "yard.city.json")
        tree = json.loads(model)
        for _ in range(chance.randrange(1, 4)):
            _change(tree, chance)
        return job, "yard.city.json", json.dumps(tree).encode()
    if draw < 0.88:
        job = sample("mesh_house", "house.obj")[0].replace("house.obj", "house.3mf")
        words = re.split(r'(")', three_mf())
        for _ in range(chance.randrange(1, 4)):
            words[chance.randrange(len(words))] = chance.choice(WORDS)
        data = BytesIO()
        with ZipFile(data, "w") as package:
            package.writestr("3D/3dmodel.model", "".join(words))
        return job, "house.3mf", data.getvalue()
    job, model = sample("ifc_house", "office.ifc")
    lines = model.splitlines()
    for _ in range(chance.randrange(1, 5)):
        k = chance.randrange(8, len(lines) - 2)
        words = re.split(r"([(),])", lines[k])
        words[chance.randrange(len(words))] = chance.choice(WORDS)
        lines[k] = chance.choice(("".join(words), "", lines[chance.randrange(8, len(lines) - 2)]))
    return job, "office.ifc", "\n".join(lines).encode()


def _change(tree: Any, chance: random.Random) -> None:
    """Something in a tree made strange, lost or doubled."""
    objects = tree.get("CityObjects")
    at = objects if objects and isinstance(objects, dict) and chance.random() < 0.7 else tree
    for _ in range(chance.randrange(0, 9)):
        below = [one for one in (at.values() if isinstance(at, dict) else at) if isinstance(one, dict | list) and one]
        if not below:
            break
        at = chance.choice(below)
    key = chance.choice(list(at)) if isinstance(at, dict) else chance.randrange(len(at))
    how = chance.randrange(3)
    if how == 0:
        del at[key]
    elif how == 1 and isinstance(at, list):
        at.append(at[key])
    else:
        at[key] = chance.choice(STRANGE)
