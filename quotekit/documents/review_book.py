"""The review as a workbook, for the shop only: what the jobs left, single jobs, variances, times, quotes, parts."""

from __future__ import annotations

from quotekit.documents.costing_style import LOOKS
from quotekit.documents.money_text import money_format
from quotekit.documents.review_jobs import lay_out_jobs, lay_out_variances
from quotekit.documents.review_quotes import lay_out_parts, lay_out_quotes
from quotekit.documents.review_summary import lay_out_summary
from quotekit.documents.review_times import lay_out_times
from quotekit.documents.sheet import Kind, Properties, WorkbookValue
from quotekit.model.review import Review


def lay_out_review(review: Review) -> WorkbookValue:
    """The whole workbook."""
    sheets = (
        lay_out_summary(review),
        lay_out_jobs(review),
        lay_out_variances(review),
        lay_out_times(review),
        lay_out_quotes(review),
        lay_out_parts(review),
    )
    return WorkbookValue(
        sheets=sheets,
        properties=Properties(
            title="Review", subject="For the shop only", author=review.shop_name, created=review.span.last
        ),
        formats=review_formats(review),
        looks=LOOKS,
    )


def review_formats(review: Review) -> dict[Kind, str]:
    """Number formats by kind."""
    return {
        "money": money_format(review.currency or "USD", review.language),
        "number": "General",
        "hours": "#,##0.00",
        "percent": "0.0%",
        "date": "yyyy-mm-dd",
    }
