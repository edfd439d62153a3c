"""Every figure of one tier, by its name in the JSON of the quote, each made when it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from quotekit.model.explanation import Explanation, Value
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import (
    extras,
    freight,
    hours,
    labour,
    lists,
    money_outside,
    offered,
    parts,
    prices,
    proof,
    savings,
    why,
    worth,
    years,
)
from quotekit.pricing.explain import shares as of_shares
from quotekit.pricing.explain import totals as of_totals
from quotekit.pricing.explain.nothing import empty_lists, not_worked_out
from quotekit.pricing.explain.taxes import TaxTold
from quotekit.pricing.explain.tier_items import items_of, offered_item
from quotekit.pricing.explain.told import Told, cells_in, words
from quotekit.pricing.explain.worked_again import Again
from quotekit.pricing.parts import PartAmount
from quotekit.pricing.setup import Setup
from quotekit.pricing.shares import upgrade_items
from quotekit.pricing.taxes import taxes_upgrade_labour
from quotekit.pricing.totals import Totals, totals_of
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]


def tier_told(setup: Setup, tier: PricedTier) -> Told:
    """The charges of a tier laid open, from the items it holds: nothing is chosen again."""
    items = items_of(setup, tier) if tier.priced else ()
    return Told(setup=setup, charges=setup.price(items))


def tier_figures(told: Told, quote: Quote, tier: PricedTier) -> Figures:
    """`total`, `amounts.labour`, `parts.SEAL-19.amount` ...: a maker for each figure of the tier."""
    again = Again(told.setup, quote)
    plain = {
        **_about(told, tier),
        **offered.offered_figures(told, again, tier),
        **lists.list_figures(told, tier),
        **empty_lists(tier),
    }
    if not tier.priced:
        return {**plain, **not_worked_out(tier), **why.why_figures(told, again, tier)}
    totals = _Totals(told, tier)
    return {
        **plain,
        **_hours(told),
        **_parts(told),
        **_amounts(told, totals),
        **_bundles(told),
        **_sums(told, totals, tier),
        **_shares(told, tier),
        **money_outside.cost_figures(told, tier),
        "margin": lambda: money_outside.margin(told, tier, of_totals.subtotal(told, totals.record)),
        **years.year_figures(told, [item for item in told.charges.work.items if item.remedy], tier),
        **worth.worth_figures(told, tier, totals.upgrade),
        **_extras(told, tier, totals),
        **why.why_figures(told, again, tier),
        **proof.proof_figures(told, again, tier),
    }


def upgrade_within(told: Told, upgrade: Explanation) -> Explanation:
    """Upgrade labour, at most the labour there is."""
    if not upgrade.number:
        return upgrade
    amount = min(upgrade.number, told.charges.labour_total)
    rule = "Upgrade labour of the tier, at most the labour there is (rules 5.9, Taxes)."
    return told.money.node("upgrade labour, at most all labour", amount, "least", (upgrade, labour.labour(told)), rule)


class _Totals:
    """Totals and taxes of a tier, worked out when they are first asked for."""

    def __init__(self, told: Told, tier: PricedTier) -> None:
        self._told, self._tier = told, tier
        self._record: Totals | None = None
        self._taxes: list[TaxTold] | None = None
        self._upgrade: Explanation | None = None

    @property
    def upgrade(self) -> Explanation:
        """Labour shares of upgrades, where some tax treats them apart."""
        if self._upgrade is None:
            self._upgrade = _upgrade(self._told, self._tier)
        return self._upgrade

    @property
    def record(self) -> Totals:
        """What the engine works out."""
        if self._record is None:
            within = upgrade_within(self._told, self.upgrade).number
            assert isinstance(within, Decimal)
            self._record = totals_of(self._told.basis, self._told.charges, within)
        return self._record

    @property
    def taxes(self) -> list[TaxTold]:
        """Each tax as trees."""
        if self._taxes is None:
            self._taxes = of_totals.taxes(self._told, self.record, upgrade_within(self._told, self.upgrade))
        return self._taxes


def _upgrade(told: Told, tier: PricedTier) -> Explanation:
    if not taxes_upgrade_labour(told.basis):
        return told.money.settled("upgrade labour", ZERO, "No tax in force treats upgrade labour apart (rules 5.9).")
    upgrades = upgrade_items(told.charges.work.items)
    nodes = [of_shares.labour_share(told, share) for share in tier.shares if share.item in upgrades]
    total = sum((share.labour for share in tier.shares if share.item in upgrades), ZERO)
    return told.money.node("upgrade labour", total, "sum", nodes, "Labour shares of upgrades (rules 5.9, Taxes).")


def _about(told: Told, tier: PricedTier) -> Figures:
    row = next(one for one in told.basis.book.tiers if one.code == tier.code)
    cells = cells_in(row.source, "Code", "Tier")
    return {
        "code": lambda: words("code", tier.code, "As typed.", cells=cells, given=True),
        "name": lambda: words("name", tier.name, "As typed.", cells=cells, given=True),
    }


def _hours(told: Told) -> Figures:
    return {
        "hours.access": lambda: hours.access(told),
        "hours.net": lambda: hours.net(told),
        "hours.allowance": lambda: hours.allowance(told),
        "hours.off": lambda: hours.off(told),
        **{f"hours.billed.{rate}": _with(hours.billed, told, rate) for rate in told.charges.hours.by_rate},
        "hours.minimum_added": lambda: hours.minimum_added(told),
    }


def _parts(told: Told) -> Figures:
    figures: Figures = {}
    for line in told.charges.parts:
        start = f"parts.{line.code}"
        figures[f"{start}.part"] = _part(start, line)
        figures[f"{start}.quantity"] = _with(parts.quantity, told, line)
        figures[f"{start}.packs"] = _with(parts.packs, told, line)
        figures[f"{start}.unit_price"] = _with(prices.unit_price, told, line)
        figures[f"{start}.amount"] = _with(parts.amount, told, line)
    return figures


def _part(start: str, line: PartAmount) -> Callable[[], Explanation]:
    source = line.part.source if line.part else line.one_off.source if line.one_off else None
    cells = cells_in(source, "Code", "Line") if source else ()
    return lambda: words(f"{start}.part", line.code, "A part that this tier uses (rules 5.2 step 6).", cells=cells)


def _amounts(told: Told, totals: _Totals) -> Figures:
    return {
        "amounts.labour": lambda: labour.labour(told),
        "amounts.parts": lambda: parts.parts(told),
        "amounts.cores": lambda: parts.cores(told),
        "amounts.sublet": lambda: of_charges.sublet(told),
        "amounts.savings": lambda: savings.savings(told),
        "amounts.supplies": lambda: labour.supplies(told),
        "amounts.fees": lambda: of_charges.fees(told),
        "amounts.freight": lambda: freight.freight(told),
        "amounts.inspection": lambda: of_totals.inspection(told),
        "amounts.inspection_credit": lambda: of_totals.inspection_credit(told, totals.record),
    }


def _bundles(told: Told) -> Figures:
    figures: Figures = {}
    for bundle in told.charges.bundles:
        start, cells = f"bundles.{bundle.code}", cells_in(bundle.source, "Code", "Members", "Saving", "From", "To")
        rule = f"{bundle.bundle}: all its members are in this tier (rules 5.5 item 4)."
        figures[f"{start}.bundle"] = _word(f"{start}.bundle", bundle.code, rule, cells)
        if bundle.saving == "hours off":
            rule = "It takes hours off, not money: see hours.off (rules 5.9, Bundles)."
            figures[f"{start}.amount"] = _word(f"{start}.amount", None, rule, cells)
        else:
            figures[f"{start}.amount"] = _with(savings.bundle_amount, told, bundle)
    return figures


def _sums(told: Told, totals: _Totals, tier: PricedTier) -> Figures:
    remedies = [item for item in told.charges.work.items if item.remedy]
    return {
        "work": lambda: of_charges.work(told),
        "subtotal": lambda: of_totals.subtotal(told, totals.record),
        **_taxes(totals),
        "tax": lambda: of_totals.tax(told, totals.record, totals.taxes),
        "total": lambda: of_totals.total(told, totals.record, totals.taxes),
        "deposit": lambda: money_outside.deposit(told, tier.deposit),
        "due": lambda: of_totals.due(told, tier.due, of_totals.total(told, totals.record, totals.taxes)),
        "ready_days": lambda: money_outside.ready_days(told, tier.ready_days),
        "horizon_cost": lambda: years.horizon_cost(told, remedies, tier.horizon_cost),
    }


def _taxes(totals: _Totals) -> Figures:
    figures: Figures = {}
    for place, line in enumerate(totals.record.taxes):
        start = f"taxes.{line.tax}"
        rule = "A tax in force with something it is on (rules 5.9, Taxes)."
        figures[f"{start}.tax"] = _word(f"{start}.tax", line.tax, rule, ())
        figures[f"{start}.base"] = _tax_part(totals, place, "base")
        figures[f"{start}.amount"] = _tax_part(totals, place, "amount")
    return figures


def _tax_part(totals: _Totals, place: int, name: str) -> Callable[[], Explanation]:
    return lambda: totals.taxes[place].base if name == "base" else totals.taxes[place].amount


def _shares(told: Told, tier: PricedTier) -> Figures:
    figures: Figures = {}
    for share in tier.shares:
        figures |= of_shares.share_figures(told, share)
    return figures


def _extras(told: Told, tier: PricedTier, totals: _Totals) -> Figures:
    figures: Figures = {}
    if not tier.extras:
        return figures
    seen: set[str] = set()
    for offer in tier.extras:
        name = f"extras.{offer.extra}{'#2' if offer.extra in seen else ''}"
        seen.add(offer.extra)
        item = offered_item(told.setup, offer)
        figures |= extras.extra_figures(told, offer, item, name, totals.upgrade)
    return figures


def _word(name: str, value: Value, rule: str, cells: tuple[Place, ...]) -> Callable[[], Explanation]:
    return lambda: words(name, value, rule, cells=cells)


def _with(make: Callable[..., Explanation], *given: object) -> Callable[[], Explanation]:
    return lambda: make(*given)
