"""Money outside the subtotal, days, cost and margin as trees (5.9)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.model.quote import PricedTier
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import freight, hours, parts, prices
from quotekit.pricing.explain.told import Told, cell, cells_in, count, leaf, of_row, words
from quotekit.pricing.freight import ordered
from quotekit.pricing.parts import PartAmount, cost_of_part
from quotekit.pricing.totals import lead_days


def deposit(told: Told, amount: Decimal) -> Explanation:
    """`deposit`: percent of the selling amounts of ordered parts."""
    inputs = [_of_part(told, line) for line in ordered(told.basis, told.charges.parts)]
    rule = "Percent of the selling amounts of ordered parts, before savings and tax (rules 5.9)."
    if not inputs:
        return told.money.settled("deposit", amount, "No part is ordered, so there is no deposit (rules 5.9).")
    return told.money.rounded("deposit", amount, "sum", inputs, rule)


def ready_days(told: Told, days: int | None) -> Explanation:
    """`ready_days`: the slowest part or work sent out, and the queue."""
    leads = [*_part_leads(told), *_other_leads(told)]
    unknown = [node.figure for node in leads if node.number is None]
    if days is None:
        cells = [place for node in leads for place in node.cells]
        rule = f"Not known, as these have no lead days: {', '.join(unknown)} (rules 5.9)."
        return words(told.name("ready_days"), None, rule, cells=cells, inputs=leads)
    queue = told.setting("Queue days", "queue_days")
    none = leaf("no waiting", 0, cells=(), rule="Nothing has to be waited for.")
    longest = max((int(node.number or 0) for node in leads), default=0)
    rule = "The longest of part leads, one-off leads and days for work sent out (rules 5.9)."
    slowest = count("slowest", longest, "most", (none, *leads), rule)
    return count(
        told.name("ready_days"),
        days,
        "sum",
        (slowest, queue),
        "Days of the slowest part or work sent out, and the queue (rules 5.9).",
    )


def cost_figures(told: Told, tier: PricedTier) -> dict[str, Callable[[], Explanation]]:
    """`cost.*`, `cash_for_parts` and `margin`'s own inputs."""
    return {
        "cost.labour": lambda: told.once("cost.labour", lambda: _labour(told, tier)),
        "cost.parts_used": lambda: told.once("cost.parts_used", lambda: _parts_used(told, tier)),
        "cost.cores": lambda: told.once("cost.cores", lambda: _cores(told)),
        "cost.sublet": lambda: told.once("cost.sublet", lambda: _sublet(told, tier)),
        "cost.freight": lambda: freight.freight_cost(told),
        "cost.total": lambda: told.once("cost.total", lambda: _total(told, tier)),
        "cash_for_parts": lambda: told.once("cash_for_parts", lambda: _cash(told, tier)),
    }


def margin(told: Told, tier: PricedTier, subtotal: Explanation) -> Explanation:
    """`margin`: subtotal less cost; not known where the cost is not."""
    cost = cost_figures(told, tier)["cost.total"]()
    if tier.margin is None:
        return words("margin", None, "Not known, as the cost is not (rules 5.9, Cost).", inputs=(subtotal, cost))
    return told.money.node(
        "margin", tier.margin, "difference", (subtotal, cost), "Subtotal less cost (rules 5.9, Cost)."
    )


def _of_part(told: Told, line: PartAmount) -> Explanation:
    settings = told.basis.book.settings
    returnable = line.part is None or line.part.returnable
    name = "Deposit on ordered parts" if returnable else "Deposit on non-returnable parts"
    attribute = "deposit_on_ordered_parts" if returnable else "deposit_on_non_returnable_parts"
    percent = getattr(settings, attribute)
    cells = (*parts.supplier_cells(line), *(cell(line.part.source, "Returnable") if line.part else ()))
    inputs = (told.setting(name, attribute, "percent"), parts.amount(told, line))
    rule = f"{name} x its selling amount (rules 5.9)."
    return told.money.node(f"deposit on {line.code}", percent * line.amount, "product", inputs, rule, cells=cells)


def _part_leads(told: Told) -> list[Explanation]:
    return [_part_lead(told, line) for line in told.charges.parts]


def _part_lead(told: Told, line: PartAmount) -> Explanation:
    days, figure = lead_days(told.basis, line), f"lead of {line.code}"
    cells = parts.supplier_cells(line)
    source = line.part.source if line.part else line.one_off.source if line.one_off else None
    terms = told.basis.supplier(line.supplier)
    cells = (*cells, *(cell(source, "Lead days") if source else ()))
    if line.own or told.basis.is_shelf(line.supplier):
        rule = "The customer's own, or on the shelf: there already (rules 5.9)."
        return leaf(figure, 0, cells=(*cells, *(cell(terms.source, "Shelf") if terms else ())), rule=rule)
    own = line.part.lead_days if line.part else line.one_off.lead_days if line.one_off else None
    if own is None and terms is not None:
        cells = (*cells, *cell(terms.source, "Lead days"))
    rule = "Lead days of the part, else of its supplier (rules 5.9)."
    return leaf(figure, days, cells=cells, rule=rule)


def _other_leads(told: Told) -> list[Explanation]:
    """Lead days of one-off lines and days of work sent out."""
    found = []
    for item in told.charges.work.items:
        if item.one_off and item.one_off.lead_days:
            line = item.one_off
            found.append(leaf(f"lead of {line.code}", line.lead_days, cells=cell(line.source, "Lead days")))
    for key in sorted(told.charges.work.present):
        operation = told.basis.op_named(key).operation
        if operation and operation.sublet_days:
            days = operation.sublet_days
            found.append(leaf(f"days of {key} sent out", days, cells=cell(operation.source, "Sublet days")))
    return found


def _labour(told: Told, tier: PricedTier) -> Explanation:
    found: list[Explanation] = []
    for line in tier.labour_lines:
        row = told.basis.rates[line.rate]
        if line.cost is None:
            cells = cells_in(row.source, "Cost per hour")
            rule = f"Not known, as the labour rate {line.rate} has no cost per hour (rules 3, Labour rates)."
            return words("cost.labour", None, rule, cells=cells)
        each = of_row(f"Cost per hour of {line.rate}", row.cost_per_hour, row.source, "Cost per hour", form="money")
        inputs = (hours.worked(told, line.rate), each)
        rule = "Hours worked x cost per hour, rounded once a rate (rules 5.9, Cost)."
        found.append(told.money.rounded(f"cost of labour at {line.rate}", line.cost, "product", inputs, rule))
    return told.money.sum_of("cost.labour", tier.cost.labour or ZERO, found, "Labour at each rate (rules 5.9, Cost).")


def _parts_used(told: Told, tier: PricedTier) -> Explanation:
    found: list[Explanation] = []
    for line in told.charges.parts:
        cost = cost_of_part(line, told.money.digits)
        figure = f"cost of {line.code}"
        if cost is None:
            assert line.one_off is not None
            rule = f"Not known, as {line.code} has a price but no cost (rules 5.9, One-off)."
            return words("cost.parts_used", None, rule, cells=cell(line.one_off.source, "Unit cost"))
        if line.own:
            found.append(
                told.money.settled(figure, cost, "The customer's own part.", told.job_cells("Customer's own parts"))
            )
            continue
        each = prices.cost_of_unit(told, line.part) if line.part else parts.pack_cost(line)
        inputs = (each, parts.quantity(told, line))
        found.append(
            told.money.rounded(figure, cost, "product", inputs, "Unit cost x quantity used (rules 5.9, Cost).")
        )
    total = tier.cost.parts_used or ZERO
    return told.money.sum_of("cost.parts_used", total, found, "Parts used, at cost (rules 5.9, Cost).")


def _cores(told: Told) -> Explanation:
    total = sum((line.core for line in told.charges.parts), ZERO)
    return told.money.node(
        "cost.cores", total, "same", (parts.cores(told),), "What is charged for cores (rules 5.9, Cost)."
    )


def _sublet(told: Told, tier: PricedTier) -> Explanation:
    found: list[Explanation] = []
    for line in tier.sublet_lines:
        operation, figure = told.basis.op_named(line.key).operation, f"cost of {line.key}"
        own = next((item.one_off for item in told.charges.work.items if item.key == line.key), None)
        if line.cost is None and own is not None:
            rule = f"Not known, as {line.key} has a price but no cost (rules 5.9, One-off)."
            return words("cost.sublet", None, rule, cells=cell(own.source, "Unit cost"))
        assert line.cost is not None
        if operation is not None:
            inputs = [of_row("Sublet cost", operation.sublet_cost, operation.source, "Sublet cost", form="money")]
        else:
            assert own is not None
            inputs = [
                of_row("Unit cost", own.unit_cost, own.source, "Unit cost", form="money"),
                of_row("Quantity", own.quantity, own.source, "Quantity"),
            ]
        found.append(told.money.rounded(figure, line.cost, "product", inputs, "What it costs (rules 5.9, Cost)."))
    return told.money.sum_of(
        "cost.sublet", tier.cost.sublet or ZERO, found, "Work sent out, at cost (rules 5.9, Cost)."
    )


def _total(told: Told, tier: PricedTier) -> Explanation:
    names = ("cost.labour", "cost.parts_used", "cost.cores", "cost.sublet", "cost.freight")
    inputs = [cost_figures(told, tier)[name]() for name in names]
    if tier.cost.total is None:
        return words("cost.total", None, "Not known, as a cost is missing (rules 5.9, Cost).", inputs=inputs)
    return told.money.sum_of("cost.total", tier.cost.total, inputs, "What the tier costs the shop (rules 5.9, Cost).")


def _cash(told: Told, tier: PricedTier) -> Explanation:
    node = parts.order_value(told, list(told.charges.parts), "whole packs")
    rule = "Whole packs at pack cost (rules 5.4)."
    assert tier.cash_for_parts == round_to(Fraction(node.number or 0), told.money.digits)
    return told.money.rounded("cash_for_parts", tier.cash_for_parts, "same", (node,), rule)
