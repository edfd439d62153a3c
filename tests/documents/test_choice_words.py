"""How a choice was made, in words, and counts that no workbook can hold as numbers."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.documents.choice_words import choice_words, count_words
from quotekit.documents.costing import lay_out_costing
from quotekit.model.proof import Proof
from tests.pricing.explain.cases import EXAMPLES, example_quote

QUOTE = example_quote(EXAMPLES[0])
GOOD = QUOTE.tiers[0]


def a_proof(**values: object) -> Proof:
    """A proof by the integer model."""
    found = Proof(method="integer model", choices="4096", priced=3, bound=Decimal("12.00"), gap=Decimal("0.00"))
    return replace(found, **values)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (0, "0"),
        (999, "999"),
        (1000, "1,000"),
        (999_999_999, "999,999,999"),
        (1_000_000_000, "over 1.0 x 10^9"),
        (1_999_999_999, "over 1.9 x 10^9"),
        (4**400, "over 6.6 x 10^240"),
    ],
)
def test_a_count_is_read_by_people(count: int, words: str) -> None:
    """Cut short and never rounded up: `over` has to be true."""
    assert count_words(count) == words


@pytest.mark.parametrize(
    ("proof", "compared", "words"),
    [
        (None, 7, "7 choices compared."),
        (a_proof(method="enumeration"), 1, "1 choice compared."),
        (a_proof(), 4096, "4,096 choices; 3 of them priced. An exact bound on all others shows that none is better."),
        (
            a_proof(choices="not counted"),
            3,
            "More choices than can be counted; 3 of them priced. "
            "An exact bound on all others shows that none is better.",
        ),
        (
            a_proof(gap=Decimal("15.50"), settled=False),
            3,
            "4,096 choices; 3 of them priced. The best found in time: another may be up to $15.50 better.",
        ),
        (
            a_proof(settled=False),
            3,
            "4,096 choices; 3 of them priced. None is better; others as good were not all told apart in time.",
        ),
    ],
)
def test_the_shop_reads_how_sure_a_choice_is(proof: Proof | None, compared: int, words: str) -> None:
    """A choice that is not proven never reads as one that is."""
    assert choice_words(replace(GOOD, proof=proof, compared=compared), QUOTE) == words


def test_the_costing_of_a_very_large_job_can_be_written() -> None:
    """A workbook holds 15 digits; the choices of a hundred findings have sixty."""
    many = 4**100
    large = replace(GOOD, compared=many, proof=a_proof(choices=str(many)))
    book = lay_out_costing(replace(QUOTE, tiers=(large, *QUOTE.tiers[1:])), ())
    numbers: list[int | Decimal] = [
        cell.content
        for sheet in book.sheets
        for row in sheet.rows
        for cell in row.cells
        if isinstance(cell.content, int | Decimal)
    ]
    assert len(numbers) > 100 and max(abs(number) for number in numbers) < 10**12
