"""What panels fetch: made once for each answer of the worker, of the newest that was right, and changes against the order
before."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

import pytest

from takeoff.basics.errors import TakeoffError
from takeoff.web.feed import Feed, feed_of
from takeoff.web.house import House, News
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import drawings

SHED = """
job: Shed
roofs:
  - {name: main, outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], fascia_height_mm: 2400, pitch_deg: 20}
"""


async def until(house: House, news: News) -> None:
    for _ in range(1200):
        if house.current(news):
            return
        await asyncio.sleep(0.05)
    raise AssertionError(f"{news} did not come")


def test_a_house_is_fed_from_its_shape_to_its_changes(tmp_path: Path) -> None:
    """One walk through a session: nothing yet, the order, an edit, a job that is refused."""
    house = House(tmp_path / "job.yaml", SHED)
    feed = feed_of(house)
    assert feed_of(house) is feed

    async def walk() -> None:
        assert await feed.house_json() == b"null"
        assert await feed.order_json() == b"null"
        with pytest.raises(TakeoffError, match="no order yet"):
            await feed.drawing_names()
        house.start(asyncio.get_running_loop())
        await until(house, News.ORDERED)
        await _first_order(feed, house)
        number = feed.number
        house.put(SHED.replace("6000", "7000"), "longer")
        assert feed.number == number  # nothing newer to look at yet
        await until(house, News.ORDERED)
        assert feed.number == number + 2  # its shape, then its order
        order = json.loads(await feed.order_json())
        assert order["changed"].startswith("Since the last edit: ")
        number = feed.number
        shown = feed.shown
        house.put("job: [", "nonsense")
        await until(house, News.REFUSED)
        assert feed.shown is shown  # what was last right stands
        assert feed.number == number

    try:
        asyncio.run(walk())
    finally:
        house.close()


async def _first_order(feed: Feed, house: House) -> None:
    assert feed.known is None
    data = await feed.house_data()
    assert data is not None
    assert feed.known is data is await feed.house_data()
    assert house.ordered is not None
    assert {part["m"] for part in data["parts"]} >= {"P1", "P1.01"}
    order = json.loads(await feed.order_json())
    assert order["changed"] == ""  # nothing was there before
    assert [plane["m"] for plane in order["planes"]] == [sheets.plane for sheets in house.ordered.roofing.sheets]
    made = {drawing.name: svg_text(drawing) for drawing in drawings(house.ordered)}
    assert [name for name, _ in json.loads(await feed.drawing_names())] == list(made)
    assert await feed.drawing("sheets_P1") == made["sheets_P1"].encode("utf-8")
    assert await feed.drawing("../sheets_P1") is None
