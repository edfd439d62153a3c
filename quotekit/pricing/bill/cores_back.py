"""Core charges given back for old parts handed back: round(core charge x units), at most the units that were charged.

The charge stands on the bill, and what is given back stands below it; both are taxed as cores, so the tax goes back.
Units: the part's own unit, money. Source: a core charge is refunded with its tax (Minnesota, as read in 2026).

Worked example: two injectors with a core charge of 15.00 each; one old one is handed back: 30.00 and -15.00.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from quotekit.model.entries import Billed, BillLine
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bill.lines import CORE_BACK, part_name
from quotekit.pricing.parts import PartAmount
from quotekit.problems import Place, Problem, error


def all_cores_back(
    closed: Mapping[str, Decimal], before: Iterable[Billed], now: Mapping[str, Decimal]
) -> dict[str, Decimal]:
    """Units handed back so far: as the closing says, and as bills were told since."""
    units = dict(closed)
    for told in (*(bill.cores_back for bill in before), now):
        for part, quantity in told.items():
            units[part] = units.get(part, ZERO) + quantity
    return units


def core_back_lines(basis: Basis, parts: Sequence[PartAmount], units: Mapping[str, Decimal]) -> tuple[BillLine, ...]:
    """A line for each part whose old one was handed back, negative."""
    lines = []
    for one in parts:
        back = min(units.get(one.code, ZERO), one.quantity)
        if one.core and one.part is not None and back:
            amount = round_to((one.part.core_charge or ZERO) * back, basis.digits)
            text = f"Old part handed back, {part_name(one)}"
            lines.append(BillLine(key=f"{CORE_BACK}{one.code}", text=text, amount=ZERO - amount, kind="cores"))
    return tuple(lines)


def cores_not_charged(
    place: Place, parts: Iterable[PartAmount], units: Mapping[str, Decimal], now: Mapping[str, Decimal]
) -> list[Problem]:
    """Old parts told of now that no core charge was billed for, or more of them than were fitted."""
    charged = {one.code: one.quantity for one in parts if one.core}
    return [
        error(
            place,
            "core-not-charged",
            f"{units[part]:f} x {part} would be handed back; a core charge was billed for {charged.get(part, ZERO):f}.",
            "Give the code of a part with a core charge, and no more units than were charged.",
        )
        for part in now
        if units[part] > charged.get(part, ZERO)
    ]
