"""Bundle savings and the job's discount as trees (rules 5.5 item 4): each takes from what the earlier ones left."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_bundle, a_finding, a_job_extra, a_part, a_remedy, an_extra, an_operation
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of

BOTH = ["NEW", "OTHER"]


def bundled(*bundles: Any) -> ShopBook:
    """Two remedies: labour of 130.00, three seals and one of 15.00 each."""
    return a_shop(
        operations=[
            an_operation("FIT", "0.5", access=["COVER"], parts="SEAL x 3"),
            an_operation("TEST", "0.3", parts="SEAL"),
        ],
        findings=[a_finding("WORN"), a_finding("OLD")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["TEST"])],
        bundles=list(bundles),
    )


def test_savings_come_one_after_another_then_the_discount() -> None:
    """10 % of 60.00, then 25.555 off what is left of the parts; 5 % of the labour and of the 28.44 then left."""
    book = bundled(
        a_bundle("PERCENT", BOTH, "percent off parts", "0.1"), a_bundle("SUM", BOTH, "parts amount off", "25.555")
    )
    job = job_of(book, discount_percent="0.05")
    assert_said(
        {
            "amounts.savings": (
                "-39.48 = less(saving of PERCENT 6.00, saving of SUM 25.56, discount on labour 6.50, "
                "discount on parts 1.42)"
            ),
            "saving of PERCENT": "6.00 = least(PERCENT: percent off parts 6.00, amounts.parts 60.00)",
            "PERCENT: percent off parts": (
                "6.00 = product(Value of PERCENT 0.1, parts of PERCENT 60.00), half up to cents"
            ),
            "SEAL of PERCENT in money": (
                "60.00 = product(parts.SEAL.unit_price 15.00, SEAL of PERCENT 4), half up to cents"
            ),
            "SEAL of PERCENT": "4 = sum(SEAL for FIT 3, SEAL for TEST 1)",
            "saving of SUM": "25.56 = least(SUM: parts amount off 25.56, left of parts 54.00)",
            "SUM: parts amount off": "25.56 = same(Value of SUM 25.555), half up to cents",
            "left of parts": "54.00 = difference(amounts.parts 60.00, saving of PERCENT 6.00)",
            "discount on labour": ("6.50 = product(Discount percent 0.05, amounts.labour 130.00), half up to cents"),
            "discount on parts": "1.42 = product(Discount percent 0.05, left of parts 28.44), half up to cents",
            "bundles.PERCENT.amount": "-6.00 = less(saving of PERCENT 6.00)",
            "bundles.SUM.amount": "-25.56 = less(saving of SUM 25.56)",
        },
        book,
        job,
    )
    assert_rules(
        {
            "bundles.SUM.amount": "Saved by NEW and OTHER together",
            "saving of SUM": "never more than what is left of the parts",
            "SUM: parts amount off": "Given when NEW and OTHER are done together",
        },
        book,
        job,
    )
    assert_reads(
        {
            "Value of SUM": "SUM: Members; SUM: Saving; SUM: Value",
            "bundles.SUM.bundle": "SUM: Code; SUM: From; SUM: Members; SUM: Saving; SUM: To",
            "Discount percent": "Discount percent: Value",
        },
        book,
        job,
    )


@pytest.mark.parametrize(
    ("kind", "value", "line"),
    [
        ("labour amount off", "20", "20.00 = least(SUM: labour amount off 20.00, amounts.labour 130.00)"),
        ("labour amount off", "200", "130.00 = least(SUM: labour amount off 200.00, amounts.labour 130.00)"),
        ("parts amount off", "200", "60.00 = least(SUM: parts amount off 200.00, amounts.parts 60.00)"),
        ("percent off parts", "1", "60.00 = least(SUM: percent off parts 60.00, amounts.parts 60.00)"),
    ],
)
def test_a_saving_takes_from_its_own_charge_and_never_more_than_there_is(kind: str, value: str, line: str) -> None:
    assert_said({"saving of SUM": line}, bundled(a_bundle("SUM", BOTH, kind, value)))


def test_a_saving_on_labour_leaves_the_parts_whole_for_the_next() -> None:
    book = bundled(a_bundle("WORK", BOTH, "labour amount off", "20"), a_bundle("GOODS", BOTH, "parts amount off", "20"))
    job = job_of(book, discount_percent="0.1")
    assert_said(
        {
            "saving of GOODS": "20.00 = least(GOODS: parts amount off 20.00, amounts.parts 60.00)",
            "discount on labour": "11.00 = product(Discount percent 0.1, left of labour 110.00), half up to cents",
            "left of labour": "110.00 = difference(amounts.labour 130.00, saving of WORK 20.00)",
        },
        book,
        job,
    )


def test_the_customers_own_part_brings_no_percent() -> None:
    """What is not charged cannot be saved on: ten percent of the belt alone."""
    book = a_shop(
        operations=[an_operation("FIT", "0.5", parts="SEAL; BELT x 2")],
        parts=[a_part("SEAL", 10), a_part("BELT", 20)],
        bundles=[a_bundle("SUM", ["NEW"], "percent off parts", "0.1")],
    )
    job = job_of(book, own_parts=["SEAL"])
    assert_said({"parts of SUM": "60.00 = sum(BELT of SUM in money 60.00)"}, book, job)


def test_without_a_bundle_or_a_discount_the_cell_of_the_discount_is_named() -> None:
    assert_said({"amounts.savings": "0.00 = decided()"}, a_shop())
    assert_rules({"amounts.savings": "No bundle is complete and the job gives no discount"}, a_shop())
    assert_reads({"amounts.savings": "Discount percent: Value"}, a_shop())


def test_only_what_members_bring_counts_and_an_extra_may_be_one() -> None:
    """The belt is another remedy's; what the extra brings counts; work done by larger work brings nothing."""
    book = a_shop(
        operations=[
            an_operation("FIT", "0.5", parts="SEAL", includes=["SMALL"]),
            an_operation("SMALL", "0.1", parts="PIN"),
            an_operation("DRIVE", "0.3", parts="BELT"),
            an_operation("WIPE", "0.1", parts="OIL"),
        ],
        parts=[a_part("SEAL", 10), a_part("BELT", 20), a_part("OIL", 2), a_part("PIN", 4), a_part("CAP", 6)],
        findings=[a_finding("WORN"), a_finding("OLD"), a_finding("LOOSE")],
        remedies=[
            a_remedy("NEW", ["WORN"], ["FIT"]),
            a_remedy("OTHER", ["OLD"], ["DRIVE"]),
            a_remedy("PINNED", ["LOOSE"], ["SMALL"], parts="CAP"),
        ],
        extras=[an_extra("CLEAN", ["WIPE"])],
        bundles=[a_bundle("SUM", ["NEW", "CLEAN", "PINNED"], "percent off parts", "0.1")],
    )
    job = job_of(book, extras=[a_job_extra("CLEAN", asked=True)])
    assert_said({"parts of SUM": "18.00 = sum(OIL of SUM in money 3.00, SEAL of SUM in money 15.00)"}, book, job)
