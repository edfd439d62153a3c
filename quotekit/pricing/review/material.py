"""Parts of a closed job at what they cost: used units, their real cost, and what was agreed for them.

A part that closing says nothing of was used as agreed; one given as zero was not used. Where some of the work was not
done and a bill was written, a part that closing says nothing of was used only if the bill holds it.
Cost of a unit: as typed at closing; else what the job's orders and deliveries say; else as agreed. On an order a part
of the job's own Parts sheet goes by `CODE of JOB`, a one-off line by its text.
The customer's own parts cost nothing and count nowhere. A part that was not agreed has a standard of no units at its
real cost. Core charges of old parts that did not come back are a cost, as the bills charge them (a later bill gives
back what is handed back later); where nothing is billed, as agreed.
Units: units of the part, money; exact. Source: shop policy.

Example: agreed 2 at 4.00, used 3 that came at 4.50: price (4.50 - 4.00) x 3 = 1.50 U, quantity (3 - 2) x 4.00 = 4.00 U.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.model.agreed import AgreedPart
from quotekit.model.job import ONE_OFF
from quotekit.pricing.review.done import Done, code_key
from quotekit.pricing.review.paid_costs import PaidCosts
from quotekit.record import record


@record
class UsedUnits:
    """One part of a job: what was agreed, what was used."""

    part: str
    agreed: AgreedPart | None
    standard_quantity: Fraction
    actual_quantity: Fraction
    standard_cost: Fraction | None
    actual_cost: Fraction | None
    """Of a unit; None where it is not known."""


def used_units(done: Done, paid: PaidCosts) -> tuple[UsedUnits, ...]:
    """Every part that was agreed or used, the customer's own left out."""
    agreed = {code_key(part.part): part for part in done.agreed.parts}
    used: dict[str, list[tuple[Fraction, Decimal | None]]] = {}
    names = {code_key(part.part): part.part for part in done.closed.parts} | {
        key: part.part for key, part in agreed.items()
    }
    for line in done.closed.parts:
        used.setdefault(code_key(line.part), []).append((Fraction(line.quantity), line.unit_cost))
    ordered_as = _ordered_as(done)
    keys = [*agreed, *(key for key in used if key not in agreed)]
    return tuple(
        _used(
            names[key],
            agreed.get(key),
            used.get(key) or _unsaid(done, agreed[key]),
            _bought(done.job, ordered_as.get(key, (names[key],)), _standard_cost(agreed.get(key)), paid),
        )
        for key in keys
        if key not in agreed or not agreed[key].own
    )


def _standard_cost(agreed: AgreedPart | None) -> Fraction | None:
    return None if agreed is None or agreed.unit_cost is None else Fraction(agreed.unit_cost)


def _bought(job: str, names: Iterable[str], standard: Fraction | None, paid: PaidCosts) -> Fraction | None:
    """Cost of a unit where closing types none."""
    known = next((name for name in names if paid.knows(job, name)), None)
    return standard if known is None else paid.unit_cost(job, known, standard)


def _ordered_as(done: Done) -> dict[str, tuple[str, ...]]:
    """The names under which an order may hold each agreed part, by its code as compared."""
    found: dict[str, tuple[str, ...]] = {}
    alike: dict[str, int] = {}
    for part in done.agreed.parts:
        if part.part.startswith(ONE_OFF):
            text = part.name.strip()
            alike[text] = alike.get(text, 0) + 1
            again = f" ({alike[text]})" if alike[text] > 1 else ""
            found[code_key(part.part)] = (f"{text}{again} of {done.job}",)
        else:
            found[code_key(part.part)] = (f"{part.part} of {done.job}", part.part)
    return found


def core_cost(done: Done) -> Fraction:
    """Core charges on the bills, less those given back; without a bill those agreed, less the old parts back."""
    if done.billed_cores is not None:
        return max(Fraction(done.billed_cores), Fraction(0))
    charges = {code_key(part.part): Fraction(part.core_charge) for part in done.agreed.parts}
    returned = done.closed.cores_returned.items()
    back = sum((charges.get(code_key(part), Fraction(0)) * Fraction(units) for part, units in returned), Fraction(0))
    return max(Fraction(done.agreed.amounts.get("cores", Decimal(0))) - back, Fraction(0))


def _unsaid(done: Done, agreed: AgreedPart) -> list[tuple[Fraction, Decimal | None]]:
    """The units of a part that closing does not mention."""
    fell = done.closed.not_done and done.billed_parts is not None and code_key(agreed.part) not in done.billed_parts
    return [] if fell else [(Fraction(agreed.quantity), None)]


def _used(
    part: str,
    agreed: AgreedPart | None,
    lines: list[tuple[Fraction, Decimal | None]],
    otherwise: Fraction | None,
) -> UsedUnits:
    standard = _standard_cost(agreed)
    quantity = lines[0][0] if len(lines) == 1 else sum((units for units, _ in lines), Fraction(0))
    actual = _mean_cost(lines, otherwise) if quantity else otherwise
    return UsedUnits(
        part=part,
        agreed=agreed,
        standard_quantity=Fraction(0) if agreed is None else Fraction(agreed.quantity),
        actual_quantity=quantity,
        standard_cost=actual if agreed is None else standard,
        actual_cost=actual,
    )


def _mean_cost(lines: list[tuple[Fraction, Decimal | None]], otherwise: Fraction | None) -> Fraction | None:
    if len(lines) == 1:
        typed = lines[0][1]
        return otherwise if typed is None else Fraction(typed)
    total = Fraction(0)
    for units, typed in lines:
        cost = otherwise if typed is None else Fraction(typed)
        if cost is None:
            return None
        total += units * cost
    return total / sum((units for units, _ in lines), Fraction(0))
