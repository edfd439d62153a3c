"""How a tier's choice was made, in words for the shop: how many choices there were, and what shows it is the best."""

from __future__ import annotations

from quotekit.documents.money_text import money_text
from quotekit.model.quote import PricedTier, Quote

LONGEST_COUNT = 9
"""Digits of a count that people still read."""


def count_words(count: int) -> str:
    """A count as people read it; a very large one by its size, cut short and never too large.

    >>> count_words(12345), count_words(219_847_194_522)
    ('12,345', 'over 2.1 x 10^11')
    """
    digits = str(count)
    if len(digits) <= LONGEST_COUNT:
        return f"{count:,}"
    return f"over {digits[0]}.{digits[1]} x 10^{len(digits) - 1}"


def choice_words(tier: PricedTier, quote: Quote) -> str:
    """One or two sentences: choices compared, or choices there were with the proof."""
    proof = tier.proof
    if proof is None or proof.method != "integer model":
        return "1 choice compared." if tier.compared == 1 else f"{count_words(tier.compared)} choices compared."
    counted = (
        f"{count_words(int(proof.choices))} choices" if proof.choices.isdigit() else "More choices than can be counted"
    )
    priced = f"{counted}; {proof.priced} of them priced."
    if proof.gap:
        gap = money_text(proof.gap, quote.currency, quote.book.settings.language)
        return f"{priced} The best found in time: another may be up to {gap} better."
    if not proof.settled:
        return f"{priced} None is better; others as good were not all told apart in time."
    return f"{priced} An exact bound on all others shows that none is better."
