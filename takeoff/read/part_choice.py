"""What is said where a file holds several roofs and the job does not say which is meant."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

from takeoff.basics.errors import UndecidedError

_LISTED = 12
_PLAIN = re.compile(r"[A-Za-z_][A-Za-z0-9_.$-]*")


def undecided(name: str, what: str, ways: Sequence[tuple[str, str]]) -> UndecidedError:
    """The error that asks which of several parts is meant: `ways` are a part's id and what else tells it."""
    faults = [f"{name}: holds {len(ways)} {what}, each a roof of its own; say in the job's shape which is meant"]
    faults += [f"{name}: {words + ': ' if words else ''}`part: {_yaml(key)}`" for key, words in ways[:_LISTED]]
    if len(ways) > _LISTED:
        faults.append(f"{name}: and {len(ways) - _LISTED} more; takeoff look lists them all")
    return UndecidedError(*faults)


def _yaml(key: str) -> str:
    return key if _PLAIN.fullmatch(key) else json.dumps(key, ensure_ascii=False)
