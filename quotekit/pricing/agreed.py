"""What a customer agrees to: the option chosen with the extras chosen, as plain lines to be kept (DESIGN.md 1 and 5.9).

The figures are those of the priced tier; nothing is worked out a second time. Standard hours of each operation and each
access step are kept beside the hours billed, so that later the time really spent can be held against them.

Worked example: an option with SEAL (0.3 h) behind COVER (0.4 h to open and close) at 100.00 an hour is kept as two
lines of work, 0.3 h and 0.4 h, and one labour line of 0.7 h and 70.00.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from quotekit.model.agreed import (
    Agreed,
    AgreedItem,
    AgreedLabour,
    AgreedLine,
    AgreedPart,
    AgreedTax,
    AgreedWork,
    ConsentRule,
    WorkKind,
)
from quotekit.model.job import Job
from quotekit.model.quote import LabourLine, MoneyLine, PartLine, PricedTier, TierItem, WorkLine
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import Settings, ShopBook

AMOUNT_NAMES = (
    "labour", "parts", "cores", "sublet", "savings", "supplies", "fees", "freight", "inspection", "inspection_credit",
)  # fmt: skip


def consent_rule(settings: Settings) -> ConsentRule:
    """The shop's rule for calling the customer, as it stands in the shop book."""
    return ConsentRule(
        over_percent=settings.call_when_over_percent,
        over_amount=settings.call_when_over_amount,
        over=settings.call_when_over,
        compares=settings.call_compares,
        at_most=settings.call_when_over_at_most,
    )


def agreed_of(book: ShopBook, job: Job, tier: PricedTier, added: Collection[str] = ()) -> Agreed:
    """A priced tier as what is agreed; `added` are the keys of extras the customer took."""
    return Agreed(
        tier=tier.code,
        option=tier.name,
        items=tuple(_item(item, added) for item in tier.items),
        work=tuple(_work(book, job, tier)),
        labour=tuple(_labour(book, job, line) for line in tier.labour_lines),
        minimum_amount=tier.minimum_amount,
        minimum_hours=tier.hours.minimum_added,
        parts=tuple(_part(line) for line in tier.part_lines),
        sublet=_lines(tier.sublet_lines),
        savings=_lines(tier.saving_lines),
        fees=_lines(tier.fee_lines),
        freight=_lines(tier.freight_lines),
        amounts={name: getattr(tier.amounts, name) for name in AMOUNT_NAMES},
        subtotal=tier.subtotal,
        taxes=tuple(AgreedTax(tax=line.tax, base=line.base, amount=line.amount) for line in tier.taxes),
        tax=tier.tax,
        total=tier.total,
        deposit=tier.deposit,
        ready_days=tier.ready_days,
        cost_labour=tier.cost.labour,
        cost_parts=tier.cost.parts_used,
        cost_sublet=tier.cost.sublet,
        cost_freight=tier.cost.freight,
        cost_total=tier.cost.total,
        margin=tier.margin,
        condition=job.condition or "",
        left=tier.left,
    )


def _item(item: TierItem, added: Collection[str]) -> AgreedItem:
    return AgreedItem(
        key=item.key,
        code=item.code,
        side=item.side,
        kind=item.kind,
        name=item.name,
        wording=item.wording,
        fixes=item.fixes,
        asked=item.asked,
        added=item.key in added,
        warranty_days=item.warranty_days,
    )


def _work(book: ShopBook, job: Job, tier: PricedTier) -> Iterator[AgreedWork]:
    for line in tier.operations:
        yield _work_line(line, "operation", book.operations[line.code].operation)
    for line in tier.access:
        yield _work_line(line, "access", book.access[line.code].step)
    taken = {item.code for item in tier.items if item.kind == "one-off"}
    default = job.labour_rate or book.labour_rates[0].code
    for one in job.one_off:
        if one.kind == "labour" and one.code in taken:
            yield AgreedWork(
                key=one.code,
                code=one.code,
                side=None,
                kind="one-off",
                name=one.line,
                hours=one.quantity,
                labour=one.labour or default,
                slowed_by_rust=one.slowed_by_rust,
                users=(one.code,),
            )


def _work_line(line: WorkLine, kind: WorkKind, name: str) -> AgreedWork:
    return AgreedWork(
        key=line.key,
        code=line.code,
        side=line.side,
        kind=kind,
        name=name,
        hours=line.hours,
        labour=line.labour,
        slowed_by_rust=line.slowed_by_rust,
        users=line.users,
    )


def _labour(book: ShopBook, job: Job, line: LabourLine) -> AgreedLabour:
    rate = rates_on(book.labour_rates, job.quote_date).get(line.rate)
    return AgreedLabour(
        rate=line.rate,
        rate_per_hour=line.rate_per_hour,
        cost_per_hour=rate.cost_per_hour if rate is not None else None,
        access=line.access,
        net=line.net,
        allowance=line.allowance,
        off=line.off,
        billed=line.billed,
        amount=line.amount,
    )


def _part(line: PartLine) -> AgreedPart:
    return AgreedPart(
        part=line.part,
        name=line.name,
        unit=line.unit,
        new_or_used=line.new_or_used,
        quantity=line.quantity,
        packs=line.packs,
        pack_quantity=line.pack_quantity,
        pack_cost=line.pack_cost,
        unit_price=line.unit_price,
        amount=line.amount,
        unit_cost=line.unit_cost,
        cost=line.cost,
        supplier=line.supplier,
        suppliers_number=line.suppliers_number,
        sides=line.sides,
        own=line.own,
        ordered=line.ordered,
        returnable=line.returnable,
        core_charge=line.core_charge,
        lead_days=line.lead_days,
    )


def _lines(lines: Iterable[MoneyLine]) -> tuple[AgreedLine, ...]:
    return tuple(
        AgreedLine(
            key=line.key,
            name=line.name,
            amount=line.amount,
            quantity=line.quantity,
            unit=line.unit,
            cost=line.cost,
            wording=line.wording,
        )
        for line in lines
    )
