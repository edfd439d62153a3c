"""A costing beside the jobs, as the quote that was given: what its options came to, as it travels and is kept."""

from __future__ import annotations

import json
from decimal import Decimal

from quotekit.model.batch import Given, TierGiven
from quotekit.model.comparison import FigureName
from quotekit.workbook.package import Package
from quotekit.workbook.read_costing import ReadCosting, read_costing

_NAMES = ("total", "subtotal")


def costing_figures(package: Package) -> str:
    """What a costing says of each option it offers, as JSON; empty where it can't be read back."""
    costing, _ = read_costing(package)
    if costing is None or not costing.version.isdecimal():
        return ""
    tiers = [name.tier for name, figure in costing.figures.items() if name.figure == "offered" and figure.text == "yes"]
    figures = {tier: _tier(costing, tier) for tier in tiers if tier is not None}
    valid = costing.figures.get(FigureName(costing.job, None, "valid_until"))
    return json.dumps(
        [costing.job, int(costing.version), valid.text if valid else "", costing.setting("Currency"), figures]
    )


def given_in(figures: str) -> tuple[tuple[str, int], Given] | None:
    """Job number and version of a costing, and the quote it tells of; None where it offers nothing."""
    if not figures:
        return None
    job, version, valid, currency, tiers = json.loads(figures)
    if not tiers:
        return None
    options = {
        code: TierGiven(total=_amount(tier[0]), subtotal=_amount(tier[1]), items=frozenset(tier[2]))
        for code, tier in tiers.items()
    }
    return (job, version), Given(origin="its costing", tiers=options, valid_until=valid or "", currency=currency)


def _tier(costing: ReadCosting, tier: str) -> list[object]:
    numbers = []
    for name in _NAMES:
        figure = costing.figures.get(FigureName(costing.job, tier, name))
        numbers.append(None if figure is None or figure.number is None else f"{figure.number:f}")
    items = costing.figures.get(FigureName(costing.job, tier, "items"))
    return [*numbers, [] if items is None or not items.text else items.text.split("; ")]


def _amount(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
