"""A roof added to a house by its form: which, its three sizes, and where along the edge touched."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from nicegui import ui

from takeoff.web import plan_edits, roof_forms
from takeoff.web.desk_head import plain_button
from takeoff.web.entries import degrees, figure_words, length_mm
from takeoff.web.plan_edits import Edits
from takeoff.web.roof_forms import ROOF_FORMS, RoofForm
from takeoff.web.tab import Tab

Change = Callable[[Callable[[Any], Edits], str], bool]


def add_roof(tab: Tab, roof: int, edge: int, change: Change, walls: Callable[[], Mapping[str, int]]) -> None:
    """Ask for the form and its sizes in a dialog of the tab, which outlives what is touched, and put the roof into the
    job."""
    with tab.told():
        host = roof_forms.host_of(tab.house.tree, roof, edge)
        with tab.client, ui.dialog() as dialog, ui.card().props("flat bordered square").classes("add-roof"):
            with ui.element("h2"):
                ui.label(f"Add a roof at edge {edge} of {host.name}")
            forms = {form.name: form for form in ROOF_FORMS}
            choice = ui.radio(list(forms), value=ROOF_FORMS[0].name).props("dense inline aria-label='Form'")
            says = ui.label().classes("hint")
            room = ui.element("div").classes("entries")
            fields: dict[str, ui.input] = {}

            def draw() -> None:
                form = forms[str(choice.value)]
                says.set_text(form.says)
                room.clear()
                fields.clear()
                with room:
                    fields.update(_fields(form, host))

            def take() -> None:
                if _put_in(tab, roof, edge, forms[str(choice.value)], fields, change, walls):
                    dialog.close()

            choice.on_value_change(draw)
            draw()
            with ui.element("div").classes("acts"):
                plain_button("Put it in", take)
                plain_button("Give up", dialog.close)
        dialog.on("hide", partial(_gone, dialog))
        dialog.open()


def _gone(dialog: ui.dialog) -> None:
    dialog.delete()


def _fields(form: RoofForm, host: roof_forms.Host) -> dict[str, ui.input]:
    fields = {}
    for size in form.sizes:
        unit = "mm" if size.unit == "mm" else "\N{DEGREE SIGN}"
        fields[size.key] = ui.input(f"{size.label} ({unit})", value=figure_words(size.begins(host)))
    if not form.whole_edge:
        label = "Its middle from the edge's left end, seen from outside (mm)"
        fields["middle_mm"] = ui.input(label, value=figure_words(round(host.length_mm / 2.0)))
    for field in fields.values():
        field.props("dense outlined stack-label autocomplete=off")
    return fields


def _put_in(
    tab: Tab,
    roof: int,
    edge: int,
    form: RoofForm,
    fields: Mapping[str, ui.input],
    change: Change,
    walls: Callable[[], Mapping[str, int]],
) -> bool:
    with tab.told():
        sizes = {
            size.key: length_mm(str(fields[size.key].value), signed=size.key == "fascia_mm")
            if size.unit == "mm"
            else degrees(str(fields[size.key].value))
            for size in form.sizes
        }
        middle = length_mm(str(fields["middle_mm"].value)) if "middle_mm" in fields else None
        new = roof_forms.roof_made(tab.house.tree, roof, edge, form, middle, sizes)
        count = len(plan_edits.roofs_of(tab.house.tree))
        if change(lambda tree: plan_edits.roof_added(tree, new, walls()), f"{form.name} added"):
            tab.touch(f"roof {count + 1}")
            return True
    return False
