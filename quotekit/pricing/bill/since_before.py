"""What a bill adds to the job's earlier bills: each line of the whole job less what was billed of it, so nothing twice.

The whole job is priced once, so the minimum, the supplies cap and the inspection come once over all its bills. The
inspection's credit is given once: never more of it than the fee over all bills, a credit given stays, and where the
inspection was billed before, the credit is at most what this bill charges, so that it turns no repair negative.
Putting a declined job back together was done, and stays billed.
Units: money. Source: shop policy; a credit given once, also when approval comes in two steps: common practice.

Worked example: a no was billed with the inspection 45.00. The customer comes back for a repair of 30.00, the inspection
credited: the second bill holds the repair 30.00 and a credit of 30.00, nothing is due.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.entries import Billed, BillLine
from quotekit.model.job import ONE_OFF
from quotekit.pricing.basis import ZERO
from quotekit.pricing.bill.lines import COMEBACK, CREDIT, HELD, INSPECTION, REASSEMBLY, charge_key, total_of
from quotekit.pricing.told_apart import told_apart


def billed_lines(before: Iterable[Billed]) -> dict[str, BillLine]:
    """What all earlier bills charge, by what each line is known as."""
    found: dict[str, BillLine] = {}
    for bill in before:
        for known_as, line in _known(bill.lines).items():
            known = found.get(known_as)
            found[known_as] = replace(line, amount=line.amount + (known.amount if known else ZERO))
    return found


def added_lines(whole: Sequence[BillLine], before: Sequence[Billed]) -> tuple[BillLine, ...]:
    """The lines of a bill: those of the whole job, less what was billed of each."""
    if not before:
        return tuple(whole)
    billed = billed_lines(before)
    kept = {known_as: line for known_as, line in _known(whole).items() if line.amount or known_as not in billed}
    added = [_less(line, billed.pop(known_as, None)) for known_as, line in kept.items()]
    added += [_less(replace(line, amount=ZERO), line) for line in billed.values() if line.key != REASSEMBLY]
    lines = tuple(line for line in added if line.amount)
    return _no_repair_negative(lines) if _inspected_before(before) else lines


def _known(lines: Iterable[BillLine]) -> dict[str, BillLine]:
    return told_apart(lines, _known_as)


def _known_as(line: BillLine) -> str:
    """Its key; of a one-off line its text, since its code counts rows and a change may give it another code."""
    head, one_off, _ = line.key.partition(f":{ONE_OFF}")
    return f"{head}{one_off}{line.text}" if one_off and not line.key.startswith((HELD, COMEBACK)) else line.key


def credit_that_stays(credit: Decimal, before: Iterable[Billed]) -> Decimal:
    """The inspection's credit (negative or zero): one that was given is not taken back."""
    given = billed_lines(before).get(CREDIT)
    return credit if given is None else min(credit, given.amount)


def _inspected_before(before: Iterable[Billed]) -> bool:
    return any(line.key == INSPECTION for bill in before for line in bill.lines)


def _less(line: BillLine, billed: BillLine | None) -> BillLine:
    """A line less what was billed of it; its quantity is then no longer that of the amount."""
    if billed is None or not billed.amount:
        return line
    return replace(line, amount=line.amount - billed.amount, quantity=None, unit="", each=None)


def _no_repair_negative(lines: tuple[BillLine, ...]) -> tuple[BillLine, ...]:
    """The credit, less what a comeback takes off it, at most what the other lines charge."""
    credit = total_of(line for line in lines if charge_key(line) == CREDIT)
    rest = max(total_of(lines) - credit, ZERO)
    too_much = max(ZERO - credit - rest, ZERO)
    cut = (replace(line, amount=line.amount + too_much) if line.key == CREDIT else line for line in lines)
    return tuple(line for line in cut if line.amount)
