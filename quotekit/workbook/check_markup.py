"""Prices that cannot be worked out or look wrong: bands with gaps or overlaps, parts in no band (DESIGN.md 5.4)."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.shop_book import MarkupBand, Part
from quotekit.problems import Place, Problem, error, warning

Band = tuple[Fraction, Fraction | None]


def check_bands(bands: Sequence[MarkupBand]) -> list[Problem]:
    """No gap and no overlap from the lowest band to the highest."""
    problems = [_empty(band) for band in bands if band.cost_up_to is not None and band.cost_up_to <= band.cost_over]
    ordered = sorted((band for band in bands if _holds_something(band)), key=lambda band: band.cost_over)
    for before, band in itertools.pairwise(ordered):
        if before.cost_up_to is None or band.cost_over < before.cost_up_to:
            problems.append(_overlap(before, band))
        elif band.cost_over > before.cost_up_to:
            problems.append(_gap(before.cost_up_to, band))
    return problems


def check_part_prices(parts: Iterable[Part], bands: Sequence[Band] | None) -> list[Problem]:
    """Each part has a price: a band for its unit cost, or a fixed price; and none is sold below cost unseen.

    Bands are None where Markup could not be read: then no part is blamed for it.
    """
    return [problem for part in parts for problem in _check_part(part, bands)]


def exact_bands(bands: Iterable[MarkupBand]) -> list[Band]:
    """Bands as exact fractions."""
    return [
        (Fraction(band.cost_over), None if band.cost_up_to is None else Fraction(band.cost_up_to)) for band in bands
    ]


def in_a_band(unit_cost: Fraction, bands: Iterable[Band]) -> bool:
    """True when a cost is above the start of a band and not above its end.

    >>> in_a_band(Fraction(5), [(Fraction(0), Fraction(5))]), in_a_band(Fraction(0), [(Fraction(0), None)])
    (True, False)
    """
    return any(over < unit_cost and (up_to is None or unit_cost <= up_to) for over, up_to in bands)


def check_unit_cost(
    unit_cost: Fraction, bands: Sequence[Band] | None, place: Place, name: str, text: str
) -> Problem | None:
    """A unit cost without a fixed price must be above zero and lie in a band."""
    if unit_cost == 0:
        return error(
            place,
            "zero-cost",
            f"{name} costs nothing, so it has no price",
            "Type what it costs, or give it a fixed price.",
            text,
        )
    if bands is not None and not in_a_band(unit_cost, bands):
        return error(
            place,
            "no-markup-band",
            f"the unit cost of {name}, {_shown(unit_cost)}, lies in no band of Markup",
            "Add a band that holds it, or give it a fixed price.",
            text,
        )
    return None


def _check_part(part: Part, bands: Sequence[Band] | None) -> list[Problem]:
    unit_cost = Fraction(part.pack_cost) / Fraction(part.pack_quantity)
    if part.fixed_price_each is not None:
        return [_below("fixed", part, "Fixed price each", unit_cost)] if part.fixed_price_each < unit_cost else []
    found = check_unit_cost(unit_cost, bands, part.source.place("Pack cost"), part.code, f"{part.pack_cost:f}")
    problems = [found] if found is not None else []
    if part.list_price_each is not None and part.list_price_each < unit_cost:
        problems.append(_below("list", part, "List price each", unit_cost))
    return problems


def _below(kind: str, part: Part, column: str, unit_cost: Fraction) -> Problem:
    price = part.fixed_price_each if kind == "fixed" else part.list_price_each
    happens = "it is sold at a loss" if kind == "fixed" else "the cost is charged instead"
    return warning(
        part.source.place(column),
        "price-below-cost",
        f"the {kind} price of {part.code}, {price:f}, is below its unit cost {_shown(unit_cost)}: {happens}",
        f"Check {column} and Pack cost.",
        f"{price:f}",
    )


def _shown(value: Fraction) -> str:
    rounded = (Decimal(value.numerator) / Decimal(value.denominator)).quantize(Decimal("0.0001"))
    return f"{rounded.normalize():f}"


def _holds_something(band: MarkupBand) -> bool:
    return band.cost_up_to is None or band.cost_up_to > band.cost_over


def _empty(band: MarkupBand) -> Problem:
    return error(
        band.source.place("Cost up to"),
        "empty-band",
        f"the band over {band.cost_over:f} ends at {band.cost_up_to:f}, so it holds nothing",
        "Make Cost up to larger than Cost over.",
        f"{band.cost_up_to:f}",
    )


def _overlap(before: MarkupBand, band: MarkupBand) -> Problem:
    end = "without end" if before.cost_up_to is None else f"up to {before.cost_up_to:f}"
    return error(
        band.source.place("Cost over"),
        "band-overlap",
        f"the band over {band.cost_over:f} overlaps the one over {before.cost_over:f} {end} (row {before.source.row})",
        "Start each band where the one before ends.",
        f"{band.cost_over:f}",
    )


def _gap(end: Decimal, band: MarkupBand) -> Problem:
    return error(
        band.source.place("Cost over"),
        "band-gap",
        f"no band holds a cost over {end:f} up to {band.cost_over:f}",
        f"Start this band at {end:f}, or add one between.",
        f"{band.cost_over:f}",
    )
