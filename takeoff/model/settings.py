"""Settings resolved once, catalogue first, then job: every number a rule uses, with its basis."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from takeoff.basics.records import record
from takeoff.model.basis import Basis, Setting, Status, Term
from takeoff.model.code_rules import NO_RULES, RuleSet


@record
class Settings:
    """All settings by name. Asking for one that does not exist raises KeyError: a fault of ours, not of the job.

    A stage asks its own copy (`watched`), which notes what it is asked for; the stage's result names it (`used`), and
    the page of bases is made from that. `values` is for whoever lists settings: reading there is not noted. `rules` are
    the tables of the code that the values hold for.
    """

    values: Mapping[str, Setting]
    noted: set[str] | None = field(default=None, compare=False, repr=False)
    rules: RuleSet = field(default=NO_RULES, compare=False, repr=False)

    def watched(self) -> Settings:
        """The same settings for one stage, with nothing asked for yet."""
        return Settings(self.values, set(), self.rules)

    @property
    def used(self) -> tuple[str, ...]:
        """Names asked for, in the order of the catalogue."""
        return tuple(name for name in self.values if name in (self.noted or ()))

    def number(self, name: str) -> float:
        """The value of a numeric setting, in the unit its name says."""
        value = self._asked(name).value
        if isinstance(value, str):
            raise TypeError(f"setting {name} is a word, not a number")
        return float(value)

    def word(self, name: str) -> str:
        """The value of a setting that is a word."""
        return str(self._asked(name).value)

    def flag(self, name: str) -> bool:
        """The value of a yes-or-no setting."""
        return bool(self._asked(name).value)

    def basis(self, name: str) -> Basis:
        """Where the value of a setting comes from."""
        return self._asked(name).basis

    def given(self, name: str) -> bool:
        """Whether the job or the office gives a value of a setting, which then prevails over a table of the code."""
        return self._asked(name).basis.status in (Status.SET_IN_JOB, Status.SET_IN_OFFICE)

    def of_another_code(self, names: Iterable[str]) -> tuple[Setting, ...]:
        """Those of some settings whose source belongs to another country's code; no stage asks for them by this."""
        named = (self.values[name] for name in dict.fromkeys(names))
        return tuple(setting for setting in named if setting.basis.code not in ("", self.rules.id))

    def unit(self, name: str) -> str:
        """The unit of a setting, whose value is not asked for."""
        return self.values[name].unit

    def term(self, name: str) -> Term:
        """The setting as a term of a working, with its basis."""
        setting = self._asked(name)
        value = ("yes" if setting.value else "no") if isinstance(setting.value, bool) else setting.value
        return Term(name=name, value=value, unit=setting.unit, basis=setting.basis)

    def _asked(self, name: str) -> Setting:
        setting = self.values[name]
        if self.noted is not None:
            self.noted.add(name)
        return setting
