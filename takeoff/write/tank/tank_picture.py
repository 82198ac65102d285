"""A picture of the tank's result: what sizes give, and the level through the worst year. SVG, A4 across."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, log10

from takeoff.model.rain_series import DailyRain
from takeoff.model.tank_store import TankResult
from takeoff.write.words.words import number, plain
from takeoff.write.words.xml_text import escaped

_WIDE, _HIGH = 297.0, 210.0
_LEFT, _RIGHT, _TOP = 24.0, 282.0, 28.0
_INK, _GREY, _BLUE, _RED = "#111111", "#b4b4b4", "#1f5f99", "#a03020"
_MONTHS = "JFMAMJJASOND"
Point = tuple[float, float]


def tank_svg(result: TankResult) -> str:
    """The picture; where there is no daily rain it says what is missing."""
    size = f'width="{_WIDE:g}mm" height="{_HIGH:g}mm" viewBox="0 0 {_WIDE:g} {_HIGH:g}"'
    body = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Arial, Helvetica, sans-serif">',
        f"<title>{escaped(plain(result.job))}: store of rainwater</title>",
        f'<rect width="{_WIDE:g}" height="{_HIGH:g}" fill="#ffffff"/>',
        _text((_LEFT, 12.0), f"{plain(result.job)}, revision {plain(result.revision)}: store of rainwater", 5.0),
    ]
    rain = result.rain
    if not result.results or not isinstance(rain, DailyRain):
        body.append(_text((_LEFT, 24.0), "No daily rain was given: no curve and no level can be drawn.", 3.5))
    else:
        years = f"{rain.start} to {rain.end}, {number(rain.mm_a_year, 0)} mm a year, {plain(rain.source)}"
        wanted = f"{number(result.use.mean_l, 0)} L a day wanted"
        area = f"{number(sum(feed.plan_m2 for feed in result.feeds), 1)} m2 in plan"
        body.append(_text((_LEFT, 19.0), f"{years}; {area}; {wanted}", 3.2))
        body += [*_curve(result), *_level(result)]
    return "\n".join([*body, "</svg>\n"])


def _curve(result: TankResult) -> list[str]:
    """Share of the water wanted and of days against the size, with the sizes to choose among and the knee."""
    top = max(one.volume_l for one in result.results)
    place = _placer((0.0, top), (0.0, 100.0), (_TOP, 104.0))
    parts = _axes(place, top, "L", [(share, f"{share:g} %") for share in (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)])
    for says, colour, dash, of in (
        ("water wanted that is given", _BLUE, "", [one.by_volume for one in result.results]),
        ("days on which all is given", _RED, ' stroke-dasharray="2 1"', [one.by_time for one in result.results]),
    ):
        points = [place(one.volume_l, 100.0 * share) for one, share in zip(result.results, of, strict=True)]
        parts.append(_path(points, colour, 0.5, dash))
        end = _RIGHT - (0.0 if dash else 62.0)
        parts.append(_path([(end - 10.0, _TOP - 4.0), (end, _TOP - 4.0)], colour, 0.5, dash))
        parts.append(_text((end - 12.0, _TOP - 3.0), says, 3.0, "end"))
    for one in result.results:
        if one.volume_l in {*result.marked, result.chosen_l}:
            x, y = place(one.volume_l, 100.0 * one.by_volume)
            radius = 1.6 if one.volume_l == result.chosen_l else 1.0
            parts.append(f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{radius}" fill="{_BLUE}"/>')
            parts.append(_text((x, y - 2.4), f"{100.0 * one.by_volume:.0f} %", 2.6, "middle"))
    if result.knee_l is not None:
        x, y = place(result.knee_l, 0.0)
        parts.append(_path([(x, y), (x, place(0.0, 100.0)[1])], _GREY, 0.35, ' stroke-dasharray="1 1"'))
        parts.append(_text((x + 1.5, y - 2.0), f"knee {number(result.knee_l, 0)} L", 2.8))
    parts.append(
        _text(
            (_LEFT, _TOP - 3.0),
            "Size of the store and what it gives; the large dot is the size whose level is shown below",
            3.5,
        )
    )
    return parts


def _level(result: TankResult) -> list[str]:
    """Litres in the store at the end of each day of its worst year."""
    chosen = next(one for one in result.results if one.volume_l == result.chosen_l)
    count = max(len(result.level), 1)
    place = _placer((0.0, float(count)), (0.0, result.chosen_l), (128.0, 196.0))
    says = (
        f"Level of {number(result.chosen_l, 0)} L through {chosen.worst_year}, the worst year:"
        f" {chosen.worst_year_days} days short, {number(chosen.worst_year_short_l, 0)} L"
    )
    parts = [_text((_LEFT, 124.0), says, 3.5)]
    steps = _ticks(result.chosen_l)
    parts += _axes(place, None, "", [(litres, number(litres, 0)) for litres in steps])
    for n, (day, _) in enumerate(result.level):
        if day.day == 1:
            x, y = place(float(n), 0.0)
            parts.append(_path([(x, y), (x, y + 1.2)], _INK, 0.25))
            parts.append(_text((x + 10.0, y + 4.5), _MONTHS[day.month - 1], 3.0, "middle"))
    points = [place(n + 1.0, litres) for n, (_, litres) in enumerate(result.level)]
    return [*parts, _path(points, _BLUE, 0.45)]


def _placer(across: Point, up: Point, between: Point) -> Callable[[float, float], Point]:
    """From figures to the paper: `across` and `up` are the least and most, `between` top and foot on the paper [mm]."""
    wide, high = max(across[1] - across[0], 1e-9), max(up[1] - up[0], 1e-9)

    def place(x: float, y: float) -> Point:
        at = _LEFT + (x - across[0]) / wide * (_RIGHT - _LEFT)
        return at, between[1] - (y - up[0]) / high * (between[1] - between[0])

    return place


def _axes(
    place: Callable[[float, float], Point], top: float | None, unit: str, steps: Sequence[tuple[float, str]]
) -> list[str]:
    parts: list[str] = []
    for value, words in steps:
        _, y = place(0.0, value)
        parts.append(_path([(_LEFT, y), (_RIGHT, y)], _GREY, 0.2))
        parts.append(_text((_LEFT - 1.5, y + 1.0), words, 2.8, "end"))
    for value in _ticks(top) if top is not None else ():
        x, y = place(value, 0.0)
        parts.append(_path([(x, y), (x, y + 1.2)], _INK, 0.25))
        parts.append(_text((x, y + 4.8), f"{number(value, 0)} {unit}" if value else "0", 2.8, "middle"))
    _, foot = place(0.0, 0.0)
    return [*parts, _path([(_LEFT, foot), (_RIGHT, foot)], _INK, 0.35)]


def _ticks(top: float) -> list[float]:
    """Round steps from 0 to the top, four to ten of them."""
    raw = top / 5.0
    power = 10.0 ** int(ceil(log10(raw)) - 1)
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times >= raw - 1e-9)
    return [step * n for n in range(int(top / step + 1e-9) + 1)]


def _path(points: Sequence[Point], colour: str, wide: float, dash: str = "") -> str:
    where = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polyline points="{where}" fill="none" stroke="{colour}" stroke-width="{wide:g}"{dash}/>'


def _text(at: Point, words: str, size: float, anchor: str = "start") -> str:
    place = f'x="{at[0]:.2f}" y="{at[1]:.2f}" font-size="{size:g}" text-anchor="{anchor}"'
    return f'<text {place} fill="{_INK}">{escaped(words)}</text>'
