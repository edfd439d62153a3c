"""What is offered beside a tier: extras, and faults it leaves (DESIGN.md 5.8 and 5.9).

An auger bearing behind a cover is replaced; while the cover is open, other work costs no access.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import OfferedExtra
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.pricing.priced import keys_of


def a_book(**values: Any) -> ShopBook:
    """A bearing of one hour behind a cover of half an hour, and nothing to offer."""
    return build.a_book(
        **{
            "access": [build.a_step("COVER"), build.a_step("DECK"), build.a_step("FLAP", each_side=True)],
            "operations": [
                build.an_operation("FIT-BEARING", 1, access=["COVER"]),
                build.an_operation("GREASE", access=["COVER"]),
                build.an_operation("SCRAPE", access=["COVER", "DECK"]),
                build.an_operation("WASH"),
                build.an_operation("SHIM", each_side=True, access=["COVER"]),
                build.an_operation("FIT-FLAP", each_side=True, access=["FLAP"]),
                build.an_operation("OIL-FLAP", each_side=True, access=["FLAP"]),
                build.an_operation("SEAL", 1, access=["COVER"]),
            ],
            "findings": [
                build.a_finding("NOISY"),
                build.a_finding("FLAP", "needed"),
                build.a_finding("LEAK", "advised"),
            ],
            "remedies": [
                build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"]),
                build.a_remedy("NEW-FLAP", ["FLAP"], ["FIT-FLAP"]),
            ],
            "tiers": [build.a_tier("good", ["safety", "needed"])],
        }
        | values
    )


def offers(book: ShopBook, *findings: Any, **job: Any) -> list[OfferedExtra]:
    """What is offered beside the first tier; the bearing is noisy unless told otherwise."""
    found = findings or (build.a_finding_on("NOISY"),)
    return list(build_quote(book, build.a_job(*found, **job)).tiers[0].extras)


def listed(found: list[OfferedExtra]) -> list[tuple[str, str]]:
    """Keys and reasons."""
    return [(offer.extra, offer.why) for offer in found]


OPEN, LISTED, FOUND = "while it is open", "on the job's list", "found, not in this option"


@pytest.mark.parametrize(
    ("operations", "why"),
    [
        (["GREASE"], OPEN),
        (["SCRAPE"], None),  # needs the deck off too
        (["WASH"], None),  # needs no access: only if the job lists it
        (["GREASE", "WASH"], OPEN),
        (["FIT-BEARING"], None),  # done anyway
        (["GREASE", "FIT-BEARING"], None),  # some of it done anyway
    ],
)
def test_what_is_offered_while_it_is_open(operations: list[str], why: str | None) -> None:
    """None of its work is in the tier, and every step it needs is already open."""
    book = a_book(extras=[build.an_extra("MORE", operations)])
    assert listed(offers(book)) == ([("MORE", why)] if why else [])


@pytest.mark.parametrize(("machines", "is_offered"), [([], True), (["THROWER"], True), (["TRAILER"], False)])
def test_an_open_extra_must_be_for_this_machine_class(machines: list[str], is_offered: bool) -> None:
    """Blank means all."""
    book = a_book(extras=[build.an_extra("GREASED", ["GREASE"], machines=machines)])
    assert bool(offers(book)) == is_offered


@pytest.mark.parametrize("operations", [["GREASE"], ["SCRAPE"], ["WASH"]])
def test_an_extra_on_the_jobs_list_is_offered_whatever_is_open(operations: list[str]) -> None:
    """The technician or the customer wants to know its price."""
    book = a_book(extras=[build.an_extra("MORE", operations)])
    assert listed(offers(book, extras=[build.a_job_extra("MORE")])) == [("MORE", LISTED)]


def test_an_extra_that_was_asked_for_is_in_the_tier_and_not_beside_it() -> None:
    """Asked means yes."""
    book = a_book(extras=[build.an_extra("GREASED", ["GREASE"])])
    job = build.a_job(build.a_finding_on("NOISY"), extras=[build.a_job_extra("GREASED", asked=True)])
    tier = build_quote(book, job).tiers[0]
    assert (keys_of(tier), tier.extras) == (["BEARING", "GREASED"], ())


def test_the_price_is_the_difference_it_makes() -> None:
    """1.5 h without, 2.0 h with grease: 50.00 more; with the deck, 0.5 + 0.5 h."""
    book = a_book(extras=[build.an_extra("GREASED", ["GREASE"]), build.an_extra("SCRAPED", ["SCRAPE"])])
    found = offers(book, extras=[build.a_job_extra("SCRAPED")])
    assert [(offer.extra, str(offer.price), str(offer.work)) for offer in found] == [
        ("GREASED", "50.00", "200.00"),
        ("SCRAPED", "100.00", "250.00"),
    ]


def test_the_price_may_be_zero_inside_the_minimum() -> None:
    """The minimum of three hours is paid anyway; printed is what it may add at most, 50.00."""
    book = a_book(extras=[build.an_extra("GREASED", ["GREASE"])], settings=build.settings(minimum_labour_hours=3))
    assert [(str(offer.price), str(offer.at_most)) for offer in offers(book)] == [("0.00", "50.00")]


@pytest.mark.parametrize(
    ("operation", "sides"),
    [("SHIM", ["left", "right"]), ("OIL-FLAP", ["left"])],
)
def test_a_sided_extra_is_offered_once_per_side_that_is_open(operation: str, sides: list[str]) -> None:
    """The left flap is off; behind the cover, which has no side, both can be done."""
    book = a_book(extras=[build.an_extra("MORE", [operation])])
    found = offers(book, build.a_finding_on("NOISY"), build.a_finding_on("FLAP", "left"))
    assert listed(found) == [(f"MORE@{side}", OPEN) for side in sides]


def test_work_that_larger_work_includes_is_not_offered() -> None:
    """Fitting the bearing includes greasing, also where the job lists it."""
    book = a_book(
        operations=[
            build.an_operation("FIT-BEARING", 1, access=["COVER"], includes=["GREASE"]),
            build.an_operation("GREASE", access=["COVER"]),
        ],
        extras=[build.an_extra("GREASED", ["GREASE"])],
        remedies=[build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"])],
    )
    assert offers(book) == []
    assert offers(book, extras=[build.a_job_extra("GREASED")]) == []


LEAK = build.a_finding_on("LEAK", severity="advised")
NOISY = build.a_finding_on("NOISY")


def with_seals(**values: Any) -> ShopBook:
    """The bearing, and two ways to stop a leak that the tier leaves: one hour inside, half an hour outside."""
    return a_book(
        **{
            "remedies": [
                build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"]),
                build.a_remedy("NEW-SEAL", ["LEAK"], ["SEAL"]),
                build.a_remedy("PASTE", ["LEAK"], ["WASH"]),
            ]
        }
        | values
    )


def test_a_fault_the_tier_leaves_is_offered_its_least_work() -> None:
    """Half an hour against one; taking it marks the leak fixed."""
    book = with_seals()
    found = offers(book, NOISY, LEAK)
    assert [(offer.extra, offer.kind, offer.why, offer.fixes, str(offer.price)) for offer in found] == [
        ("PASTE", "remedy", FOUND, ("LEAK",), "50.00")
    ]
    taken = price_combination(book, build.a_job(NOISY, LEAK), "good", ["PASTE"])
    assert (taken.fixed, taken.left, str(taken.work)) == (("LEAK", "NOISY"), (), "200.00")


def test_ties_between_found_remedies_go_to_the_code_that_comes_first() -> None:
    """Both half an hour."""
    book = with_seals(
        remedies=[
            build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"]),
            build.a_remedy("Z-PASTE", ["LEAK"], ["GREASE"]),
            build.a_remedy("PASTE", ["LEAK"], ["WASH"]),
        ]
    )
    assert listed(offers(book, NOISY, LEAK)) == [("PASTE", FOUND)]


def test_a_found_remedy_must_have_what_it_needs_fixed() -> None:
    """Paste only once the noise is gone, which the tier sees to; a seal that needs the flap is not offered."""
    noisy_first = build.a_remedy("PASTE", ["LEAK"], ["WASH"], needs_fixed=["NOISY"])
    flap_first = build.a_remedy("PASTE", ["LEAK"], ["WASH"], needs_fixed=["FLAP"])
    bearing = build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"])
    flap = build.a_finding_on("FLAP", "left", severity="advised")
    assert listed(offers(a_book(remedies=[bearing, noisy_first]), NOISY, LEAK)) == [("PASTE", FOUND)]
    assert listed(offers(a_book(remedies=[bearing, flap_first]), NOISY, LEAK, flap)) == []


def test_a_found_remedy_must_fit() -> None:
    """Paste fits gaps up to 1; this one measures 2, so the seal is offered."""
    book = with_seals(fits_only_if=[build.fits_only_if("PASTE", "GAP", None, 1)])
    gap = build.a_finding_on("GAP", severity="watch", fault=False, measured="2")
    assert listed(offers(book, NOISY, LEAK, gap)) == [("NEW-SEAL", FOUND)]


def test_an_extra_whose_work_a_found_remedy_brings_is_not_listed_beside_it() -> None:
    """The seal is offered for the leak; offering it as an extra too would sell it twice."""
    book = with_seals(
        extras=[build.an_extra("SEALED", ["SEAL"])],
        remedies=[
            build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"]),
            build.a_remedy("NEW-SEAL", ["LEAK"], ["SEAL"]),
        ],
    )
    assert listed(offers(book, NOISY, LEAK)) == [("NEW-SEAL", FOUND)]
    assert listed(offers(book, NOISY)) == [("SEALED", OPEN)]


@pytest.mark.parametrize(
    ("charges", "offered"),
    [(["upgrade labour"], []), (["labour"], [("LIGHTS", FOUND)]), (["all"], [("LIGHTS", FOUND)])],
)
def test_a_found_upgrade_is_not_offered_where_upgrade_labour_is_taxed_apart(
    charges: list[str], offered: list[tuple[str, str]]
) -> None:
    """Its tax could not be told from the printed price."""
    book = a_book(
        remedies=[
            build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"]),
            build.a_remedy("LIGHTS", ["LEAK"], ["WASH"], kind="upgrade"),
        ],
        taxes=[build.a_tax("STATE", "0.1", charges)],
    )
    assert listed(offers(book, NOISY, LEAK)) == offered


def test_each_offer_carries_the_total_to_pay_with_it() -> None:
    """200.00 of work and a tenth of tax."""
    book = a_book(extras=[build.an_extra("GREASED", ["GREASE"])], taxes=[build.a_tax()])
    (offer,) = offers(book)
    assert [str(value) for value in (offer.subtotal, offer.tax, offer.total)] == ["200.00", "20.00", "220.00"]


def test_offers_are_in_text_order() -> None:
    """Remedies and extras together, so a quote is the same whichever sheet comes first."""
    book = with_seals(extras=[build.an_extra("ZINC", ["GREASE"]), build.an_extra("AIR", ["SHIM"])])
    assert [offer.extra for offer in offers(book, NOISY, LEAK)] == ["AIR@left", "AIR@right", "PASTE", "ZINC"]


def test_a_combination_refuses_what_is_not_offered() -> None:
    """Only what the paper lists can be taken."""
    with pytest.raises(KeyError):
        price_combination(a_book(), build.a_job(NOISY), "good", ["GREASED"])


def test_upgrade_labour_stays_that_of_the_tier() -> None:
    """An hour of lights is taxed, half an hour of grease beside it adds none."""
    book = a_book(
        operations=[
            build.an_operation("FIT-LIGHTS", 1, access=["COVER"]),
            build.an_operation("GREASE", access=["COVER"]),
        ],
        remedies=[build.a_remedy("LIGHTS", ["NOISY"], ["FIT-LIGHTS"], kind="upgrade")],
        extras=[build.an_extra("GREASED", ["GREASE"])],
        taxes=[build.a_tax("STATE", "0", ["labour"]), build.a_tax("STATE", "0.1", ["upgrade labour"])],
    )
    (offer,) = offers(book)
    assert [str(value) for value in (offer.price, offer.tax, offer.total)] == ["50.00", "15.00", "215.00"]


@pytest.mark.parametrize(
    "terms",
    [
        {"minimum_order": 100, "small_order_fee": 9},
        {"freight": 9, "free_freight_from": 100},
        {},
    ],
)
def test_freight_terms_are_judged_once_without_what_is_offered(terms: dict[str, Any]) -> None:
    """The bearing's order is of 20; grease of 90 more reaches 110, but the 9 that was printed stays: 50 and 135."""
    book = a_book(
        settings=build.settings(freight_to_customer="this job alone"),
        suppliers=[build.a_supplier(**terms)],
        operations=[
            build.an_operation("FIT-BEARING", 1, access=["COVER"], parts="BEARING"),
            build.an_operation("GREASE", access=["COVER"], parts="DRUM"),
        ],
        parts=[build.a_part("BEARING", 20), build.a_part("DRUM", 90)],
        extras=[build.an_extra("GREASED", ["GREASE"])],
        remedies=[build.a_remedy("BEARING", ["NOISY"], ["FIT-BEARING"])],
    )
    (offer,) = offers(book)
    assert [str(offer.price), str(offer.at_most)] == ["185.00", "185.00"]


def test_flat_freight_of_a_new_supplier_is_paid_once_for_all_that_is_added() -> None:
    """Two tubes from SOUTH: 65.00 and 12.00 each by itself, 12.00 once together."""
    book = a_book(
        settings=build.settings(freight_to_customer="this job alone"),
        suppliers=[build.a_supplier(), build.a_supplier("SOUTH", freight=12)],
        parts=[build.a_part("TUBE", 10, supplier="SOUTH")],
        extras=[
            build.an_extra("GREASED", ["GREASE"], parts="TUBE"),
            build.an_extra("SEALED", ["SEAL"], parts="TUBE"),
        ],
    )
    job = build.a_job(NOISY)
    tier = build_quote(book, job).tiers[0]
    both = price_combination(book, job, "good", ["GREASED", "SEALED"])
    assert [str(offer.price) for offer in tier.extras] == ["77.00", "127.00"]
    assert str(both.work - tier.work) == "192.00"
