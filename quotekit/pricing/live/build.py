"""From the options and what is offered beside them to the sums of any choice: one call a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from quotekit.model.expression import Expression, Step, minus, rounded, spans, steps_of, total, weighted
from quotekit.model.live import LiveExtra, LiveOption, LivePricing, Place
from quotekit.model.quote import PricedTier
from quotekit.money import round_to
from quotekit.pricing.live.charges import live_credit, live_fees, live_sublet, live_supplies
from quotekit.pricing.live.freight import live_freight
from quotekit.pricing.live.hours import live_labour
from quotekit.pricing.live.names import defined_names, option_labels
from quotekit.pricing.live.parts import LivePart, live_parts
from quotekit.pricing.live.savings import bundle_flags, hours_off_of, live_savings
from quotekit.pricing.live.taken import OfferedTier, taken_items
from quotekit.pricing.live.taxes import LiveLine, live_taxes
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.pricing.setup import Setup
from quotekit.pricing.totals import inspection_fee

MOST = 10**14
"""Below it every program that computes in doubles rounds a quotient down exactly.

Measured: none wrong below it, 116 of 1,200 between it and 1E15, where a spreadsheet's INT snaps to near whole numbers.
"""


class NotExact(ValueError):
    """Why a choice can't be followed to the cent, and what to do; both texts are for people."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(reason)
        self.remedy = remedy


def live_pricing(setup: Setup, tiers: Sequence[OfferedTier], priced: Sequence[PricedTier]) -> LivePricing:
    """The sums of any choice among the options offered.

    Raises NotExact where a number could pass the bound, or where codes do not tell what is offered apart.
    """
    chosen = tuple(Step("option chosen") for _ in tiers)
    keys = _keys(tiers)
    ticks = {key: Step("extra ticked") for key in keys}
    working = Working(basis=setup.basis, chosen=chosen)
    figures, taxes = _figures(setup, working, tiers, ticks)
    steps = (*chosen, *ticks.values(), *_needed(working.steps, [*figures.values(), *(step for _, step in taxes)]))
    _, largest = spans(steps)
    if largest > MOST:
        raise NotExact(
            "its figures are too large for a spreadsheet to add up exactly",
            "Look for an amount, an hour or a rate that is far too large or has far too many digits.",
        )
    labels = option_labels([tier.tier.tier for tier in tiers])
    names = defined_names(keys)
    return LivePricing(
        steps=steps,
        options=tuple(
            LiveOption(code=tier.tier.tier.code, label=label, chosen=step)
            for tier, label, step in zip(tiers, labels, chosen, strict=True)
        ),
        extras=tuple(_extra(key, names[key], ticks[key], priced) for key in keys),
        figures=figures,
        taxes=tuple(taxes),
        digits=setup.basis.digits,
    )


def _keys(tiers: Sequence[OfferedTier]) -> list[str]:
    """What is offered beside any option, in the order the document lists it."""
    for tier in tiers:
        keys = [offer.item.key for offer in tier.offers]
        if len(set(keys)) < len(keys):
            raise NotExact(
                "a remedy and an extra that are both offered have the same code",
                "Give one of them another code in the shop book.",
            )
    return list(dict.fromkeys(offer.item.key for tier in tiers for offer in tier.offers))


def _figures(
    setup: Setup, working: Working, tiers: Sequence[OfferedTier], ticks: dict[str, Step]
) -> tuple[dict[str, Step], list[tuple[str, Step]]]:
    """Every figure in the order of money."""
    basis = setup.basis
    taken = taken_items(working, tiers, ticks)
    work = LiveWork(working, taken, setup.always)
    bundles = bundle_flags(working, taken)
    labour = live_labour(working, work, hours_off_of(bundles))
    labour_total = working.step("labour in total", total(*labour.lines))
    parts = live_parts(working, work)
    parts_total = working.step("parts in total", total(*(part.amount for part in parts)))
    cores = working.step("core charges", total(*(part.core for part in parts)))
    sublet = live_sublet(working, work)
    savings = live_savings(working, work, bundles, labour_total, parts_total)
    supplies = live_supplies(working, labour_total)
    fees = live_fees(working, work)
    freight = live_freight(working, parts, tiers)
    fee_total = total(*(weighted([(fee.sign, fee.amount)]) for fee in fees))
    saved = total(*(saving.amount for saving in savings))
    added = total(labour_total, parts_total, cores, *sublet, supplies, fee_total, *freight)
    done = working.step("work", minus(added, saved))
    inspection = working.minor(inspection_fee(basis))
    credit = live_credit(working, done)
    subtotal = working.step("subtotal", minus(total(done, inspection), credit))
    lines = [LiveLine(charge="labour", amount=line, of_labour=True) for line in labour.lines]
    lines += [LiveLine(charge=part.taxed_as, amount=part.amount) for part in parts]
    lines += [LiveLine(charge="cores", amount=part.core) for part in parts]
    lines += [LiveLine(charge="sublet", amount=line) for line in sublet]
    lines += [
        LiveLine(charge=saving.charge, amount=saving.amount, sign=-1, of_labour=saving.charge == "labour")
        for saving in savings
    ]
    lines.append(LiveLine(charge="supplies", amount=supplies))
    lines += [LiveLine(charge="fees", amount=fee.amount, sign=fee.sign, fee=fee.code) for fee in fees]
    lines += [LiveLine(charge="freight", amount=line) for line in freight]
    lines += [LiveLine(charge="inspection", amount=inspection), LiveLine(charge="inspection", amount=credit, sign=-1)]
    upgrade = working.pick([working.minor(tier.upgrade) for tier in tiers])
    taxes = live_taxes(working, lines, upgrade)
    tax = working.step("taxes", total(*(step for _, step in taxes)))
    whole_total = working.step("total", total(subtotal, tax))
    figures: dict[str, Expression] = {
        "labour": labour_total,
        "parts": parts_total,
        "cores": cores,
        "sublet": total(*sublet),
        "savings": minus(0, saved),
        "supplies": supplies,
        "fees": fee_total,
        "freight": total(*freight),
        "inspection": inspection,
        "inspection_credit": minus(0, credit),
        "work": done,
        "subtotal": subtotal,
        "tax": tax,
        "total": whole_total,
        "due": minus(whole_total, working.minor(round_to(basis.job.paid_so_far, basis.digits))),
        "deposit": _deposit(working, parts),
    }
    return {name: _line(working, name, figure) for name, figure in figures.items()}, taxes


def _line(working: Working, name: str, figure: Expression) -> Step:
    return figure if isinstance(figure, Step) else working.line(name, figure)


def _deposit(working: Working, parts: Sequence[LivePart]) -> Expression:
    """Percent of the selling amounts of ordered parts, rounded once (DESIGN.md 5.9)."""
    settings = working.basis.book.settings
    usual, special = settings.deposit_on_ordered_parts, settings.deposit_on_non_returnable_parts
    places = decimals([usual, special])
    percents: list[tuple[int, Expression]] = []
    for part in parts:
        if not part.own and not working.basis.is_shelf(part.supplier):
            returnable = part.part is None or part.part.returnable
            percents.append((whole(usual if returnable else special, places), part.amount))
    return rounded(weighted(percents), 10**places)


def _needed(steps: Sequence[Step], results: Iterable[Step]) -> list[Step]:
    """The steps that some result is worked out from, in working order."""
    wanted: set[Step] = set()
    waiting = list(results)
    while waiting:
        step = waiting.pop()
        if step not in wanted:
            wanted.add(step)
            waiting.extend(steps_of(step.formula) if step.formula is not None else ())
    return [step for step in steps if step in wanted]


def _extra(key: str, name: str, tick: Step, priced: Sequence[PricedTier]) -> LiveExtra:
    places: list[Place] = []
    prices: list[Decimal | None] = []
    for tier in priced:
        offered: Mapping[str, Decimal] = {extra.extra: extra.price for extra in tier.extras}
        included = any(item.key == key for item in tier.items)
        places.append("offered" if key in offered else "included" if included else "none")
        prices.append(offered.get(key))
    return LiveExtra(key=key, defined_name=name, ticked=tick, place=tuple(places), price=tuple(prices))
