"""Small helpers of the roofing rules: a value from the job or a setting, each as a term with its basis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from takeoff.basics.errors import JobError
from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.settings import Settings

SET_IN_JOB = Basis(Status.SET_IN_JOB)


class HasBasis(Protocol):
    """A product of the catalogue: every field's basis by name, "*" for the rest."""

    @property
    def basis(self) -> Mapping[str, Basis]: ...


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
    basis = product.basis.get(field) or product.basis.get("*")
    return Term(field, value, unit, basis)


def quantity(
    number: str, item: str, figure: float, unit: str, refs: tuple[str, ...], rule: str, *terms: Term
) -> Quantity:
    """A quantity with its working in one call."""
    return Quantity(number, item, figure, unit, refs, Working(rule, terms))
