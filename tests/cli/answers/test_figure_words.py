"""Names of figures as the shop says them."""

from __future__ import annotations

import pytest

from quotekit.cli.answers.figure_words import figure_words
from quotekit.workbook.read_costing import LABELS
from tests.pricing.explain.cases import EXAMPLES, example_quote, json_figures


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("margin", "Margin (subtotal less cost)"),
        ("parts.SEAL-19.unit_price", "Part SEAL-19, price each"),
        ("parts.A.B.amount", "Part A.B, amount"),
        ("taxes.State tax.base", "State tax, charged on"),
        ("hours.minimum_added", "Hours added by the minimum"),
        ("extras.BELT@left.at_most", "Offered beside it, BELT@left, at most"),
        ("bundles.BOTH.amount", "Saving BOTH, amount"),
        ("declined.total", "What a no costs"),
        ("labour at MAIN", "Labour at MAIN"),
        ("why.levers.0.x", "why.levers.0.x"),
    ],
)
def test_in_words(name: str, words: str) -> None:
    assert figure_words(name) == words


def test_words_of_the_costing_are_used_for_its_figures() -> None:
    """The same line has the same name in the costing and here."""
    assert all(figure_words(figure) == label for label, figure in LABELS.items())


def test_no_figure_that_a_person_reads_first_is_left_without_words() -> None:
    """Amounts, hours, parts and taxes of a whole job."""
    quote = example_quote(EXAMPLES[0])
    names = [name for name in json_figures(quote, quote.tiers[0]) if name.startswith(("amounts.", "parts.", "taxes."))]
    assert names
    assert [name for name in names if figure_words(name) == name] == []
