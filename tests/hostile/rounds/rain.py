"""Files of rain as stations and people write them, and damaged ones. What is read must be what fell, or be refused."""

from __future__ import annotations

import datetime
import random
from pathlib import Path

from rounds.outcome import Outcome, cause_words, fault_outcome
from takeoff.basics.errors import UnreadableFileError
from takeoff.model.rain_series import DailyRain
from takeoff.read.rain.rain_file import read_rain

_WAYS = ("%Y-%m-%d", "%d/%m/%Y", "%m/%d/%Y", "%d.%m.%Y", "%Y%m%d", "%Y/%m/%d")


def written(chance: random.Random) -> tuple[str, datetime.date, list[float]]:
    """A file's text, its first day, and the rain of each day [mm]."""
    start = datetime.date(chance.randrange(1950, 2024), chance.randrange(1, 13), chance.randrange(1, 28))
    mm = [chance.choice((0.0, round(chance.expovariate(0.2), 1))) for _ in range(chance.randrange(60, 500))]
    mm[0] = 1.5
    way, cut = chance.choice(_WAYS), chance.choice(",;\t")
    unit, per = chance.choice((("mm", 1.0), ("cm", 10.0), ("in", 25.4)))
    lines = [cut.join(("Date", f"Rainfall {unit}"))]
    for n, fell in enumerate(mm):
        figure = f"{fell / per:.6f}"
        day = (start + datetime.timedelta(days=n)).strftime(way)
        lines.append(cut.join((day, figure.replace(".", ",") if cut == ";" and chance.random() < 0.5 else figure)))
        if chance.random() < 0.01:
            lines.append("")
    return "\n".join(lines) + "\n", start, mm


def damage(text: str, chance: random.Random) -> bytes:
    """The text with a byte, a line or a part of it spoilt."""
    data = bytearray(text.encode("utf-8"))
    for _ in range(chance.randrange(1, 4)):
        at = chance.randrange(len(data))
        how = chance.randrange(5)
        if how == 0:
            data[at] = chance.randrange(256)
        elif how == 1:
            del data[at : at + chance.randrange(1, 200)]
        elif how == 2:
            data[at:at] = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 30)))
        elif how == 3:
            data[at:at] = data[: chance.randrange(1, 300)]
        else:
            data[at:at] = chance.choice(
                (b"\n1e999,1\n", b'"', b"nan", b"\0", b"-5", b"0000-00-00,1\n", b"9999-12-31,1\n")
            )
        if not data:
            data = bytearray(b"x")
    return bytes(data)


def case(chance: random.Random, folder: Path) -> Outcome:
    """One file, sound or damaged, read."""
    text, start, mm = written(chance)
    damaged = chance.random() < 0.6
    data = damage(text, chance) if damaged else text.encode(chance.choice(("utf-8", "utf-8-sig")))
    path = folder / "rain.csv"
    path.write_bytes(data)
    evidence = {"rain.csv": data}
    try:
        found = read_rain(path)
    except UnreadableFileError as err:
        wrong = "" if damaged else f"refused: {err}"
        return Outcome(int(err.exit_code), cause_words(str(err)), wrong, evidence if wrong else {})
    except Exception as err:
        return fault_outcome(err, evidence)
    same = isinstance(found, DailyRain) and found.start == start and len(found.mm) == len(mm)
    same = same and isinstance(found, DailyRain) and all(abs(a - b) < 1e-3 for a, b in zip(found.mm, mm, strict=True))
    sane = all(0.0 <= fell <= 2000.0 for fell in found.mm)
    wrong = "" if sane and (damaged or same) else f"read {found.mm[:5]} for {mm[:5]}"
    return Outcome(0, "damaged, and read" if damaged else "read", wrong, evidence if wrong else {})
