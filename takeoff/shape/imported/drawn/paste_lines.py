"""Lines to paste into a job that say which shape of a file is meant."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

_PLAIN = re.compile(r"[A-Za-z_](?:[\w.\-/ ]*[\w.\-/])?", re.ASCII)
_MEANS_ELSE = frozenset(("y", "n", "yes", "no", "on", "off", "true", "false", "null"))


def shape_line(file: str, key: str = "shape", **said: object) -> str:
    """A line of a roof, its empty keys left out.

    >>> shape_line("plan.dxf", layer="ROOF", part=2, unit="mm")
    'shape: {file: plan.dxf, layer: ROOF, part: 2, unit: mm}'
    >>> shape_line("a, b.dxf", layer="0")
    'shape: {file: "a, b.dxf", layer: "0"}'
    """
    return f"{key}: {{{flow({'file': file, **said})}}}"


def flow(held: Mapping[str, object]) -> str:
    """Keys and values as they stand between braces."""
    return ", ".join(f"{key}: {_word(value)}" for key, value in held.items() if value not in ("", None, 0))


def _word(value: object) -> str:
    if isinstance(value, str):
        plain = _PLAIN.fullmatch(value) is not None and value.lower() not in _MEANS_ELSE
        return value if plain else json.dumps(value, ensure_ascii=False)
    if isinstance(value, list | tuple):
        return f"[{', '.join(_word(one) for one in value)}]"
    return str(value)
