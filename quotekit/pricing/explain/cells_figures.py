"""The figures of a tier one by one, each worked out by the engine's rules from no more than it needs.

A figure's name is its path in the tier's JSON with keys for the entries of lists: `parts.SEAL-19.amount`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields
from decimal import Decimal
from functools import partial
from typing import Any, NamedTuple, cast

from quotekit.model.quote import Amounts, Cost, OfferedExtra, PartLine, PricedTier, Share, TaxLine
from quotekit.model.watched_reads import kept
from quotekit.money import round_to
from quotekit.pricing import finish
from quotekit.pricing.at_most import at_most
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.cells_charges import HOURS, WORK, LateCharges, without
from quotekit.pricing.explain.cells_choice import LateSetup
from quotekit.pricing.explain.cells_totals import LateTotals
from quotekit.pricing.extras import Offer, offers_beside
from quotekit.pricing.freight import freight_of_order
from quotekit.pricing.hours import total_allowance
from quotekit.pricing.items import Item
from quotekit.pricing.setup import fixed_by
from quotekit.pricing.shares import shares_of
from quotekit.pricing.totals import deposit_on, ready_days
from quotekit.pricing.work import hours_of_operations, work_of

OFFERS = "what is offered beside the option"
_PLAIN = ("hours", "quantity")


class Figure(NamedTuple):
    """One figure: `work_out` gives it again, `stated` is what the quote says."""

    name: str
    stage: str
    work_out: Callable[[], object]
    stated: object

    @property
    def is_money(self) -> bool:
        """True for an amount: it is written with the digits of the shop's currency."""
        return isinstance(self.stated, Decimal) and not self.name.startswith("hours.") and self._last not in _PLAIN

    @property
    def _last(self) -> str:
        return self.name.rpartition(".")[2]


class TierFigures:
    """All figures of one tier that was worked out."""

    def __init__(self, setup: LateSetup, items: tuple[Item, ...], tier: PricedTier) -> None:
        self.setup, self.basis, self.seen = setup, setup.basis, setup.seen
        self.items, self.tier = items, tier
        self.charges = setup.charges(lambda: items)
        self.totals = LateTotals(setup.basis, self.charges)

    def all(self) -> Iterator[Figure]:
        """Every figure that is known here."""
        yield from self._lists()
        yield from self._hours()
        yield from self._parts()
        yield from self._amounts()
        yield from self._totals()
        yield from self._shares()
        yield from self._costs()
        yield from self._extras()

    def _lists(self) -> Iterator[Figure]:
        charges, tier = self.charges, self.tier
        fixed, faults = fixed_by(self.items), self.setup.candidates.faults
        left = frozenset(faults) - fixed
        safety = (key for key in left if faults[key].severity == "safety")
        yield Figure("items", WORK, lambda: _keys(charges.work.items), _keys(tier.items))
        yield Figure("operations", WORK, lambda: _keys(self._operations()), _keys(tier.operations))
        yield Figure("access", WORK, lambda: sorted(charges.work.steps), _keys(tier.access))
        yield Figure("dropped", WORK, lambda: sorted(charges.work.dropped), list(tier.dropped))
        yield Figure("fixed", WORK, lambda: sorted(fixed), list(tier.fixed))
        yield Figure("left", WORK, lambda: sorted(left), list(tier.left))
        yield Figure("safety_left", WORK, lambda: sorted(safety), list(tier.safety_left))

    def _operations(self) -> Iterator[Any]:
        present = map(self.basis.op_named, sorted(self.charges.work.present))
        return (op for op in present if op.operation is not None)

    def _hours(self) -> Iterator[Figure]:
        charges, basis, hours = self.charges, self.basis, self.tier.hours
        yield Figure("hours.access", HOURS, self._access_hours, hours.access)
        yield Figure("hours.net", HOURS, lambda: sum(self._net_hours.values(), ZERO), hours.net)
        yield Figure("hours.allowance", HOURS, lambda: total_allowance(basis, self._slowed()), hours.allowance)
        yield Figure("hours.off", HOURS, lambda: charges.hours.off if charges.bundles else ZERO, hours.off)
        yield Figure("hours.minimum_added", HOURS, lambda: charges.hours.minimum_added, hours.minimum_added)
        for rate, billed in hours.billed.items():
            yield Figure(f"hours.billed.{rate}", HOURS, partial(self._billed, rate), billed)

    def _billed(self, rate: str) -> Decimal:
        return self.charges.hours.by_rate[rate].billed

    def _access_hours(self) -> Decimal:
        return sum((self.basis.step_named(key).hours for key in self.charges.work.steps), ZERO)

    @kept(HOURS)
    def _net_hours(self) -> dict[str, Decimal]:
        return hours_of_operations(self.basis, self.charges.work.present)

    def _slowed(self) -> Decimal:
        present = self.charges.work.present
        return sum((self._net_hours[key] for key in present if self.basis.op_named(key).slowed), ZERO)

    def _parts(self) -> Iterator[Figure]:
        for line in self.tier.part_lines:
            for name in ("quantity", "packs", "unit_price", "amount"):
                yield Figure(f"parts.{line.part}.{name}", "parts", self._of_part(line, name), getattr(line, name))

    def _of_part(self, line: PartLine, name: str) -> Callable[[], object]:
        return lambda: getattr(_found(self.charges.parts, "code", line.part), name)

    def _amounts(self) -> Iterator[Figure]:
        charges, totals = self.charges, self.totals
        rules: dict[str, Callable[[], Decimal]] = {
            "labour": lambda: charges.labour_total,
            "parts": lambda: charges.parts_total,
            "cores": lambda: sum((line.core for line in charges.parts), ZERO),
            "sublet": lambda: sum(charges.sublet.values(), ZERO),
            "savings": lambda: -sum((saving.amount for saving in charges.savings), ZERO),
            "supplies": lambda: charges.supplies,
            "fees": lambda: sum((fee.amount for fee in charges.fees), ZERO),
            "freight": lambda: sum(charges.freight.values(), ZERO),
            "inspection": lambda: totals.inspection,
            "inspection_credit": lambda: totals.credit,
        }
        for field in fields(Amounts):
            stated = getattr(self.tier.amounts, field.name)
            yield Figure(f"amounts.{field.name}", field.name.replace("_", " "), rules[field.name], stated)
        yield Figure("work", "work", lambda: charges.total, self.tier.work)
        for code, amount in self.tier.bundles:
            yield Figure(f"bundles.{code}.amount", "savings", partial(self._bundle, code), amount)

    def _bundle(self, code: str) -> Decimal | None:
        """What a bundle takes off; only a bundle of hours can do without the savings in money."""
        bundle = _found(self.charges.bundles, "code", code)
        if bundle.saving == "hours off":
            return None
        return -sum((saving.amount for saving in self.charges.savings if saving.key == code), ZERO)

    def _totals(self) -> Iterator[Figure]:
        tier, totals, charges, basis = self.tier, self.totals, self.charges, self.basis
        yield Figure("subtotal", "work", lambda: totals.subtotal, tier.subtotal)
        for line in tier.taxes:
            for name in ("base", "amount"):
                yield Figure(f"taxes.{line.tax}.{name}", "tax", self._of_tax(line, name), getattr(line, name))
        yield Figure("tax", "tax", lambda: totals.tax, tier.tax)
        yield Figure("total", "tax", lambda: totals.total, tier.total)
        yield Figure("deposit", "deposit", lambda: deposit_on(basis, charges.parts), tier.deposit)
        yield Figure("due", "paid so far", self._due, tier.due)
        yield Figure("ready_days", "days to ready", lambda: ready_days(basis, charges.whole), tier.ready_days)
        yield Figure("horizon_cost", "work over the years", self._horizon_cost, tier.horizon_cost)

    def _of_tax(self, line: TaxLine, name: str) -> Callable[[], object]:
        return lambda: getattr(self.totals.tax_named(line.tax), name)

    def _due(self) -> Decimal:
        return self.totals.total - round_to(self.basis.job.paid_so_far, self.basis.digits)

    def _horizon_cost(self) -> Decimal:
        remedies = [item for item in self.charges.work.items if item.remedy]
        return self.setup.cost_over_years(self.charges.total, remedies)

    def _shares(self) -> Iterator[Figure]:
        for share in self.tier.shares:
            for name in ("hours", "labour", "parts", "sublet", "amount"):
                yield Figure(f"shares.{share.item}.{name}", "shares", self._of_share(share, name), getattr(share, name))

    def _of_share(self, share: Share, name: str) -> Callable[[], object]:
        def work_out() -> object:
            if name == "hours":
                return _found(self._shares_of_hours, "item", share.item).hours
            wanted = ("labour", "parts", "sublet") if name == "amount" else (name,)
            return sum((self._share_of(share.item, kind) for kind in wanted), ZERO)

        return work_out

    def _share_of(self, item: str, kind: str) -> Decimal:
        if kind == "labour":
            return cast(Decimal, _found(self._shares_of_labour, "item", item).labour)
        if kind == "parts":
            return cast(Decimal, _found(self._shares_of_parts, "item", item).parts)
        return cast(Decimal, _found(self._shares_of_sublet, "item", item).sublet)

    def _shares_without(self, **left_out: Any) -> tuple[Share, ...]:
        return shares_of(self.basis, without(self.charges, **left_out), self.charges.users)

    @kept("shares")
    def _shares_of_hours(self) -> tuple[Share, ...]:
        return self._shares_without(labour={}, minimum=ZERO, parts=(), sublet={})

    @kept("shares")
    def _shares_of_labour(self) -> tuple[Share, ...]:
        return self._shares_without(parts=(), sublet={})

    @kept("shares")
    def _shares_of_parts(self) -> tuple[Share, ...]:
        return self._shares_without(labour={}, minimum=ZERO, sublet={})

    @kept("shares")
    def _shares_of_sublet(self) -> tuple[Share, ...]:
        return self._shares_without(labour={}, minimum=ZERO, parts=())

    def _costs(self) -> Iterator[Figure]:
        charges, basis, cost = self.charges, self.basis, self.tier.cost
        rules: dict[str, Callable[[], Decimal | None]] = {
            "labour": lambda: self._cost(parts=(), sublet={}, labour=defaultdict(lambda: ZERO)).labour,
            "parts_used": lambda: self._cost(sublet={}, hours=_NO_HOURS, labour={}).parts_used,
            "cores": lambda: sum((line.core for line in charges.parts), ZERO),
            "sublet": lambda: self._cost(parts=(), hours=_NO_HOURS, labour={}).sublet,
            "freight": lambda: sum(freight_of_order(basis, charges.parts).values(), ZERO),
            "total": lambda: self._cost(labour=defaultdict(lambda: ZERO)).total,
        }
        for name, rule in rules.items():
            yield Figure(f"cost.{name}", "cost", rule, getattr(cost, name))
        cash = self.tier.cash_for_parts
        yield Figure("cash_for_parts", "cost", lambda: finish.cash_for_parts(basis, charges.whole), cash)
        yield Figure("margin", "cost", self._margin, self.tier.margin)

    def _cost(self, **left_out: Any) -> Cost:
        return finish.cost_record(self.basis, without(self.charges, **left_out))

    def _margin(self) -> Decimal | None:
        cost = finish.cost_record(self.basis, self.charges.whole).total
        return None if cost is None else self.totals.subtotal - cost

    @kept(OFFERS)
    def _offers(self) -> list[Offer]:
        return offers_beside(self.setup, self.items, self.charges.whole)

    def _extras(self) -> Iterator[Figure]:
        for extra in self.tier.extras:
            key = f"extras.{extra.extra}"
            yield Figure(f"{key}.kind", OFFERS, partial(self._kind, extra), extra.kind)
            yield Figure(f"{key}.why", OFFERS, partial(self._why, extra), extra.why)
            for name in ("price", "at_most", "work", "subtotal", "tax", "total"):
                yield Figure(f"extras.{extra.extra}.{name}", name, self._of_extra(extra, name), getattr(extra, name))

    def _offer(self, extra: OfferedExtra) -> Offer:
        return next(offer for offer in self._offers if offer.item.key == extra.extra)

    def _kind(self, extra: OfferedExtra) -> str:
        return "remedy" if self._offer(extra).item.remedy else "extra"

    def _why(self, extra: OfferedExtra) -> str:
        return self._offer(extra).why

    def _of_extra(self, extra: OfferedExtra, name: str) -> Callable[[], object]:
        def work_out() -> object:
            item = self._offer(extra).item
            if name == "at_most":
                with_it = work_of(self.basis, [*self.charges.work.items, item], self.setup.always)
                return at_most(self.basis, item, self.charges.whole, with_it)
            together = self._together(item)
            if name == "price":
                return together.total - self.charges.total
            if name == "work":
                return together.total
            return getattr(LateTotals(self.basis, together, self.totals), name)

        return work_out

    def _together(self, item: Item) -> LateCharges:
        return self.setup.charges(lambda: [*self.charges.work.items, item], self.charges)


class _NoHours:
    """Hours of nothing, for a rule that is asked for something else."""

    by_rate: dict[str, Any] = {}  # noqa: RUF012
    of_operation: dict[str, Decimal] = {}  # noqa: RUF012
    slowed = allowance = minimum_added = ZERO


_NO_HOURS = _NoHours()


def _keys(records: Iterable[Any]) -> list[str]:
    return [record.key for record in records]


def _found(records: Iterable[Any], name: str, wanted: str) -> Any:
    return next(record for record in records if getattr(record, name) == wanted)
