"""Jobs of the samples, changed: figures, words, keys and lines that nobody would write, or that somebody did."""

from __future__ import annotations

import contextlib
import json
import random
import re
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from rounds.outcome import SAMPLES, Outcome, cause_words, fault_outcome, take_off

FIGURES = ["0", "-1", "1", "0.001", "999999", "1e9", "-1e9", "1e308", ".nan", ".inf", "12:30", "017", "1_000", "true",
           "null", "''", "[]", "{}", "x", "9" * 40, "25 deg", "1e-300", "0x10", "2026-02-30"]  # fmt: skip
FACTORS = [0.001, 0.1, 0.5, 0.99, 1.01, 2.0, 10.0, 1000.0, -1.0]
_NUMBER = re.compile(r"(?<![\w.])-?\d+(\.\d+)?(?![\w.])")
_WORD = re.compile(r"(?<=[:\[, ])[a-z][a-z0-9_]+(?=[\n,\]}])")


@cache
def sample_texts() -> tuple[tuple[str, str], ...]:
    return tuple((path.parent.name, path.read_text(encoding="utf-8")) for path in sorted(SAMPLES.glob("*/job.yaml")))


@cache
def keys() -> tuple[str, ...]:
    schema = json.loads((SAMPLES.parent / "templates" / "job.schema.json").read_text(encoding="utf-8"))
    found: set[str] = set(schema.get("properties", {}))
    for part in schema.get("$defs", {}).values():
        found |= set(part.get("properties", {}))
    return tuple(sorted(found))


@cache
def words() -> tuple[str, ...]:
    return tuple(sorted({match.group() for _, text in sample_texts() for match in _WORD.finditer(text)}))


def changed_text(text: str, chance: random.Random) -> str:
    """One change of the text."""
    lines = text.splitlines()
    how = chance.randrange(10)
    if how <= 3:
        return _swap(text, _NUMBER, chance, lambda old: _figure(old, chance))
    if how == 4:
        return _swap(text, _WORD, chance, lambda _old: chance.choice((*words(), *keys())))
    place = chance.randrange(len(lines))
    if how == 5:
        del lines[place]
    elif how == 6:
        lines.insert(chance.randrange(len(lines)), lines[place])
    elif how == 7:
        indent = re.match(r"\s*(- )?", lines[place])
        lead = " " * len(indent.group()) if indent else ""
        lines.insert(place, f"{lead}{chance.choice(keys())}: {chance.choice((*FIGURES, *words(), '100', '30'))}")
    elif how == 8:
        lines[place] = " " * chance.randrange(8) + lines[place].strip()
    else:
        at = chance.randrange(len(text))
        return (
            text[:at]
            + chance.choice(["\x00", "\ufeff", "é", "&a", "*a", "!!x", "\t", "#", "'", '"', "|", "%", "\ud7ff", "🏠"])
            + text[at + 1 :]
        )
    return "\n".join(lines) + "\n"


def _figure(old: str, chance: random.Random) -> str:
    if chance.random() < 0.3:
        return chance.choice(FIGURES)
    value = float(old)
    value = (
        value * chance.choice(FACTORS) if chance.random() < 0.5 else value + chance.choice((-1, 1, 0.5, -100, 37, 1e4))
    )
    return f"{value:.10g}"


def _swap(text: str, pattern: re.Pattern[str], chance: random.Random, by: Any) -> str:
    found = list(pattern.finditer(text))
    if not found:
        return text
    match = chance.choice(found)
    return text[: match.start()] + by(match.group()) + text[match.end() :]


def changed_tree(text: str, chance: random.Random) -> str:
    """One change of what the text says: a value replaced, a key taken out or put in, a list shortened, doubled, turned."""
    tree = yaml.safe_load(text)
    places: list[tuple[Any, Any]] = []

    def walk(value: Any) -> None:
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            places.append((value, key))
            if isinstance(value[key], dict | list):
                walk(value[key])

    walk(tree)
    holder, key = chance.choice(places)
    value = holder[key]
    if isinstance(value, list) and value and chance.random() < 0.6:
        part = chance.randrange(len(value))
        chance.choice(
            [
                lambda: value.pop(part),
                lambda: value.insert(part, value[part]),
                value.reverse,
                lambda: chance.shuffle(value),
                lambda: value.extend(value * 3),
            ]
        )()
    elif isinstance(holder, dict) and chance.random() < 0.3:
        if chance.random() < 0.5:
            del holder[key]
        else:
            holder[chance.choice(keys())] = chance.choice(places)[0]
    elif isinstance(value, int | float) and not isinstance(value, bool):
        holder[key] = value * chance.choice(FACTORS)
    else:
        holder[key] = chance.choice([None, 0, -5, "x", [], {}, True, [[0, 0]], "corrugated", 1e12])
    return yaml.safe_dump(tree, sort_keys=False, allow_unicode=True)


def case(chance: random.Random, _folder: Path) -> Outcome:
    """One changed job, to its order."""
    name, text = chance.choice(sample_texts())
    if chance.random() < 0.35:
        with contextlib.suppress(ValueError, TypeError, RecursionError, IndexError, yaml.YAMLError):
            text = changed_tree(text, chance)
    for _ in range(chance.choice((0, 1, 1, 2, 4)) if "\n  " in text else 1):
        text = changed_text(text, chance)
    return run_case(text, SAMPLES / name)


def run_case(text: str, base: Path) -> Outcome:
    """The job's outcome; anything but an order, a refusal or a stop is a finding."""
    try:
        takeoff = take_off(text, base)
    except Exception as err:
        return fault_outcome(err, {"job.yaml": text.encode("utf-8", "surrogatepass")})
    return Outcome(6, cause_words(takeoff.stops[0].text)) if takeoff.stopped else Outcome(0, "order")
