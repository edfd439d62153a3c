"""A small made-up shop on Hill Road, for scenarios an owner can check with a pencil: 96.00 an hour, three bands."""

from __future__ import annotations

from typing import Any

from quotekit.model.job import FoundFinding
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build


def hill_road(**values: Any) -> ShopBook:
    """Two-stage snow thrower. Markup: up to 10 doubles, up to 50 is 60 %, above 35 %. One option by lowest price.

    Opening the auger housing takes 0.4 hours and closing 0.3; the chain case, behind it, 0.2 and 0.2.
    """
    named: dict[str, Any] = {
        "settings": build.settings(shop_name="Hill Road Small Engines"),
        "labour_rates": [build.a_rate("BENCH", 96, 41), build.a_rate("WELD", 120, 55)],
        "markup": [build.a_band(0, 10, 1), build.a_band(10, 50, "0.6"), build.a_band(50, None, "0.35")],
        "machines": [build.a_machine("THROWER"), build.a_machine("TRAILER")],
        "access": [
            build.a_step("HOUSING", "0.4", "0.3"),
            build.a_step("CHAIN-CASE", "0.2", "0.2", needs=["HOUSING"]),
        ],
        "operations": [
            build.an_operation(
                "BUSH", "0.6", second_side_hours="0.4", each_side=True, access=["HOUSING"], parts="BUSH x 2"
            ),
            build.an_operation("BELT", "0.3", access=["HOUSING"], parts="BELT"),
            build.an_operation("SEAL", "0.5", access=["CHAIN-CASE"], parts="SEAL"),
            build.an_operation("SHOES", "0.2", parts="SHOE x 2"),
        ],
        "parts": [
            build.a_part("BUSH", 12, 4),
            build.a_part("BELT", 20),
            build.a_part("SEAL", "4.50"),
            build.a_part("SHOE", 15, 2),
        ],
        "findings": [build.a_finding(code) for code in ("WORN-BUSH", "FRAYED-BELT", "LEAKING-SEAL", "WORN-SHOES")],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN-BUSH"], ["BUSH"]),
            build.a_remedy("NEW-BELT", ["FRAYED-BELT"], ["BELT"]),
            build.a_remedy("NEW-SEAL", ["LEAKING-SEAL"], ["SEAL"]),
            build.a_remedy("NEW-SHOES", ["WORN-SHOES"], ["SHOES"]),
        ],
        "tiers": [build.a_tier("mend")],
    }
    return build.a_book(**(named | values))


def with_settings(**values: Any) -> ShopBook:
    """The shop with other settings."""
    return hill_road(settings=build.settings(**values))


def found(*codes: str, **values: Any) -> list[FoundFinding]:
    """Faults written `CODE` or `CODE@side`."""
    return [build.a_finding_on(code, side or None, **values) for code, _, side in (one.partition("@") for one in codes)]


def quote_for(book: ShopBook, *codes: str, **job: Any) -> Quote:
    """The quote for a thrower with these faults."""
    return build_quote(book, build.a_job(*found(*codes), **job))


def bill_for(book: ShopBook, *codes: str, **job: Any) -> PricedTier:
    """The first option for a thrower with these faults."""
    return quote_for(book, *codes, **job).tiers[0]


def money(tier: PricedTier) -> dict[str, str]:
    """Amounts that are not zero, and the total."""
    names = "labour parts cores sublet savings supplies fees freight inspection inspection_credit".split()
    amounts = {name: str(getattr(tier.amounts, name)) for name in names if getattr(tier.amounts, name)}
    return amounts | ({"tax": str(tier.tax)} if tier.tax else {}) | {"total": str(tier.total)}
