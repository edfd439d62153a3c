"""The most an extra can add as a tree (5.8): its own work, each amount rounded up, with no credit or saving."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.money import round_up, round_up_to_step, whole_units
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import hours, labour, part_uses, prices
from quotekit.pricing.explain.told import Told, Use, count, leaf, number, of_row
from quotekit.pricing.fees import triggered_by
from quotekit.pricing.hours import part_of_allowance, total_allowance
from quotekit.pricing.items import Item


def at_most(figure: str, item: Item, together: Told, amount: Decimal) -> Explanation:
    """`extras.CODE.at_most`; `together` is the tier with the extra."""
    assert together.beside is not None
    before = together.beside.charges.work
    operations = sorted(together.charges.work.present - before.present)
    steps = sorted(together.charges.work.steps - before.steps)
    own_labour = _labour(together, operations, steps)
    items = [] if together.charges.work.is_done_by_larger(item) else [item]
    uses: dict[str, list[Use]] = {}
    for use in part_uses.uses_of_work(together, operations, steps, items):
        uses.setdefault(use.part, []).append(use)
    inputs = [
        own_labour,
        _supplies(together, own_labour),
        *_parts(together, uses),
        *_sublet(together, operations),
        *_fees(together, operations),
        *_freight(together, uses),
    ]
    rule = "Its own hours, supplies, parts, cores, work sent out, fees and freight, each rounded up (rules 5.8)."
    return together.money.sum_of(figure, amount, inputs, rule)


def _labour(told: Told, operations: Iterable[str], steps: Iterable[str]) -> Explanation:
    basis = told.basis
    net: dict[str, list[Explanation]] = {}
    slowed: dict[str, list[Explanation]] = {}
    for key in operations:
        op = basis.op_named(key)
        if not op.net_hours and op.operation is None:
            continue
        source = op.operation.source if op.operation else None
        rule = f"Net hours of {key}, as if it were the first side (rules 5.8)."
        node = (
            of_row(key, op.net_hours, source, "Net hours", rule=rule) if source else leaf(key, op.net_hours, cells=())
        )
        net.setdefault(op.rate, []).append(node)
        if op.slowed:
            slowed.setdefault(op.rate, []).append(node)
    for key in steps:
        step = basis.step_named(key)
        net.setdefault(step.rate, []).append(hours.step_hours(told, step))
    lines = [_at_rate(told, rate, nodes, slowed) for rate, nodes in net.items()]
    total = _total(lines)
    return told.money.sum_of("its own labour", total, lines, "Its own hours, rounded up x rate (rules 5.8).")


def _at_rate(told: Told, rate: str, net: list[Explanation], slowed: dict[str, list[Explanation]]) -> Explanation:
    basis = told.basis
    all_slowed = _total([node for nodes in slowed.values() for node in nodes])
    allowed = part_of_allowance(total_allowance(basis, all_slowed), _total(slowed.get(rate, ())), all_slowed)
    inputs = list(net)
    if allowed:
        inputs.append(_allowance(told, rate, slowed))
    own = Fraction(_total(net)) + Fraction(allowed)
    together = number(
        f"its hours at {rate}", own, "sum", inputs, "Operations and steps not in the tier already (rules 5.8)."
    )
    step = basis.book.settings.hours_step
    billed = round_up_to_step(own, step)
    words = f"up to a step of {step:f}"
    up = number(
        f"its hours at {rate} billed",
        billed,
        "up to a step",
        (together, told.setting("Hours step", "hours_step")),
        "Rounded up to the step (rules 5.8).",
        rounding=words,
    )
    amount = round_up(billed * basis.rates[rate].rate_per_hour, told.money.digits)
    inputs = [up, labour.rate_per_hour(told, rate)]
    return told.money.node(
        f"its labour at {rate}", amount, "product", inputs, "Hours x rate (rules 5.8).", rounding=told.money.up
    )


def _allowance(told: Told, rate: str, slowed: dict[str, list[Explanation]]) -> Explanation:
    """Its own allowance, and one rate's part of it."""
    condition = told.basis.condition
    assert condition is not None
    nodes = [node for ones in slowed.values() for node in ones]
    all_slowed = _total(nodes)
    hours_slowed = number("its hours slowed by rust", all_slowed, "sum", nodes, "Its hours that rust slows.")
    percent = of_row(
        f"Allowance of {condition.code}", condition.allowance, condition.source, "Allowance", form="percent"
    )
    allowed = total_allowance(told.basis, all_slowed)
    node = number(
        "its allowance",
        condition.allowance * all_slowed,
        "product",
        (percent, hours_slowed),
        "Percent of its hours slowed (rules 5.8).",
    )
    if condition.at_most_hours is not None:
        most = of_row("At most hours", condition.at_most_hours, condition.source, "At most hours")
        node = number(
            "its allowance, at most", allowed, "least", (node, most), "At most the condition's hours (rules 5.8)."
        )
    own = _total(slowed[rate])
    if own == all_slowed:
        return node
    here = number(f"its hours slowed at {rate}", own, "sum", slowed[rate], "Its hours at this rate that rust slows.")
    ratio = number(
        "share of the rate",
        Fraction(own) / Fraction(all_slowed),
        "quotient",
        (here, hours_slowed),
        "By hours slowed (rules 5.9).",
    )
    part = part_of_allowance(allowed, own, all_slowed)
    return number(f"its allowance at {rate}", part, "product", (node, ratio), "Split by hours slowed (rules 5.9).")


def _supplies(told: Told, own_labour: Explanation) -> Explanation:
    settings, money = told.basis.book.settings, told.money
    if settings.supplies_shown_as == "off":
        return money.settled(
            "its supplies", ZERO, "The shop charges no supplies (rules 3.1).", told.setting_cells("Supplies shown as")
        )
    percent = told.setting("Supplies percent of labour", "supplies_percent_of_labour", "percent")
    amount = round_up(settings.supplies_percent_of_labour * _total([own_labour]), money.digits)
    node = money.node(
        "its supplies",
        amount,
        "product",
        (percent, own_labour),
        "Percent of its labour (rules 5.8).",
        rounding=money.up,
    )
    if settings.supplies_cap is None:
        return node
    most = round_up(settings.supplies_cap, money.digits)
    cap = told.setting("Supplies cap", "supplies_cap", "money")
    capped = money.node("cap", most, "same", (cap,), "The most of a job.", rounding=money.up)
    return money.node(
        "its supplies, at most the cap", min(amount, most), "least", (node, capped), "At most the cap (rules 5.8)."
    )


def _parts(told: Told, uses: dict[str, list[Use]]) -> Iterable[Explanation]:
    basis, money = told.basis, told.money
    for code, brought in uses.items():
        if code in basis.own_parts:
            continue
        many = part_uses.together(f"{code} for it", brought, "What it brings, no kit taken off (rules 5.8).")
        quantity = sum((use.quantity for use in brought), ZERO)
        amount = round_up(basis.price(code).price * quantity, money.digits)
        inputs = (prices.price_of(told, code), many)
        yield money.node(
            f"its {code}", amount, "product", inputs, "Unit price x quantity (rules 5.8).", rounding=money.up
        )
        part = basis.part(code)
        if part.core_charge is not None and basis.job.old_parts == "keep":
            each = of_row(f"Core charge of {code}", part.core_charge, part.source, "Core charge", form="money")
            core = round_up(part.core_charge * quantity, money.digits)
            yield money.node(
                f"core of its {code}",
                core,
                "product",
                (each, many),
                "Core charge x quantity (rules 5.8).",
                rounding=money.up,
            )


def _sublet(told: Told, operations: Iterable[str]) -> Iterable[Explanation]:
    markup = told.basis.book.settings.sublet_markup
    for key in operations:
        operation = told.basis.op_named(key).operation
        if operation is None or operation.sublet_cost is None:
            continue
        cost = of_row(f"Sublet cost of {key}", operation.sublet_cost, operation.source, "Sublet cost", form="money")
        percent = told.setting("Sublet markup", "sublet_markup", "percent")
        factor = number("1 + sublet markup", 1 + markup, "one plus", (percent,), "The shop's markup on work sent out.")
        amount = round_up(operation.sublet_cost * (1 + markup), told.money.digits)
        yield told.money.node(
            f"its work sent out, {key}",
            amount,
            "product",
            (cost, factor),
            "Cost with markup (rules 5.8).",
            rounding=told.money.up,
        )


def _fees(told: Told, operations: Iterable[str]) -> Iterable[Explanation]:
    """Fees its operations bring, that the tier does not charge and the job does not set."""
    assert told.beside is not None
    codes = frozenset(told.basis.op_named(key).code for key in operations)
    charged = {fee.key for fee in told.beside.charges.fees}
    for fee in triggered_by(told.basis, codes):
        if fee.code not in charged:
            amount = round_up(fee.amount, told.money.digits)
            each = of_row(f"Amount of {fee.code}", fee.amount, fee.source, "Amount", "Applies to", form="money")
            yield told.money.node(
                f"its fee {fee.code}",
                amount,
                "same",
                (each,),
                "A fee its work brings (rules 5.8).",
                rounding=told.money.up,
            )


def _freight(told: Told, uses: dict[str, list[Use]]) -> Iterable[Explanation]:
    """Flat freight of suppliers the tier orders nothing from, and extra freight per pack."""
    basis, money = told.basis, told.money
    if basis.book.settings.freight_to_customer == "none":
        return
    assert told.beside is not None
    flat = set(told.beside.charges.freight)
    for code, brought in uses.items():
        part = basis.part(code)
        terms = basis.supplier(part.supplier)
        if code in basis.own_parts or terms is None or terms.shelf:
            continue
        if part.supplier not in flat:
            flat.add(part.supplier)
            given = of_row(f"Freight of {part.supplier}", terms.freight, terms.source, "Freight", form="money")
            once = round_up(terms.freight or ZERO, money.digits)
            yield money.node(
                f"its freight from {part.supplier}",
                once,
                "same",
                (given,),
                "Flat freight, once (rules 5.8).",
                rounding=money.up,
            )
        if part.extra_freight:
            many = part_uses.together(f"{code} for it", brought, "What it brings (rules 5.8).")
            pack = of_row("Pack quantity", part.pack_quantity, part.source, "Pack quantity")
            packs = whole_units(sum((use.quantity for use in brought), ZERO), part.pack_quantity)
            each = of_row(f"Extra freight of {code}", part.extra_freight, part.source, "Extra freight", form="money")
            bought = count(
                f"packs of {code}", packs, "quotient", (many, pack), "Whole packs.", rounding="up to whole packs"
            )
            amount = round_up(packs * part.extra_freight, money.digits)
            yield money.node(
                f"extra freight of its {code}",
                amount,
                "product",
                (bought, each),
                "Packs x extra freight (rules 5.8).",
                rounding=money.up,
            )


def _total(nodes: Iterable[Explanation]) -> Decimal:
    return sum((node.number for node in nodes if isinstance(node.number, Decimal)), ZERO)
