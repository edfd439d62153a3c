"""The sheet of the shop book that says what an hour must sell for (DESIGN.md 3, sheet Rate builder)."""

from __future__ import annotations

from quotekit.model.rate import RATE_KINDS
from quotekit.workbook.column import Column, SheetColumns

RATE_BUILDER = SheetColumns(
    name="Rate builder",
    help="What a year costs and how many hours are sold; `quotekit rate` works out the rate. No quote hangs on it.",
    columns=(
        Column(header="Line", required=True, help="What it is. Rows of one person share the name: Owner, Helper."),
        Column(
            header="Amount",
            kind="amount",
            required=True,
            help="Money or hours of a year, or a percentage such as 15%; efficiency up to 200%.",
        ),
        Column(
            header="Kind",
            kind="word",
            required=True,
            words=RATE_KINDS,
            help="Burden is money, or a percentage of the pay of its Line. For parts: what they leave in money, "
            "or their sales on one row and the margin on price on another.",
        ),
    ),
)
