"""From work to the total, each part worked out when it is asked for, by the engine's own rules.

A tax takes along the charges it falls on and no others, where it does not treat upgrade labour apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.quote import TaxLine
from quotekit.model.shop_book import Tax
from quotekit.model.watched_reads import KeptValue, keep, kept
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.cells_basis import LateBasis
from quotekit.pricing.explain.cells_charges import LateCharges, without
from quotekit.pricing.shares import shares_of
from quotekit.pricing.taxes import (
    UPGRADE,
    ChargeLine,
    charge_lines,
    rate_on,
    split_upgrade,
    tax_on,
    tax_total,
    taxes_in_force,
    upgrade_labour,
)
from quotekit.pricing.totals import inspection_credit, inspection_fee


class LateLines(NamedTuple):
    """Lines of one kind of charge, worked out when they are asked for."""

    charge: str
    fee: str
    lines: Callable[[], Sequence[ChargeLine]]


class LateTotals:
    """What the customer pays. `of_tier` gives the upgrade labour where extras are added to a tier."""

    def __init__(self, basis: LateBasis, charges: LateCharges, of_tier: LateTotals | None = None) -> None:
        self.basis, self.seen, self.charges, self._of_tier = basis, basis.seen, charges, of_tier
        self._taxes: dict[str, KeptValue[TaxLine | None]] = {}

    @kept("inspection")
    def inspection(self) -> Decimal:
        """The inspection fee."""
        return inspection_fee(self.basis)

    @kept("inspection credit")
    def credit(self) -> Decimal:
        """What of it is given back; only a rule by amount looks at the work."""
        by_amount = isinstance(self.basis.book.settings.inspection_fee_credited, Decimal)
        return inspection_credit(self.basis, self.inspection, self.charges.total if by_amount else ZERO)

    @property
    def subtotal(self) -> Decimal:
        """Before tax."""
        return self.charges.total + self.inspection + self.credit

    @kept("taxes in force")
    def _in_force(self) -> dict[str, list[Tax]]:
        return taxes_in_force(self.basis)

    @kept("upgrade labour")
    def upgrade(self) -> Decimal:
        """Upgrade labour of the tier."""
        if self._of_tier is not None:
            return self._of_tier.upgrade
        alone = without(self.charges, parts=(), sublet={})
        return upgrade_labour(self.charges.whole, shares_of(self.basis, alone, self.charges.users))

    def tax_named(self, name: str) -> TaxLine | None:
        """One tax; None where it has no base."""
        known = self._taxes.get(name)
        if known is None:
            known = self._taxes[name] = keep(self.seen, "tax", lambda: self._tax_named(name))
        return known.use(self.seen)

    def _tax_named(self, name: str) -> TaxLine | None:
        rows = self._in_force[name]
        if any(UPGRADE in row.charges for row in rows):
            lines = charge_lines(self.charges.whole, self.inspection, self.credit)
            upgrade = min(self.upgrade, self.charges.labour_total)
            return tax_on(self.basis, name, rows, split_upgrade(lines, upgrade, rows, self.basis.digits))
        charged = (kind for kind in self._kinds() if rate_on(rows, ChargeLine(kind.charge, ZERO, kind.fee)))
        return tax_on(self.basis, name, rows, [line for kind in charged for line in kind.lines()])

    @property
    def tax(self) -> Decimal:
        """All taxes together."""
        found = [self.tax_named(name) for name in self._in_force]
        return round_to(tax_total(line for line in found if line is not None), self.basis.digits)

    @property
    def total(self) -> Decimal:
        """To pay."""
        return self.subtotal + self.tax

    def _kinds(self) -> Iterator[LateLines]:
        """The lines of `charge_lines`, kind by kind."""
        charges = self.charges
        yield _line("labour", lambda: (*charges.labour.values(), charges.minimum))
        for part in charges.parts:
            yield _line(part.taxed_as, lambda part=part: (part.amount,))  # type: ignore[misc]
        yield _line("cores", lambda: [part.core for part in charges.parts])
        yield _line("sublet", lambda: charges.sublet.values())
        for charge in ("labour", "parts"):
            yield _line(charge, lambda at=charge: self._savings(at))  # type: ignore[misc]
        yield _line("supplies", lambda: (charges.supplies,))
        for fee in charges.fees:
            yield _line("fees", lambda fee=fee: (fee.amount,), fee.key if fee.fee else "")  # type: ignore[misc]
        yield _line("freight", lambda: charges.freight.values())
        yield _line("inspection", lambda: (self.inspection, self.credit))

    def _savings(self, charge: str) -> list[Decimal]:
        return [-saving.amount for saving in self.charges.savings if saving.charge == charge]


def _line(
    charge: str, amounts: Callable[[], Iterator[Decimal] | Sequence[Decimal] | object], fee: str = ""
) -> LateLines:
    return LateLines(charge, fee, lambda: [ChargeLine(charge, amount, fee) for amount in amounts()])  # type: ignore[attr-defined]
