"""What parts leave, by bands of what a unit costs.

Sales = agreed price of a unit x units fitted, at most the units agreed; cost = units fitted at their real cost. So a
part fitted beyond what was agreed costs and sells nothing. A part stands in the band of its agreed cost of a unit; a
part that was not agreed in that of its real cost. Savings and discounts are not spread over parts.
Bands: those of the sheet Markup, else those of `USUAL_BANDS`; a band leaves its lower end out.
Units: money, each sum rounded once; share = margin by sales. Source: TRADE 5, bands by unit cost; shop policy.

Example: 3 units of cost 4.00 sold at 7.00, 2 agreed: sales 14.00, cost 12.00, margin 2.00.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import PartsBand, PartsMargin
from quotekit.model.shop_book import ShopBook
from quotekit.money import round_to
from quotekit.pricing.review.material import UsedUnits

Ends = tuple[Decimal, Decimal | None]

USUAL_BANDS: tuple[Ends, ...] = (
    (Decimal(0), Decimal(5)),
    (Decimal(5), Decimal(20)),
    (Decimal(20), Decimal(50)),
    (Decimal(50), Decimal(150)),
    (Decimal(150), None),
)
"""In the shop's currency, where no shop book is given."""


def parts_margin(jobs: Iterable[Sequence[UsedUnits]], book: ShopBook | None, digits: int) -> PartsMargin:
    """Over all jobs that are no comebacks."""
    bands = bands_of(book)
    sums: dict[Ends, list[tuple[Fraction, Fraction]]] = {band: [] for band in bands}
    unknown, lost = 0, Fraction(0)
    for part in (part for parts in jobs for part in parts if part.actual_quantity):
        sales = _sales(part)
        band = _band_of(part.standard_cost, bands)
        if band is None or part.actual_cost is None:
            unknown += 1
            lost += sales
        else:
            sums[band].append((sales, part.actual_quantity * part.actual_cost))
    return PartsMargin(
        bands=tuple(_band(band, each, digits) for band, each in sums.items()),
        from_book=book is not None and bool(book.markup),
        cost_unknown=unknown,
        sales_unknown=round_to(lost, digits),
    )


def bands_of(book: ShopBook | None) -> tuple[Ends, ...]:
    """The bands of a book, lowest first."""
    if book is None or not book.markup:
        return USUAL_BANDS
    rows = sorted(book.markup, key=lambda row: row.cost_over)
    return tuple((row.cost_over, row.cost_up_to) for row in rows)


def _sales(part: UsedUnits) -> Fraction:
    if part.agreed is None:
        return Fraction(0)
    return Fraction(part.agreed.unit_price) * min(part.actual_quantity, part.standard_quantity)


def _band_of(cost: Fraction | None, bands: Sequence[Ends]) -> Ends | None:
    if cost is None:
        return None
    return next((band for band in bands if cost > band[0] and (band[1] is None or cost <= band[1])), None)


def _band(band: Ends, each: Sequence[tuple[Fraction, Fraction]], digits: int) -> PartsBand:
    sales = sum((sold for sold, _ in each), Fraction(0))
    cost = sum((bought for _, bought in each), Fraction(0))
    return PartsBand(
        over=band[0],
        up_to=band[1],
        lines=len(each),
        sales=round_to(sales, digits),
        cost=round_to(cost, digits),
        margin=round_to(sales - cost, digits),
        share=round_to((sales - cost) / sales, 4) if sales else None,
    )
