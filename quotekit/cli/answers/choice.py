"""Request `choice`: what an option of the open job comes to with extras taken, as `quotekit choice` prices it."""

from __future__ import annotations

from typing import Any

from quotekit.cli.answers.price import as_named
from quotekit.cli.answers.request import Refused, Words, document, told


def answer(words: Words) -> dict[str, Any]:
    """`{"document", "book", "tier", "extras"}` gives the amounts in order, as texts, and the problems."""
    from quotekit.cli.choice import amount_rows, choose, priced_choice
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.quote import price
    from quotekit.problems import has_errors

    with as_named(document(words, "document")) as job, as_named(document(words, "book")) as book:
        quote, problems = price(read_inputs(book, job))
    if quote is None or has_errors(problems):
        raise Refused(problems)
    tier, keys, found = choose(quote, words["tier"], words.get("extras") or [])
    if tier is None or has_errors(found):
        raise Refused([*found, *problems])
    priced = priced_choice(quote, tier, keys)
    rows = [list(row) for row in amount_rows(priced, quote.currency)]
    return {"option": tier.name, "extras": keys, "currency": quote.currency, "rows": rows, "problems": told(problems)}
