"""Products by kind with what this job uses of them, and a form for one's own, for the job or for the office file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import partial
from typing import Any

from nicegui import ui

from takeoff.listing import size_words
from takeoff.model.products import Catalogue
from takeoff.read.catalogue import PRODUCTS, load_catalogue
from takeoff.web.drawing.choice_list import ChoiceList, Row
from takeoff.web.drawing.form_field import FormField
from takeoff.web.panels.office_text import OfficeText
from takeoff.web.product_forms import CHOICE, FLAG, OF_JOB, OF_OFFICE, Asked, asked_fields, office_groups, own_product
from takeoff.web.tab import Tab
from takeoff.web.tank_edits import part_of
from takeoff.write.words.words import basis_words, name_words, plain

_JOB, _OFFICE = "this job", "the office file"


def named_in(tree: Any) -> Iterator[str]:
    """Every word that is a value in a job as typed."""
    if isinstance(tree, dict):
        for value in tree.values():
            yield from named_in(value)
    elif isinstance(tree, list):
        for value in tree:
            yield from named_in(value)
    elif isinstance(tree, str):
        yield tree


def product_rows(catalogue: Catalogue, group: str, tree: Any, ordered: frozenset[str], only: bool) -> list[Row]:
    """Products of a kind: id, name, and whether the job names or the order buys it. `only`: those alone."""
    named = frozenset(named_in(tree))
    found: list[Row] = []
    products: dict[str, Any] = dict(getattr(catalogue, group))
    for name, product in products.items():
        used = "in the order" if name in ordered else "named in the job" if name in named else ""
        if used or not only:
            found.append((name, name, plain(product.name) if hasattr(product, "name") else "", used))
    return found


class ProductsList:
    """The list in one tab."""

    def __init__(self, tab: Tab, office: OfficeText) -> None:
        self.tab, self.office = tab, office
        self.group, self.chosen, self.only = "profiles", "", False
        self.shown: object = None
        with ui.element("div").classes("two-columns"):
            with ui.element("div"):
                with ui.element("div").classes("new-row"):
                    kinds = {group: name_words(group) for group in PRODUCTS}
                    FormField("kind", self._kind, value=self.group, choices=kinds)
                    FormField("show", self._only, value="", choices={"": "all", "used": "what the job uses"})
                self.list = ChoiceList("Products", self.choose, "None of that kind.")
            with ui.element("div"):
                self.one = ui.element("div").classes("one-setting")
                with ui.element("div").classes("own-product"):
                    self._build_form()

    @property
    def catalogue(self) -> Catalogue:
        """The products there are, the job's and the office's own among them."""
        shaped = self.tab.house.shaped
        return shaped.catalogue if shaped is not None else load_catalogue()

    def _kind(self, group: str) -> None:
        self.group, self.chosen = group, ""
        self.draw()

    def _only(self, which: str) -> None:
        self.only = bool(which)
        self.draw()

    def choose(self, name: str) -> None:
        """Show one product."""
        self.chosen = name
        self.draw()

    def draw(self) -> None:
        """The list and the product that is chosen."""
        order = self.tab.house.ordered.order if self.tab.house.ordered is not None else None
        bought = frozenset(line.of.product for line in (order.lines if order is not None else ()))
        self.list.show(product_rows(self.catalogue, self.group, self.tab.house.tree, bought, self.only), self.chosen)
        product = dict(getattr(self.catalogue, self.group)).get(self.chosen)
        if (self.group, product) != self.shown:
            self.shown = (self.group, product)
            self._draw_one(product)

    def _draw_one(self, product: Any) -> None:
        self.one.clear()
        with self.one:
            if product is None:
                ui.label("Choose a product: its sizes and what they rest on stand here.")
                return
            ui.label(f"{plain(self.chosen)}: {plain(getattr(product, 'name', ''))}").classes("heading")
            for words in size_words(product):
                ui.label(words)
            held = product.basis if any(field.name == "basis" for field in fields(product)) else {}
            for name, basis in held.items():
                what = "figures rest on" if name == "*" else f"{name_words(name)} rests on"
                ui.label(f"{what}: {basis_words(basis)}").classes("soft")
            if self.chosen in part_of(self.tab.house.tree, self.group):
                ui.label("It is one of this job's own: its figures stand in the job file.").classes("soft")

    # ---- own products

    def _build_form(self) -> None:
        self.where, self.own_group = _JOB, "profiles"
        self.typed: dict[str, str] = {}
        ui.label("One of your own").classes("heading")
        with ui.element("div").classes("new-row"):
            FormField("for", self._for, value=_JOB, choices={_JOB: _JOB, _OFFICE: _OFFICE})
            self.kind = FormField("kind", self._own_kind, value="profiles", choices={"profiles": "profiles"})
        self.form = ui.element("div").classes("own-form")
        self._draw_form()

    def _for(self, where: str) -> None:
        self.where = where
        groups = tuple(OF_JOB) if where == _JOB else office_groups()
        self.kind.offer({group: name_words(group) for group in groups})
        self._own_kind(self.own_group if self.own_group in groups else groups[0])

    def _own_kind(self, group: str) -> None:
        self.own_group = group
        self.kind.show(group)
        self._draw_form()

    def _draw_form(self) -> None:
        model = (OF_JOB if self.where == _JOB else OF_OFFICE)[self.own_group]
        self.typed = {}
        self.form.clear()
        with self.form:
            FormField("called, in files", partial(self.typed.__setitem__, ""), size=16)
            for asked in asked_fields(model):
                self._field(asked)
            words = "Put into the job" if self.where == _JOB else "Put into the office file, to be saved there"
            ui.button(words, on_click=self._put).props("outline no-caps dense")

    def _field(self, asked: Asked) -> None:
        choices = None
        if asked.how == CHOICE:
            choices = {"": "", **{word: name_words(word) for word in asked.choices}}
        elif asked.how == FLAG:
            choices = {"": "no", "true": "yes"}
        with ui.element("div"):
            field = FormField(
                f"{asked.words}{' *' if asked.needed else ''}",
                partial(self.typed.__setitem__, asked.name),
                unit=asked.unit,
                choices=choices,
                size=10,
            )
            field.props["aria-required"] = str(asked.needed).lower()
            ui.label(asked.says).classes("soft")

    def _put(self) -> None:
        models = OF_JOB if self.where == _JOB else OF_OFFICE
        with self.tab.told():
            name = self.typed.get("", "")
            edit = own_product(self.own_group, models[self.own_group], name, self.typed)
            if self.where == _OFFICE:
                self.office.put(edit)
                self.tab.note(f"{plain(name)} is in the office file's text: save it there.")
            elif self.tab.edit(edit, said=f"{plain(name)} put in"):
                self.tab.note(f"{plain(name)} can be named in the job now.")
