"""Small helpers of the roofing rules: a value from the job or a setting, each as a term with its basis."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.errors import JobError
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.products import HasBasis, basis_of
from takeoff.model.settings import Settings


def one_of(settings: Settings, name: str, words: Sequence[str]) -> str:
    """The word a setting has, which must be one of `words`. Raises JobError for another."""
    word = settings.word(name)
    if word not in words:
        raise JobError(f"settings.{name}: must be one of {', '.join(words)}, got {word!r}.")
    return word


def positive(settings: Settings, name: str) -> float:
    """The number a setting has, which must be above 0. Raises JobError for another."""
    number = settings.number(name)
    if number <= 0.0:
        raise JobError(f"settings.{name}: must be above 0 {settings.values[name].unit}, got {number:g}.")
    return number


def number_or(given: float | None, settings: Settings, name: str) -> tuple[float, Term]:
    """The job's number (above 0) where it gives one, else the setting `name`, with the term that says which."""
    if given is None:
        return positive(settings, name), settings.term(name)
    return given, Term(name, given, settings.values[name].unit, SET_IN_JOB)


def word_or(given: str | None, settings: Settings, name: str) -> tuple[str, Term]:
    """The job's word where it gives one, else the setting `name`, with the term that says which."""
    if given is None:
        return settings.word(name), settings.term(name)
    return given, Term(name, given, settings.values[name].unit, SET_IN_JOB)


def product_term(product: HasBasis, field: str, value: float | str, unit: str) -> Term:
    """A product's value as a term with the basis of that field."""
    return Term(field, value, unit, basis_of(product, field))


def quantity(
    number: str, item: str, figure: float, unit: str, refs: tuple[str, ...], rule: str, *terms: Term
) -> Quantity:
    """A quantity with its working in one call."""
    return Quantity(number, item, figure, unit, refs, Working(rule, terms))
