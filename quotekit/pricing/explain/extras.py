"""What is offered beside a tier as trees: the exact difference, the most, and the tier with it (5.8)."""

from __future__ import annotations

from collections.abc import Callable

from quotekit.model.explanation import Explanation
from quotekit.model.quote import OfferedExtra
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import totals as of_totals
from quotekit.pricing.explain.at_most import at_most
from quotekit.pricing.explain.taxes import TaxTold
from quotekit.pricing.explain.told import Told, cell, cells_in, elsewhere, listed, words
from quotekit.pricing.extras import FOUND, LISTED, price_beside
from quotekit.pricing.items import Item
from quotekit.pricing.totals import Totals, totals_of
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]


def extra_figures(told: Told, offer: OfferedExtra, item: Item, name: str, upgrade: Explanation) -> Figures:
    """`extras.CODE.*` of one offer; `name` is `extras.CODE`."""
    beside = _Beside(told, item, name, upgrade)
    cells = _own_cells(told, offer)
    return {
        f"{name}.extra": lambda: words(
            f"{name}.extra", offer.extra, f"{offer.name}: {offer.why} (rules 5.8).", cells=cells
        ),
        f"{name}.kind": lambda: words(
            f"{name}.kind", offer.kind, "From the sheet of extras, or of remedies.", cells=cells
        ),
        f"{name}.why": lambda: words(f"{name}.why", offer.why, _why(offer), cells=cells),
        f"{name}.price": lambda: _price(told, offer, beside.told, f"{name}.price"),
        f"{name}.at_most": lambda: at_most(f"{name}.at_most", item, beside.told, offer.at_most),
        f"{name}.work": lambda: of_charges.work(beside.told),
        f"{name}.subtotal": lambda: of_totals.subtotal(beside.told, beside.totals),
        f"{name}.tax": lambda: of_totals.tax(beside.told, beside.totals, beside.taxes),
        f"{name}.total": lambda: of_totals.total(beside.told, beside.totals, beside.taxes),
    }


class _Beside:
    """The tier with an offer, priced when it is first looked at."""

    def __init__(self, told: Told, item: Item, name: str, upgrade: Explanation) -> None:
        self._of, self._item, self._name, self._upgrade = told, item, name, upgrade
        self._told: Told | None = None

    @property
    def told(self) -> Told:
        """Its charges laid open."""
        if self._told is None:
            together = price_beside(self._of.setup, self._of.charges, [self._item])
            suffix = f" (with {self._name.partition('.')[2]})"
            names = {figure: f"{self._name}.{figure}" for figure in ("work", "subtotal", "tax", "total")}
            self._told = Told(setup=self._of.setup, charges=together, beside=self._of, suffix=suffix, own_names=names)
        return self._told

    @property
    def totals(self) -> Totals:
        """Its totals; upgrade labour stays that of the tier, at most the labour there is."""
        amount = self.upgrade.number
        return totals_of(self._of.basis, self.told.charges, amount)  # type: ignore[arg-type]

    @property
    def upgrade(self) -> Explanation:
        """Upgrade labour of the tier, at most the labour with the extra."""
        from quotekit.pricing.explain.tier import upgrade_within

        return upgrade_within(self.told, self._upgrade)

    @property
    def taxes(self) -> list[TaxTold]:
        """Its taxes."""
        return of_totals.taxes(self.told, self.totals, self.upgrade)


def _price(told: Told, offer: OfferedExtra, together: Told, name: str) -> Explanation:
    inputs = (of_charges.work(together), elsewhere(told, of_charges.work(told)))
    rule = "Work of the tier with it, less work of the tier (rules 5.8)."
    return told.money.node(name, offer.price, "difference", inputs, rule)


def _why(offer: OfferedExtra) -> str:
    if offer.why == LISTED:
        return "It is on the job's sheet Extras (rules 5.8)."
    if offer.why == FOUND:
        return f"Of the remedies for what the tier leaves ({listed(offer.fixes)}) it adds least work (rules 5.8)."
    return "Every access step it needs is open in this tier already (rules 5.8)."


def _own_cells(told: Told, offer: OfferedExtra) -> tuple[Place, ...]:
    book = told.basis.book
    if offer.kind == "remedy":
        return cells_in(book.remedies[offer.code].source, "Code", "Fixes", "Operations")
    found = cells_in(book.extras[offer.code].source, "Code", "Machine", "Operations")
    rows = [row for row in told.basis.job.extras if row.code == offer.code]
    return (*found, *(place for row in rows for place in cell(row.source, "Extra")))
