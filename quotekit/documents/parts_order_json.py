"""A parts order, its deliveries and the shelf as JSON; every amount and quantity a decimal string."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.documents.quote_json import money, plain, problem_json
from quotekit.model.entries import Ordered, OrderLine, SupplierOrder
from quotekit.money import minor_digits
from quotekit.problems import Problem


def lay_out_order_json(
    number: int | None, day: date, ordered: Ordered | None, problems: Iterable[Problem], files: Sequence[str] = ()
) -> dict[str, Any]:
    """One object for `quotekit order`; `order` and the amounts are null where nothing was ordered."""
    told = [problem_json(problem) for problem in problems]
    if ordered is None:
        return {"order": None, "day": day.isoformat(), "jobs": [], "lines": [], "problems": told, "files": list(files)}
    digits = minor_digits(ordered.currency)
    return {
        "order": number,
        "day": day.isoformat(),
        "jobs": list(ordered.jobs),
        "needed_by": {job: by.isoformat() for job, by in ordered.needed_by.items()},
        "currency": ordered.currency,
        "lines": [line_json(place, line, digits) for place, line in enumerate(ordered.lines, 1)],
        "suppliers": [supplier_json(one, digits) for one in ordered.suppliers],
        "shelf": [
            {"part": take.part, "name": take.name, "job": take.job, "quantity": plain(take.quantity)}
            for take in ordered.shelf
        ],
        "landed": money(ordered.landed, digits),
        "bound": money(ordered.bound, digits),
        "proven": ordered.proven,
        "compared": ordered.compared,
        "usual": None if ordered.usual is None else money(ordered.usual, digits),
        "usual_why": ordered.usual_why or None,
        "saved": None if ordered.usual is None else money(ordered.usual - ordered.landed, digits),
        "problems": told,
        "files": list(files),
    }


def supplier_json(one: SupplierOrder, digits: int) -> dict[str, Any]:
    """What one supplier gets."""
    return {
        "supplier": one.supplier,
        "name": one.name,
        "goods": money(one.goods, digits),
        "freight": money(one.freight, digits),
        "fee": money(one.fee, digits),
        "total": money(one.total, digits),
    }


def line_json(place: int, line: OrderLine, digits: int) -> dict[str, Any]:
    """A line of an order."""
    return {
        "line": place,
        "supplier": line.supplier,
        "part": line.part,
        "name": line.name,
        "suppliers_number": line.suppliers_number,
        "packs": line.packs,
        "pack_quantity": plain(line.pack_quantity),
        "pack_cost": exact_money(line.pack_cost, digits) if line.cost_known else None,
        "amount": exact_money(line.amount, digits) if line.cost_known else None,
        "extra_freight": exact_money(line.extra_freight, digits),
        "jobs": {job: plain(units) for job, units in line.jobs.items()},
        "needed": plain(line.needed),
        "left_over": plain(line.left_over),
        "returnable": line.returnable,
        "instead_of": line.instead_of or None,
        "lead_days": line.lead_days,
    }


def exact_money(amount: Decimal, digits: int) -> str:
    """An amount that is not rounded: at least the decimals of the currency, more where it has more.

    >>> exact_money(Decimal("7.9"), 2), exact_money(Decimal("0.125"), 2)
    ('7.90', '0.125')
    """
    shown = plain(amount)
    return shown if len(shown.partition(".")[2]) > digits else money(amount, digits)
