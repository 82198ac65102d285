"""Settings resolved once, catalogue first, then job: every number a rule uses, with its basis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from takeoff.model.basis import Setting, Term


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings by name. Asking for one that does not exist raises KeyError: a fault of ours, not of the job."""

    values: Mapping[str, Setting]

    def number(self, name: str) -> float:
        """The value of a numeric setting, in the unit its name says."""
        value = self.values[name].value
        if isinstance(value, str):
            raise TypeError(f"setting {name} is a word, not a number")
        return float(value)

    def word(self, name: str) -> str:
        """The value of a setting that is a word."""
        return str(self.values[name].value)

    def flag(self, name: str) -> bool:
        """The value of a yes-or-no setting."""
        return bool(self.values[name].value)

    def term(self, name: str) -> Term:
        """The setting as a term of a working, with its basis."""
        setting = self.values[name]
        value = ("yes" if setting.value else "no") if isinstance(setting.value, bool) else setting.value
        return Term(name=name, value=value, unit=setting.unit, basis=setting.basis)
