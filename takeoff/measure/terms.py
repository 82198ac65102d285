"""Small helpers of the roofing rules: a value from the job or a setting, each as a term with its basis."""

from __future__ import annotations

from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.products import HasBasis, basis_of
from takeoff.model.settings import Settings


def number_or(given: float | None, settings: Settings, name: str) -> tuple[float, Term]:
    """The job's number (above 0) where it gives one, else the setting `name`, with the term that says which."""
    if given is None:
        return settings.number(name), settings.term(name)
    return given, Term(name, given, settings.unit(name), SET_IN_JOB)


def word_or(given: str | None, settings: Settings, name: str) -> tuple[str, Term]:
    """The job's word where it gives one, else the setting `name`, with the term that says which."""
    if given is None:
        return settings.word(name), settings.term(name)
    return given, Term(name, given, settings.unit(name), SET_IN_JOB)


def product_term(product: HasBasis, field: str, value: float | str, unit: str) -> Term:
    """A product's value as a term with the basis of that field."""
    return Term(field, value, unit, basis_of(product, field))


def run_working(rule: str, length_mm: float, ref: str, *terms: Term) -> Working:
    """Why a run is as long as it is: the rule, the length it was drawn with [mm], and what else went in."""
    return Working(rule, (Term("length", length_mm, "mm", ref=ref), *terms))


def quantity(
    number: str, item: str, figure: float, unit: str, refs: tuple[str, ...], rule: str, *terms: Term
) -> Quantity:
    """A quantity with its working in one call."""
    return Quantity(number, item, figure, unit, refs, Working(rule, terms))
