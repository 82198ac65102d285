"""What of the roof's sheets is cut away, the one way it is said everywhere; and what buying them in pairs saves."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.order import Order


def sheets_words(order: Order) -> str:
    """What is bought of the roof's sheets, for what area, and what is cut away."""
    offcuts = offcuts_words(order.sheets_bought_m2, order.sheets_net_m2, order.sheets_site_m2)
    return (
        f"{shown(order.sheets_bought_m)} m = {shown(order.sheets_bought_m2)} m2 bought "
        f"for {shown(order.sheets_net_m2)} m2 net (sheeted area, overhangs and trims in), "
        f"{shown(order.sheets_kg, 1)} kg; {offcuts}"
    )


def pairs_words(order: Order) -> str:
    """What raked pairs save, or would save, against the plain list; "" where they save nothing."""
    plans = [plan for plan in order.pairs if plan.net_m2 > 0.0]
    saving = sum(plan.saving_mm for plan in plans) / 1000.0
    if saving <= 0.0:
        return ""
    pairs, net = sum(len(plan.pairs) for plan in plans), sum(plan.net_m2 for plan in plans)
    plain, paired = sum(plan.plain_m2 for plan in plans), sum(plan.paired_m2 for plan in plans)
    saved = shown(saving)
    if all(plan.bought for plan in plans):
        return f"{pairs} raked pairs save {saved} m; plain list: {shown(plain)} m2, {offcuts_words(plain, net)}"
    return f"{pairs} raked pairs would save {saved} m: {shown(paired)} m2, {offcuts_words(paired, net)}"


def offcuts_words(bought_m2: float, net_m2: float, site_m2: float = 0.0) -> str:
    """Offcuts the one way they are said everywhere: area, share of what is bought, share of what is covered. `site_m2`:
    cut out of what lies on the site, on top of what is bought.

    >>> offcuts_words(110.0, 100.0)
    'offcuts 10.00 m2, 9.1 % of bought, 10.0 % of net'
    """
    offcuts = half_up(bought_m2 + site_m2 - net_m2, 2)
    bought = "bought and from site" if site_m2 else "bought"
    shares = [
        f"{shown(offcuts / of_m2 * 100.0, 1)} % of {what}"
        for of_m2, what in ((bought_m2 + site_m2, bought), (net_m2, "net"))
        if of_m2 > 0.0
    ]
    return ", ".join([f"offcuts {shown(offcuts)} m2", *shares])


def shown(value: float, places: int = 2) -> str:
    """A figure on the screen, rounded as the order rounds it: half up.

    >>> shown(376.025), shown(1174.25, 1), shown(2.5, 0)
    ('376.03', '1,174.3', '3')
    """
    return f"{half_up(value, places):,.{places}f}"
