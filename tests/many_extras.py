"""A job with as many extras as wanted, each with its own work and part, to see how a quote grows."""

from __future__ import annotations

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests import build


def job_with_extras(count: int) -> tuple[ShopBook, Job]:
    """Three options for one worn bushing and a frayed belt, and `count` extras beside them."""
    numbers = range(1, count + 1)
    book = build.a_book(
        settings=build.settings(freight_to_customer="this job alone", minimum_labour_hours="1", hours_step="0.1"),
        labour_rates=[build.a_rate(rate=95), build.a_rate("WELD", rate=120)],
        conditions=[build.a_condition(at_most_hours="2")],
        machines=[build.a_machine()],
        access=[build.a_step("HOUSING"), build.a_step("COVER", needs=["HOUSING"])],
        operations=[
            build.an_operation("FIT-BUSHING", "0.6", each_side=True, parts="BUSHING", access=["COVER"]),
            build.an_operation("FIT-BELT", "0.4", parts="BELT", access=["HOUSING"], slowed_by_rust=True),
            *(_operation(number) for number in numbers),
        ],
        parts=[build.a_part("BUSHING", 8), build.a_part("BELT", 19), *(_part(number) for number in numbers)],
        suppliers=[build.a_supplier("NORTH", freight=9), build.a_supplier("SOUTH", freight=7)],
        markup=[build.a_band(0, 20, "0.6"), build.a_band(20, None, "0.4")],
        findings=[build.a_finding("WORN"), build.a_finding("FRAYED", "advised")],
        remedies=[
            build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT-BUSHING"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"]),
        ],
        extras=[build.an_extra(f"EXTRA-{number}", [f"OP-{number}"]) for number in numbers],
        bundles=[build.a_bundle("PAIR", ["EXTRA-1", "NEW-BELT"], "parts amount off", 2)] if count else [],
        fees=[build.a_fee("DISPOSAL", 4, applies_to=["FIT-BELT"])],
        taxes=[build.a_tax(rate="0.07", charges=["parts"]), build.a_tax("CITY", "0.02", ["all"])],
        tiers=[build.a_tier("good"), build.a_tier("better", ["safety", "needed", "advised"], "least to own")],
    )
    job = build.a_job(
        build.found(book, "WORN", "left"),
        build.found(book, "FRAYED"),
        condition="RUSTY",
        extras=[build.a_job_extra(f"EXTRA-{number}") for number in numbers],
    )
    return book, job


def _operation(number: int) -> object:
    hours, step = f"{0.1 + number % 7 / 10:.1f}", ("HOUSING", "COVER")[number % 2]
    return build.an_operation(
        f"OP-{number}", hours, parts=f"PART-{number}", access=[step], slowed_by_rust=number % 3 == 0
    )


def _part(number: int) -> object:
    return build.a_part(f"PART-{number}", f"{3 + number}.{number % 10}5", supplier=("NORTH", "SOUTH")[number % 2])
