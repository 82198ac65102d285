"""What the job says lies on the site already, by item, checked against the items that are cut from lengths."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.basics.errors import Fault, JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.job.on_hand import OnHandJob
from takeoff.model.measured import Need
from takeoff.model.runs import OnHand
from takeoff.model.sheets import SheetGroup


def on_hand_by_item(
    given: Sequence[OnHandJob], needs: Sequence[Need], groups: Sequence[SheetGroup] = ()
) -> Mapping[str, tuple[OnHand, ...]]:
    """Lengths and sheets on the site by item. Raises JobError with every item that this order cuts from no lengths, and
    the nearest that it does."""
    known = {demand.item for need in needs for demand in need.demands}
    known |= {group.item.id for group in groups if group.item is not None}
    faults: list[Fault] = []
    found: dict[str, tuple[OnHand, ...]] = {}
    for i, one in enumerate(given):
        if one.item not in known:
            hint = did_you_mean(one.item, sorted(known), f"; cut from lengths here: {', '.join(sorted(known))}")
            text = f"on_hand[{i + 1}].item: nothing in this order is cut from lengths of {one.item!r}{hint}"
            faults.append(Fault(text, "on_hand", i, "item"))
        found[one.item] = (*found.get(one.item, ()), OnHand(one.length_mm, one.count, one.mark))
    if faults:
        raise JobError(*faults)
    return found
