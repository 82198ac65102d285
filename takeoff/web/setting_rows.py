"""The settings of a house as rows, and what is done to them as edits of the job. No bound is made here."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.listing import allowed_words
from takeoff.model.basis import Setting, Status
from takeoff.model.job_edits import GONE, Edit
from takeoff.model.order import Takeoff
from takeoff.model.settings import Settings
from takeoff.model.value_types import ValueKind
from takeoff.read.job.settings import default_rules, value_fault
from takeoff.web.tank_edits import part_of
from takeoff.write.words.words import basis_words, name_words, value_words

ALL, SET, OFFICE, USED, MEMORY = "all", "set in the job", "set in the office file", "used in this order", "from memory"
WHICH = (ALL, SET, OFFICE, USED, MEMORY)
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")


@record
class SettingRow:
    """A setting as it is listed: its name, its value in words, who set it ("" where nobody did)."""

    name: str
    value: str
    by: str


def settings_of(shaped: Takeoff | None, tree: Any) -> Settings:
    """The settings of the last shape that was right, else the defaults of the code that the job names."""
    if shaped is not None:
        return shaped.settings
    code = tree.get("code") if isinstance(tree, dict) else None
    try:
        return default_rules(str(code or ""))
    except (KeyError, ValueError):
        return default_rules()


def used_settings(ordered: Takeoff | None) -> frozenset[str]:
    """Settings that the order asked for."""
    return frozenset(name for used in (ordered.used if ordered is not None else ()) for name in used.settings)


def setting_rows(settings: Settings, tree: Any, used: Iterable[str], word: str, which: str) -> list[SettingRow]:
    """The settings whose name or meaning holds the word, of those asked for (`which`); each as it is typed now."""
    typed, wanted, known = part_of(tree, "settings"), word.strip().lower(), frozenset(used)
    return [
        SettingRow(name, shown_value(setting, typed), by)
        for name, setting in settings.values.items()
        if _holds(setting, wanted) and _among(which, setting, by := set_by(setting, typed), known)
    ]


def _holds(setting: Setting, wanted: str) -> bool:
    return wanted.replace(" ", "_") in setting.name or wanted in f"{setting.says} {basis_words(setting.basis)}".lower()


def _among(which: str, setting: Setting, by: str, used: frozenset[str]) -> bool:
    asked = {
        SET: by == SET,
        OFFICE: by == OFFICE,
        USED: setting.name in used,
        MEMORY: setting.basis.status is Status.MEMORY,
    }
    return asked.get(which, True)


def set_by(setting: Setting, typed: Mapping[str, Any]) -> str:
    """Who set it: the job as typed, else the office; "" for nobody."""
    if setting.name in typed:
        return SET
    return OFFICE if setting.basis.status is Status.SET_IN_OFFICE else ""


def shown_value(setting: Setting, typed: Mapping[str, Any]) -> str:
    """The value in words, as typed where the job sets it."""
    value = typed.get(setting.name, setting.value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return value_words(value, setting.unit) if isinstance(value, int | float | str) else "no value"


def choices_of(setting: Setting) -> dict[str, str] | None:
    """What it may be chosen from; None where it is typed."""
    if setting.type.kind is ValueKind.FLAG:
        return {"true": "true", "false": "false"}
    return {word: name_words(word) for word in setting.type.words} or None


def setting_facts(setting: Setting, usual: Setting | None, typed: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What is said of a setting: meaning, what it may be, the catalogue's own value and its basis, who set it."""
    own = usual or setting
    default = "true" if own.value is True else "false" if own.value is False else value_words(own.value, own.unit)
    return [
        ("is", setting.says),
        ("may be", allowed_words(setting)),
        ("usual", default),
        ("basis of that", basis_words(own.basis)),
        *([("here", by)] if (by := set_by(setting, typed)) else []),
    ]


def setting_edit(setting: Setting, text: str) -> Edit:
    """A setting as it was typed or chosen, held to its bounds. Raises UsageError."""
    value: float | int | str | bool = text.strip()
    if setting.type.kind is ValueKind.FLAG:
        value = {"true": True, "false": False}.get(text, text)
    elif setting.type.kind is ValueKind.NUMBER and _NUMBER.fullmatch(text.strip()):
        number = float(text.strip().replace(",", "."))
        value = int(number) if number.is_integer() else number
    if (fault := value_fault(setting, value)) is not None:
        raise UsageError(f"{name_words(setting.name)}: {fault}.")
    return Edit(("settings", setting.name), value)


def setting_reset(tree: Any, name: str) -> Edit:
    """The job does not set it any more."""
    typed = part_of(tree, "settings")
    return Edit(("settings",) if set(typed) <= {name} else ("settings", name), GONE)
