"""One browser tab on the house: what is touched in it, and how its parts are drawn anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from nicegui import Client, ui

from takeoff.basics.errors import TakeoffError
from takeoff.model.job_edits import Edit
from takeoff.web.house import House, News

Drawer = Callable[[], object]


@dataclass(slots=True)
class Tab:
    """A tab. `touched`: the mark of what is touched ("P1", "E3", "W2", a line of the order), "" for nothing. Each panel
    says what it draws anew at which news (`on`), and when something else is touched (`on_touch`)."""

    house: House
    client: Client
    root: str
    touched: str = ""
    _drawers: list[tuple[frozenset[News], Drawer]] = field(default_factory=list)
    _touches: list[Drawer] = field(default_factory=list)
    _showers: dict[str, Drawer] = field(default_factory=dict)

    def on(self, *news: News, do: Drawer) -> None:
        """Draw anew at these news; in this tab's own slot."""
        self._drawers.append((frozenset(news), do))

    def on_touch(self, do: Drawer) -> None:
        """Draw anew when something else is touched."""
        self._touches.append(do)

    def shows(self, panel: str, do: Drawer) -> None:
        """How a panel is brought to the front, by its name."""
        self._showers[panel] = do

    def show(self, panel: str) -> None:
        """Bring a panel to the front."""
        if panel in self._showers:
            self._showers[panel]()

    def touch(self, mark: str) -> None:
        """Something is touched: lit in every panel of this tab."""
        if mark != self.touched:
            self.touched = mark
            for draw in self._touches:
                draw()

    def news(self, news: News) -> None:
        """The house has news."""
        with self.client:
            for wanted, draw in self._drawers:
                if news in wanted:
                    draw()

    def edit(self, *edits: Edit, said: str) -> bool:
        """Edit the job; what cannot be done is told in this tab. Whether it was done."""
        with self.told():
            self.house.edit(*edits, said=said)
            return True
        return False

    @contextmanager
    def told(self) -> Iterator[None]:
        """Faults of what is done within are told in this tab, and go no further."""
        try:
            yield
        except TakeoffError as err:
            with self.client:
                for fault in err.faults:
                    ui.notify(fault, type="warning", multi_line=True, close_button="Close", timeout=0)
