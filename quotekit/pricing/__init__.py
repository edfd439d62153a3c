"""The rules of pricing: pure functions from a shop book and a job to a quote."""

from quotekit.pricing.build_quote import build_quote, price_combination
from quotekit.pricing.check_book import check_book

__all__ = ["build_quote", "check_book", "price_combination"]
