"""Why a figure is what it is: the basis of every value, the working of every quantity."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.model.value_types import ANY_NUMBER, ValueType


class Status(StrEnum):
    """How well a value is vouched for."""

    SEEN = "seen"  # read in the named source
    SEEN_RESTATED = "seen_restated"  # read on a page that restates the named source
    MEMORY = "memory"  # recalled, not seen: verify before relying on it
    COMMON_PRACTICE = "common_practice"  # custom of the trade, no source claimed
    DERIVED = "derived"  # arithmetic from values that have a basis of their own
    SET_IN_JOB = "set_in_job"  # given by whoever wrote the job
    SET_IN_OFFICE = "set_in_office"  # given in the office file, for every job of the office


_STATUS_WORDS = {
    Status.SEEN: "",
    Status.SEEN_RESTATED: "",
    Status.MEMORY: "from memory, verify",
    Status.COMMON_PRACTICE: "common practice, no source",
    Status.DERIVED: "derived",
    Status.SET_IN_JOB: "set in the job",
    Status.SET_IN_OFFICE: "set in the office file",
}


@record
class Basis:
    """Where one value comes from. `via` names the page that restates `source`; `holds` is its range of validity; `code`
    is the country's code that the source belongs to, "" for none or several."""

    status: Status
    source: str = ""
    clause: str = ""
    via: str = ""
    holds: str = ""
    code: str = ""

    def words(self) -> str:
        """One line for a person: status, source, clause, page that restates it, range."""
        parts = ", ".join(part for part in (self.source, self.clause) if part)
        head = _STATUS_WORDS[self.status]
        if self.status is Status.COMMON_PRACTICE:
            text = f"{head} ({self.clause})" if self.clause else head
        else:
            text = ": ".join(part for part in (head, parts) if part)
        if self.via:
            text += f" (via {self.via})"
        return f"{text}; holds for {self.holds}" if self.holds else text


SET_IN_JOB = Basis(Status.SET_IN_JOB)
"""The basis of every value that whoever wrote the job has given."""

SET_IN_OFFICE = Basis(Status.SET_IN_OFFICE)
"""The basis of every value that the office file gives."""


@record
class Setting:
    """A named number or word that a rule uses, with its unit and basis. `says` explains it in a line, `type` is what it
    may be set to."""

    name: str
    value: float | str | bool
    unit: str
    basis: Basis
    says: str = ""
    type: ValueType = ANY_NUMBER


@record
class Term:
    """One value that entered a rule. `basis` is None for values measured on the shape; `ref` names what was
    measured."""

    name: str
    value: float | str
    unit: str
    basis: Basis | None = None
    ref: str = ""


@record
class Working:
    """A rule in words or a formula, and the terms that entered it. Prose is made where files are written."""

    rule: str
    terms: tuple[Term, ...] = ()


@record
class Quantity:
    """A measured or counted figure in trade units (m, m2, each, kg, L), with what it refers to and why.

    `labour`: work on the list, with nothing to buy.
    """

    id: str
    item: str
    figure: float
    unit: str
    refs: tuple[str, ...]
    working: Working
    labour: bool = False
