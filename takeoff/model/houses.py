"""Several houses of one kind in one order."""

from __future__ import annotations

from takeoff.basics.records import record


@record
class TogetherSaves:
    """Packs of one line that would not be bought if all houses shared them."""

    line: str
    item: str
    packs: float
    unit: str


@record
class Houses:
    """What an order for several houses stands for: `count` of them, `marks` H1 on. Every line of the order is for all;
    runs are cut house by house, so the cutting lists are those of each. Metres bought, placed and wasted (bought less
    placed and laps) are those of one house's runs; `together` is what sharing packs would save."""

    count: int
    marks: tuple[str, ...]
    bought_m: float
    placed_m: float
    waste_m: float
    together: tuple[TogetherSaves, ...]

    def on_marks(self, words: str) -> str:
        """Marks of one house, said of all: "H1 to H4, each: P1.01, P1.02"."""
        return f"{self.marks[0]} to {self.marks[-1]}, each: {words}"

    @property
    def words(self) -> str:
        """The houses in a few words: "4 houses, H1 to H4"."""
        return f"{self.count} houses, {self.marks[0]} to {self.marks[-1]}"
