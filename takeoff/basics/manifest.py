"""The manifest of an order folder: which files were written together, with the hash of each and of itself.

Only a manifest that still carries its own right hash says what is ours: one that was made or edited by others decides
nothing.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import field
from hashlib import sha256

from takeoff.basics.records import record

MANIFEST = "manifest.json"
FORMAT = "takeoff-manifest"
VERSION = 1
MOST_BYTES = 2_000_000
MOST_FILES = 10_000
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,99}")


@record
class Manifest:
    """The files of a set by name, each with its hash (SHA-256), and what they are of (`facts`: program, job, ...)."""

    files: Mapping[str, str]
    facts: Mapping[str, str] = field(default_factory=dict)

    def to_bytes(self) -> bytes:
        """The manifest as its file holds it."""
        body: dict[str, object] = {"format": FORMAT, "version": VERSION, **self.facts, "files": dict(self.files)}
        return text_bytes({**body, "seal": seal_of(body)})


def digest_of(data: bytes) -> str:
    """The hash of a file's bytes (SHA-256, hexadecimal)."""
    return sha256(data).hexdigest()


def seal_of(body: Mapping[str, object]) -> str:
    """The hash of a record that stands in the record itself, whatever the layout of its file."""
    return digest_of(json.dumps(body, sort_keys=True, ensure_ascii=True, separators=(",", ":")).encode("ascii"))


def text_bytes(body: Mapping[str, object]) -> bytes:
    """A record as the bytes of its file."""
    return (json.dumps(body, indent=1, ensure_ascii=False) + "\n").encode("utf-8", "backslashreplace")


def parse_manifest(data: bytes) -> Manifest | None:
    """The manifest in a file's bytes; None for what this program did not write so."""
    body = sealed_record(data, FORMAT)
    if body is None:
        return None
    files = name_texts(body.pop("files", None))
    facts = {name: value for name, value in body.items() if isinstance(value, str) and name != "format"}
    return None if files is None or MANIFEST in files else Manifest(files, facts)


def sealed_record(data: bytes, name: str) -> dict[str, object] | None:
    """A record of that format whose seal is right, without the seal; None for anything else, however built."""
    if len(data) > MOST_BYTES:
        return None
    try:
        body = json.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        return None
    if not isinstance(body, dict) or body.get("format") != name or body.get("version") != VERSION:
        return None
    seal = body.pop("seal", None)
    try:
        return body if seal == seal_of(body) else None
    except (ValueError, RecursionError):
        return None


def name_texts(value: object) -> dict[str, str] | None:
    """A mapping of plain file names to texts; None where it is none."""
    if not isinstance(value, dict) or len(value) > MOST_FILES:
        return None
    if not all(is_plain_name(name) and isinstance(text, str) for name, text in value.items()):
        return None
    return value


def is_plain_name(name: object) -> bool:
    """True for a name that leads to no other folder: letters, digits, _ . and -, not hidden."""
    return isinstance(name, str) and _NAME.fullmatch(name) is not None and not name.endswith(".")
