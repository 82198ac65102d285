"""What the screen says, recorded with the samples: python tests/golden/samples_record.py

Regression texts, not check values. Every command with its main options on odd jobs in one made-up folder, 80 columns
wide, without colour, command after command as a person would type them; a file a subject in tests/golden/screens.
"""

from __future__ import annotations

import csv
import io
import json
import os
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from math import cos, pi
from pathlib import Path

from typer.testing import CliRunner

from takeoff.basics.errors import TakeoffError
from takeoff.cli import app

JOBS = Path(__file__).with_name("odd_jobs")
SCREENS = Path(__file__).with_name("screens")
_SCREEN = {"COLUMNS": "80", "LINES": "24", "NO_COLOR": "1", "TERM": "dumb"}
_MARK = re.compile(r"\b(?=[0-9a-f]*[a-f])[0-9a-f]{8,64}\b")  # fingerprints change with every word of the catalogue
_DAY = "2026-03-02"
HUT, STOPPED, BARN = "house_1030", "house_1", "house_1028"
_LIKE = """\
job: like
site: {wind_zone: medium, rain_mm_per_h: 93}
roofs: [{outline: [[0, 0], [7000, 0], [7000, 5000]], fascia_height_mm: 2430, pitch_deg: 23}]
rainwater: {gutter: half_round_150}
"""
Prepare = Callable[[], object]


def _helps() -> list[str]:
    names = ("new", "run", "look", "check", "measured", "compare", "explain", "verify", "issue", "issues", "many",
             "page", "tank", "settings", "products")  # fmt: skip
    return ["--help", *(f"{name} --help" for name in names)]


def _explained() -> list[str]:
    marks = ("P1", "P1.01", "E1", "edge 2", "L1", "3", "SP1", "DP1", "wall 1", "wall 1.net", "R1", "S1-2.1", "catchment", "tank",
             "stud_mm", "P77", "nothing of the kind")  # fmt: skip
    return [f"explain hut.yaml '{mark}'" for mark in marks]


# what is typed one after the other, by the file that holds what was said; a function prepares what the next one reads
def sessions() -> dict[str, list[str | Prepare]]:
    """The commands of each file, in the order in which they are run."""
    return {
        "help": list(_helps()),
        "run": [
            "run hut.yaml --out hut", "run hut.yaml --out hut --only dxf,site", "run stopped.yaml --out stopped",
            "run barn.yaml --out barn --mesh barn.obj", "run hut.yaml --only drawings", "run none.yaml", "run spoilt.yaml --out spoilt",
            "verify hut", "verify barn --job barn.yaml", "verify barn --job hut.yaml", _edit_a_file, "verify barn", "verify none",
        ],
        "explain": list(_explained()),
        "check": [
            _cut_list, "check barn.yaml agreeing.csv", "check barn.yaml differing.csv", "check barn.yaml differing.csv --out found.xlsx",
            "check stopped.yaml agreeing.csv", _quotation, "check barn.yaml quote.csv --quotation",
            "check barn.yaml quote.csv --quotation --delivery flashings", "check barn.yaml rain.csv", "check barn.yaml none.csv",
        ],
        "measured": [
            _taped, "measured barn.yaml taped.csv --out taped", "measured barn.yaml taped.csv --out released --release --revision D",
            "measured barn.yaml quote.csv", "verify taped",
        ],
        "compare": [
            _steeper, "compare barn barn.yaml", "compare barn steeper.yaml", "compare barn.yaml steeper.yaml --out changes.xlsx", "compare barn none",
        ],
        "tank": [
            _rain, "tank hut.yaml --out tank", "tank hut.yaml --rain rain.csv --people 2 --sizes 3000,9000,27000 --out tank2", "tank barn.yaml --out tank3",
            "tank hut.yaml --sizes few",
        ],
        "book": [
            f"issue barn.yaml --note 'first order' --delivery purlins --to 'the yard' --date {_DAY}", "issues barn.yaml",
            f"issue barn.yaml --note rest --date {_DAY}", "issues barn.yaml", f"issue barn.yaml --note again --date {_DAY}",
            "run barn.yaml --out barn2", _steeper_in_place, f"issue barn.yaml --note steeper --date {_DAY}", "issues barn.yaml", "issues hut.yaml",
        ],
        "lists": [
            "settings gutter", "settings --status memory", "settings flashing --code au", "settings zzz", "products", "products gutters",
            "products zzz", "new here", "new here", "new there --office", "--version",
        ],
        "look": [
            _drawing, "look plan.csv", "look plan.csv --unit m --out plan.svg", "look plan.csv --json", "look barn.obj", "look barn.obj --part 2",
            "look hut.yaml", "look none.dxf",
        ],
        "many": [_map, "many map.geojson --out many --workers 1 --like like.yaml --lines", "many none.geojson --out many2"],
    }  # fmt: skip


def screens(folder: Path) -> Iterator[tuple[str, str]]:
    """(name of the file, what is typed and said), run in an empty folder."""
    with _inside(folder):
        shutil.copy(JOBS / f"{HUT}.yaml", "hut.yaml")
        shutil.copy(JOBS / f"{STOPPED}.yaml", "stopped.yaml")
        shutil.copy(JOBS / f"{BARN}.yaml", "barn.yaml")
        Path("spoilt.yaml").write_text("job: spoilt\nroofs: [{pitch: 21}]\n", encoding="utf-8")
        for name, typed in sessions().items():
            yield name, "".join(_said(line, folder) for line in typed if isinstance(line, str) or line())


@contextmanager
def _inside(folder: Path) -> Iterator[None]:
    """In that folder, on a screen of 80 columns."""
    typed, sys.argv = sys.argv, ["takeoff"]  # the program as it was typed stands in what is said
    before, held = Path.cwd(), {key: os.environ.get(key) for key in _SCREEN}
    os.chdir(folder)
    os.environ.update(_SCREEN)
    try:
        yield
    finally:
        os.chdir(before)
        sys.argv = typed
        for key, value in held.items():
            os.environ.pop(key, None) if value is None else os.environ.__setitem__(key, value)


def _said(line: str, folder: Path) -> str:
    words = [quoted or plain for quoted, plain in re.findall(r"'([^']*)'|(\S+)", line)]
    done = CliRunner().invoke(app, words, prog_name="takeoff", env=_SCREEN)
    text, code = done.output, done.exit_code
    if isinstance(done.exception, TakeoffError):
        text += "".join(f"error: {fault}\n" for fault in done.exception.faults)
        code = int(done.exception.exit_code)
    elif done.exception is not None and not isinstance(done.exception, SystemExit):
        text += f"{type(done.exception).__name__}: {done.exception}\n"
    neutral = _MARK.sub("MARK", text.replace(str(folder), "HERE"))
    return f"$ takeoff {line}\n{neutral}(leaves with {code})\n\n"


def _result(folder: str) -> dict[str, object]:
    found: dict[str, object] = json.loads(Path(folder, "takeoff.json").read_text(encoding="utf-8"))
    return found


def _edit_a_file() -> None:
    with Path("barn", "site_measure.csv").open("a", encoding="utf-8") as file:
        file.write("by hand\n")


def _cut_list() -> None:
    """The sheets of the barn as they are, and with one missing, one short, one long and one too many."""
    blanks = _result("barn")["order"]["blanks"]  # type: ignore[index]
    lengths = [round(blank["length_mm"]) for blank in blanks]
    other = [lengths[1] - 40, lengths[2] + 70, *lengths[3:], 4321]
    for name, every in (("agreeing", lengths), ("differing", other)):
        Path(f"{name}.csv").write_text("length mm,qty\n" + "".join(f"{mm},1\n" for mm in every), encoding="utf-8")


def _quotation() -> None:
    """Lines of the barn with prices: the third left out, the fifth dearer in count, one nobody asked for."""
    lines = _result("barn")["order"]["lines"]  # type: ignore[index]
    rows = ["item,length mm,qty,unit,price"]
    for n, line in enumerate(lines, start=1):
        if n != 3:
            more = 2 if n == 5 else 0
            rows.append(f'"{line["item"]}",{line["each_mm"] or ""},{line["count"] + more:g},{line["unit"]},{n}.25')
    Path("quote.csv").write_text("\n".join([*rows, "Ladder,,1,each,70", ""]), encoding="utf-8")


def _taped() -> None:
    """The form of the barn filled in: 3 mm more than drawn, one plane's eave 60 mm short."""
    form = (Path("barn", "site_measure.csv").read_text(encoding="utf-8-sig")).removesuffix("by hand\n")
    rows = list(csv.reader(io.StringIO(form)))
    mm, drawn = rows[0].index("mm"), rows[0].index("drawn mm")
    for n, row in enumerate(rows[1:]):
        if len(row) > drawn and row[drawn]:
            row[mm] = f"{float(row[drawn]) + (-60 if n == 2 else 3):g}"
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    Path("taped.csv").write_text(text.getvalue(), encoding="utf-8")


def _steeper() -> None:
    text = Path("barn.yaml").read_text(encoding="utf-8")
    Path("steeper.yaml").write_text(_with_pitch(text), encoding="utf-8")


def _steeper_in_place() -> None:
    Path("barn.yaml").write_text(_with_pitch(Path("barn.yaml").read_text(encoding="utf-8")), encoding="utf-8")


def _with_pitch(text: str) -> str:
    """Every pitch 1.3 degrees more."""
    return re.sub(r"(pitch_deg: )([\d.]+)", lambda found: f"{found[1]}{float(found[2]) + 1.3:.1f}", text)


def _rain() -> None:
    """Three years, wet every fifth day of winter and every ninth of summer."""
    day, rows = date(2019, 1, 1), ["date,rain mm"]
    while day.year < 2022:
        turn = cos(2.0 * pi * (day.timetuple().tm_yday - 190) / 365.0)
        wet = day.toordinal() % (5 if turn > 0.0 else 9) == 0
        rows.append(f"{day.isoformat()},{round(7.0 + 4.0 * turn, 1) if wet else 0}")
        day += timedelta(days=1)
    Path("rain.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")


def _drawing() -> None:
    points = ((0, 0), (9.13, 0), (9.13, 5.27), (4.71, 5.27), (4.71, 8.03), (0, 8.03))
    Path("plan.csv").write_text("x_m,y_m\n" + "".join(f"{x},{y}\n" for x, y in points), encoding="utf-8")


def _map() -> None:
    """Four footprints: three to be taken off, one that crosses itself."""
    features = []
    for n, (long, deep) in enumerate(((7.3, 5.1), (9.7, 6.2), (11.9, 4.4), (6.1, -3.3))):
        x = 40.0 * n
        ring = [[x, 0], [x + long, 0], [x + long, abs(deep)], [x, abs(deep) + 0.7], [x, 0]]
        if deep < 0.0:
            ring[1], ring[2] = ring[2], ring[1]
        shape = {"type": "Polygon", "coordinates": [ring]}
        features.append(
            {"type": "Feature", "properties": {"id": f"lot {n + 1}", "pitch_deg": 21 + n}, "geometry": shape}
        )
    Path("map.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8")
    Path("like.yaml").write_text(_LIKE, encoding="utf-8")


def main() -> None:
    """Record what the screen says as it is now."""
    import tempfile

    SCREENS.mkdir(exist_ok=True)
    for path in SCREENS.glob("*.txt"):
        path.unlink()
    with tempfile.TemporaryDirectory() as place:
        for name, text in screens(Path(place).resolve()):
            (SCREENS / f"{name}.txt").write_text(text, encoding="utf-8", newline="\n")
