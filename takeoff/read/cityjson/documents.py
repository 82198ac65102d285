"""The text of a CityJSON file as bounded, checked JSON: one document, or a line each of a sequence of features."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.regular_files import read_bounded

GREATEST_BYTES = 40_000_000
GREATEST_SEQUENCE_BYTES = 200_000_000
VERSIONS = ("1.0", "1.1", "2.0")
_WRONG_KIND = "holds no CityJSON; save it again, or name it by what it is"


def documents(path: Path, wanted: str | None) -> Iterator[dict[str, Any]]:
    """The objects of a file in turn, each with its own CityObjects, vertices and transform.

    A sequence (.jsonl) gives one for each feature; with `wanted`, only those whose text names it. Raises
    UnreadableFileError for what is no CityJSON, of a version that is not read, or over the bounds.
    """
    if path.suffix.lower() != ".jsonl":
        head = _parsed(path, read_bounded(path, GREATEST_BYTES, "CityJSON model"), "")
        _check_head(path, head)
        yield head
        return
    yield from _sequence(path, read_bounded(path, GREATEST_SEQUENCE_BYTES, "sequence of CityJSON"), wanted)


def _sequence(path: Path, data: bytes, wanted: str | None) -> Iterator[dict[str, Any]]:
    lines = (line for line in data.split(b"\n") if line.strip())
    head = _parsed(path, next(lines, b""), "line 1: ")
    _check_head(path, head)
    if head.get("CityObjects"):
        yield head
    asked = None if wanted is None else json.dumps(wanted, ensure_ascii=True)[1:-1].encode()
    plain = None if wanted is None else wanted.encode()
    for number, line in enumerate(lines, start=2):
        if asked is not None and plain is not None and asked not in line and plain not in line:
            continue
        feature = _parsed(path, line, f"line {number}: ")
        if feature.get("type") != "CityJSONFeature":
            raise UnreadableFileError(f"{path.name}: line {number}: is no CityJSONFeature; save the sequence again")
        yield {**feature, "transform": head.get("transform"), "metadata": head.get("metadata")}


def _parsed(path: Path, data: bytes, where: str) -> dict[str, Any]:
    if len(data) > GREATEST_BYTES:
        raise UnreadableFileError(f"{path.name}: {where}more than the {GREATEST_BYTES:,} bytes of one CityJSON object")
    if data.lstrip()[:1] == b"<":
        raise UnreadableFileError(
            f"{path.name}: holds XML; CityGML is not read, save the model as CityJSON {VERSIONS[-1]}"
        )
    try:
        tree = json.loads(data.decode("utf-8-sig"), parse_constant=_no_number)
    except RecursionError:
        raise UnreadableFileError(f"{path.name}: {where}is nested too deep to be a model") from None
    except ValueError as err:
        raise UnreadableFileError(f"{path.name}: {where}is no JSON ({err}); save it again") from None
    if not isinstance(tree, dict):
        raise UnreadableFileError(f"{path.name}: {where}{_WRONG_KIND}")
    return tree


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number")


def _check_head(path: Path, head: dict[str, Any]) -> None:
    kind = head.get("type")
    if kind == "CityJSONFeature":
        raise UnreadableFileError(
            f"{path.name}: is one feature of a sequence without its first line, which holds scale and place; "
            "give the whole sequence"
        )
    if kind != "CityJSON":
        raise UnreadableFileError(f"{path.name}: {_WRONG_KIND}")
    version = str(head.get("version", "none"))[:20]
    if not any(version == known or version.startswith(f"{known}.") for known in VERSIONS):
        raise UnreadableFileError(
            f"{path.name}: is CityJSON of version {version}; versions {', '.join(VERSIONS)} are read: upgrade the file"
        )
    if version[:3] != "1.0" and not isinstance(head.get("transform"), dict):
        raise UnreadableFileError(f"{path.name}: has no transform, which CityJSON {version} must have; save it again")
