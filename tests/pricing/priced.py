"""Price some work of a small book without choosing: what the tests of the single rules stand on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, localcontext
from typing import Any

from quotekit.model.job import FoundFinding, Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote
from quotekit.pricing.basis import Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.items import Item, extra_item, operation_item, remedy_item
from quotekit.pricing.setup import Setup, set_up
from tests import build


@dataclass(frozen=True)
class Priced:
    """A set of items with the Always work of the machine class, and all its charges."""

    setup: Setup
    charges: Charges

    @property
    def basis(self) -> Basis:
        """What it is priced on."""
        return self.setup.basis


def price(book: ShopBook, *keys: str, job: Job | None = None) -> Priced:
    """Charges of remedies, extras, operations and one-off lines named by `CODE` or `CODE@side`."""
    with localcontext(EXACT):
        setup = set_up(book, job or build.a_job())
        return Priced(setup, setup.price(items_named(setup, keys)))


def items_named(setup: Setup, keys: Iterable[str]) -> list[Item]:
    """The items of these keys; a code that is no remedy, extra or one-off line is an operation."""
    return [_item_named(setup, key) for key in keys]


def _item_named(setup: Setup, key: str) -> Item:
    code, _, side = key.partition("@")
    book, at = setup.basis.book, side or None
    lines = {item.code: item for item in setup.one_offs}
    if code in lines:
        return lines[code]
    if code in book.remedies:
        return remedy_item(setup.basis, book.remedies[code], at)
    if code in book.extras:
        return extra_item(setup.basis, book.extras[code], at)
    return operation_item(setup.basis, code, at)


def first_tier(book: ShopBook, *findings: FoundFinding, **job: Any) -> PricedTier:
    """The first tier of the quote for a job with these findings."""
    return build_quote(book, build.a_job(*findings, **job)).tiers[0]


def texts(*values: Decimal | None) -> list[str]:
    """Amounts as printed: `130.00`; null where there is none."""
    return ["null" if value is None else str(value) for value in values]


def plain(value: Decimal | Any) -> str:
    """Hours or a quantity without trailing zeros: `2.2`."""
    text = f"{Decimal(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def quantities_of(tier: PricedTier) -> dict[str, str]:
    """Quantity of each part line."""
    return {line.part: plain(line.quantity) for line in tier.part_lines}


def keys_of(tier: PricedTier) -> list[str]:
    """Keys of a tier's items."""
    return [item.key for item in tier.items]
