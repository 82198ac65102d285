"""Write the models of the samples again: python tests/own_models/make_samples.py

The houses are own_houses.py's; `python tests/golden/renew_pictures.py` then draws their pictures.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from own_houses import Face, House, ell, gable, wall_face
from write_cityjson import cityjson
from write_ifc import SLAB, ifc

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
OUT = 0.6  # eaves and verges of the IFC house hang over its walls by this
OPENINGS = {
    1: ((1.5, 0.9, 1.8, 1.2), (5.0, 0.0, 0.9, 2.1), (7.2, 0.9, 1.8, 1.2)),
    2: ((2.5, 0.9, 1.2, 1.2),),
    3: ((1.2, 1.5, 0.6, 0.6), (6.0, 0.0, 1.8, 2.1)),
}


def ifc_house() -> House:
    """The gable's roof over walls 10.8 x 6.8 m: they go up to the underside of its slabs."""
    plain = gable()
    ground = tuple((x, y) for x, y in ((OUT, OUT), (12 - OUT, OUT), (12 - OUT, 8 - OUT), (OUT, 8 - OUT)))
    low, high = plain.eaves_m + OUT * 0.75 - SLAB, 5.4 - SLAB
    faces = [face for face in plain.faces if face.what == "roof"]
    for number, (a, b) in enumerate(zip(ground, (*ground[1:], ground[0]), strict=True), start=1):
        length = (12.0 if number % 2 else 8.0) - 2 * OUT
        top = [(length, low), (0.0, low)] if number % 2 else [(length, low), (length / 2, high), (0.0, low)]
        faces.append(wall_face(a, b, top, OPENINGS.get(number, ())))
    return replace(plain, name="office", faces=tuple(faces), ground=ground, openings=OPENINGS)


def town() -> dict[str, object]:
    """An L house as the only part of its building, and a gable beside it 30 m to the east."""
    shifted = [
        Face(tuple(tuple((x + 30.0, y, z) for x, y, z in ring) for ring in face.rings), face.what)
        for face in gable().faces
    ]
    store = replace(gable(), faces=tuple(shifted), ground=tuple((x + 30.0, y) for x, y in gable().ground))
    return cityjson({"quarters": ell(), "store": store}, parts=True)


def files() -> dict[Path, str]:
    """Every model by where it lies."""
    return {
        SAMPLES / "ifc_house" / "office.ifc": ifc(ifc_house(), unit=0.001),
        SAMPLES / "cityjson_house" / "yard.city.json": json.dumps(town()) + "\n",
    }


if __name__ == "__main__":
    for path, text in files().items():
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
