"""The shop's costing as one workbook value: a summary, the reasons, a sheet a tier, and the cell of each input.

It holds costs, margins and suppliers: never for the customer.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from quotekit.documents.cell_links import Addresses
from quotekit.documents.costing_explained import Trees, lay_out_explained
from quotekit.documents.costing_inputs import lay_out_inputs
from quotekit.documents.costing_reasons import lay_out_reasons
from quotekit.documents.costing_style import LOOKS, formats
from quotekit.documents.costing_summary import lay_out_summary
from quotekit.documents.costing_tier import lay_out_tier
from quotekit.documents.sheet import Properties, Sheet, WorkbookValue
from quotekit.model.quote import Quote
from quotekit.problems import Problem

SUMMARY, REASONS, INPUTS, EXPLAINED = "Summary", "Reasons and warnings", "Inputs", "Every number"
REPLACE = "Repair or replace"
YEARS = "Over the years"
WHY = "Why these options"
LONGEST_NAME = 31


def lay_out_costing(
    quote: Quote,
    problems: Iterable[Problem] | None = None,
    *,
    trees: Trees | None = None,
    addresses: Addresses | None = None,
) -> WorkbookValue:
    """The whole workbook; `problems` are those of both workbooks and the engine, by default the engine's alone.

    With `trees` a sheet tells every number; with `addresses` of the workbooks cells that are named lead there.
    """
    listed = tuple(quote.problems if problems is None else problems)
    names = sheet_names([tier.name for tier in quote.tiers])
    job = quote.job
    return WorkbookValue(
        sheets=(
            lay_out_summary(quote, listed, SUMMARY),
            lay_out_reasons(quote, listed, REASONS),
            *(lay_out_tier(quote, tier, name) for tier, name in zip(quote.tiers, names, strict=True)),
            *_why(quote),
            *_over_years(quote),
            *_weighed(quote),
            *([lay_out_explained(quote, trees, EXPLAINED, addresses or {})] if trees else []),
            lay_out_inputs(quote, INPUTS, addresses or {}),
        ),
        properties=Properties(
            title=f"Costing {job.job_number}-{job.version}",
            subject="For the shop only",
            author=quote.book.settings.shop_name,
            created=job.quote_date,
        ),
        formats=formats(quote),
        looks=LOOKS,
    )


def _why(quote: Quote) -> tuple[Sheet, ...]:
    """Why each option takes what it takes, where that was worked out."""
    if not any(tier.why for tier in quote.tiers):
        return ()
    from quotekit.documents.costing_why import lay_out_why

    return (lay_out_why(quote, WHY),)


def _over_years(quote: Quote) -> tuple[Sheet, ...]:
    """What comes round when, where a tier could be worked out."""
    from quotekit.documents.costing_years import lay_out_years

    laid_out = lay_out_years(quote, YEARS)
    return () if laid_out is None else (laid_out,)


def _weighed(quote: Quote) -> tuple[Sheet, ...]:
    """Repair or replace, where the job gives what a machine is worth."""
    if not quote.job.asks_worth:
        return ()
    from quotekit.documents.costing_replace import lay_out_replace

    laid_out = lay_out_replace(quote, REPLACE)
    return () if laid_out is None else (laid_out,)


_NOT_IN_A_NAME = "[]:*?/\\\ufffe\uffff"
_ESCAPE = re.compile("_x[0-9A-Fa-f]{4}_")
"""How a workbook writes a letter that it can't hold as it is: taken for that letter wherever it stands."""


def sheet_names(tiers: Iterable[str]) -> list[str]:
    """A sheet name a tier: no letter a sheet can't hold, not too long, none twice.

    >>> sheet_names(["Put right", "put right", "Fix: now / later", "Summary"])
    ['Put right', 'put right 2', 'Fix  now   later', 'Summary 2']
    """
    ours = (SUMMARY, REASONS, INPUTS, REPLACE, YEARS, WHY, EXPLAINED, "history")
    taken = {name.lower() for name in ours}
    names: list[str] = []
    for tier in tiers:
        plain = _ESCAPE.sub(" ", tier)
        cleaned = "".join(" " if letter in _NOT_IN_A_NAME or ord(letter) < 32 else letter for letter in plain).strip(
            " '"
        )
        base, count = cleaned[:LONGEST_NAME].strip(" '") or "Tier", 1
        name = base
        while name.lower() in taken:
            count += 1
            name = f"{base[: LONGEST_NAME - len(str(count)) - 1]} {count}"
        taken.add(name.lower())
        names.append(name)
    return names
