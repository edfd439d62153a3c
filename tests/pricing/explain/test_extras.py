"""What is offered beside a tier as trees (rules 5.8): the exact difference, the tier with it, and why it is offered."""

from __future__ import annotations

from quotekit.model.shop_book import ShopBook
from tests.build import a_finding, a_job_extra, a_remedy, a_tax, an_extra, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of


def offering() -> ShopBook:
    """Cleaning takes 0.4 h behind the cover that the repair opens anyway; 10 % tax, half an hour less than the minimum
    of 1.2 h is billed."""
    return a_shop(
        settings=settings(minimum_labour_hours="1.2"),
        extras=[an_extra("CLEAN", ["WIPE"])],
        operations=[
            an_operation("FIT", "0.5", access=["COVER"], parts="SEAL"),
            an_operation("WIPE", "0.4", access=["COVER"]),
        ],
        taxes=[a_tax("VAT", "0.1")],
    )


def test_the_price_is_the_tier_with_it_less_the_tier() -> None:
    """The tier bills 1.2 h by its minimum, with the extra 1.4 h are worked: 20.00 more, not the 40.00 of 0.4 h."""
    book = offering()
    job = job_of(book, extras=[a_job_extra("CLEAN")])
    assert_said(
        {
            "extras.CLEAN.price": "20.00 = difference(extras.CLEAN.work 155.00, work 135.00)",
            "extras.CLEAN.subtotal": (
                "155.00 = sum(extras.CLEAN.work 155.00, amounts.inspection (with CLEAN) 0.00, "
                "amounts.inspection_credit (with CLEAN) 0.00)"
            ),
            "extras.CLEAN.tax": "15.50 = sum(taxes.VAT.amount (with CLEAN) 15.50)",
            "extras.CLEAN.total": "170.50 = sum(extras.CLEAN.subtotal 155.00, extras.CLEAN.tax 15.50)",
            "hours.billed.MAIN (with CLEAN)": (
                "1.4 = up to a step(hours worked at MAIN (with CLEAN) 1.4, Hours step 0.1), up to a step of 0.1"
            ),
        },
        book,
        job,
    )


def test_why_it_is_offered() -> None:
    """Because the job lists it, or because everything it needs is open; both name the rows of the extra."""
    book, name = offering(), "extras.CLEAN.why"
    listed = job_of(book, extras=[a_job_extra("CLEAN")])
    assert_rules({name: "It is on the job's sheet Extras"}, book, listed)
    assert_reads({name: "CLEAN: Code; CLEAN: Extra; CLEAN: Machine; CLEAN: Operations"}, book, listed)
    assert_rules({name: "Every access step it needs is open in this tier already"}, book)
    assert_reads({name: "CLEAN: Code; CLEAN: Machine; CLEAN: Operations"}, book)


def test_a_remedy_is_offered_for_what_the_tier_leaves() -> None:
    """A scuff that the tier does not cover: of its two remedies the one that adds least work."""
    book = a_shop(
        findings=[a_finding("WORN"), a_finding("SCUFF", "recommended")],
        operations=[an_operation("FIT", "0.5"), an_operation("TOUCH", "0.2"), an_operation("PAINT", "2")],
        remedies=[
            a_remedy("NEW", ["WORN"], ["FIT"]),
            a_remedy("COAT", ["SCUFF"], ["PAINT"]),
            a_remedy("DAB", ["SCUFF"], ["TOUCH"]),
        ],
    )
    assert_said({"extras.DAB.kind": "remedy = decided()"}, book)
    assert_rules({"extras.DAB.why": "Of the remedies for what the tier leaves (SCUFF) it adds least work"}, book)
    assert_reads({"extras.DAB.why": "DAB: Code; DAB: Fixes; DAB: Operations"}, book)
