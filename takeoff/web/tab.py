"""One browser tab on the house: what is touched in it, and how its parts are drawn anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from nicegui import Client, app, ui

from takeoff.basics.errors import TakeoffError
from takeoff.model.job_edits import Edit
from takeoff.web.house import House, News

Drawer = Callable[[], object]


@dataclass(slots=True)
class _Part:
    """Something that is drawn anew: by whom, at which news, and in which panel ("" for what is always seen)."""

    draw: Drawer
    news: frozenset[News]
    panel: str
    due: bool = False


@dataclass(slots=True)
class Tab:
    """A tab. `touched`: the mark of what is touched ("P1", "E3", "W2", a line of the order), "" for nothing. Each panel
    says what it draws anew at which news (`on`), and when something else is touched (`on_touch`); what is not in front
    is drawn when it comes there. `front`: the panel that is."""

    house: House
    client: Client
    root: str
    touched: str = ""
    front: str = ""
    _built: str = ""
    _parts: list[_Part] = field(default_factory=list)
    _touches: list[_Part] = field(default_factory=list)
    _showers: dict[str, Drawer] = field(default_factory=dict)

    def on(self, *news: News, do: Drawer) -> None:
        """Draw anew at these news; in this tab's own slot."""
        self._parts.append(_Part(do, frozenset(news), self._built))

    def on_touch(self, do: Drawer) -> None:
        """Draw anew when something else is touched."""
        self._touches.append(_Part(do, frozenset(), self._built))

    @contextmanager
    def building(self, panel: str) -> Iterator[None]:
        """What is told `on` and `on_touch` within belongs to a panel."""
        self._built = panel
        try:
            yield
        finally:
            self._built = ""

    def shows(self, panel: str, do: Drawer) -> None:
        """How a panel is brought to the front, by its name."""
        self._showers[panel] = do

    def show(self, panel: str) -> None:
        """Bring a panel to the front."""
        if panel in self._showers:
            self._showers[panel]()

    def has(self, panel: str) -> bool:
        """Whether there is a panel of that name."""
        return panel in self._showers

    def came_to_front(self, panel: str) -> None:
        """A panel is in front now: what it missed is drawn."""
        self.front = panel
        for part in (*self._parts, *self._touches):
            if part.panel == panel and part.due:
                self._draw(part)

    def touch(self, mark: str) -> None:
        """Something is touched: lit in every panel of this tab."""
        if mark != self.touched:
            self.touched = mark
            self._draw_or_wait(self._touches)

    def news(self, news: News) -> None:
        """The house has news."""
        self._draw_or_wait([part for part in self._parts if news in part.news])

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
            for fault in err.faults:
                self.say(fault)

    def say(self, words: str) -> None:
        """Tell something in this tab, until it is closed."""
        with self.client:
            ui.notify(words, type="warning", multi_line=True, close_button="Close", timeout=0, position="top")

    def note(self, words: str) -> None:
        """Tell in this tab, for a few seconds, what was done; also where the button that did it is gone by now."""
        with self.client:
            ui.notify(words, timeout=5000)

    def fault(self, err: Exception) -> None:
        """A fault of the program is told in this tab; the log has all of it."""
        self.say(f"A fault of the program itself: {type(err).__name__}. Nothing you drew is lost.")

    def _draw_or_wait(self, parts: list[_Part]) -> None:
        for part in parts:
            if part.panel in ("", self.front):
                self._draw(part)
            else:
                part.due = True

    def _draw(self, part: _Part) -> None:
        """A part that fails takes no other with it, nor another tab."""
        part.due = False
        with self.client:
            try:
                part.draw()
            except Exception as err:
                app.handle_exception(err)
