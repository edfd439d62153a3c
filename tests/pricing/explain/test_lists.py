"""What is in a tier and why (rules 5.2 and 5.7): each entry of each list, its sentence and its cells."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import (
    a_finding,
    a_job,
    a_job_extra,
    a_machine,
    a_one_off,
    a_plan_item,
    a_remedy,
    a_step,
    an_extra,
    an_operation,
    found,
)
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of

FAULT = "{0}: Finding; {0}: Measured; {0}: Severity; {0}: Side"


def including(**values: Any) -> ShopBook:
    """FIT includes SMALL, which alone would require TINY."""
    return a_shop(
        operations=[
            an_operation("FIT", "0.5", includes=["SMALL"]),
            an_operation("SMALL", "0.2", requires=["TINY"]),
            an_operation("TINY", "0.1"),
        ],
        findings=[a_finding("WORN"), a_finding("OLD")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["SMALL"])],
        **values,
    )


def test_a_remedy_is_taken_for_what_it_puts_right() -> None:
    assert_said(
        {"items": "('NEW',) = decided(items.NEW NEW)", "fixed": "('WORN',) = decided(fixed.WORN WORN)"}, a_shop()
    )
    assert_rules({"items.NEW": "It puts right WORN; of what may be used, taken for the aim lowest price"}, a_shop())
    assert_reads(
        {
            "items.NEW": (
                "NEW: Code; NEW: Fixes; NEW: Life years; NEW: Needs fixed; NEW: Operations; "
                f"{FAULT.format('WORN')}; good: Aim; good: Covers"
            ),
            "fixed.WORN": f"NEW: Fixes; {FAULT.format('WORN')}",
        },
        a_shop(),
    )


def test_larger_work_includes_smaller_and_what_only_that_required() -> None:
    assert_rules(
        {
            "items.OTHER": ", done by larger work.",
            "dropped.SMALL": "Included in FIT, so it is not charged again",
            "dropped.TINY": "Only SMALL, which is dropped, required it",
            "fixed.OLD": "Put right by OTHER",
        },
        including(),
    )
    assert_reads({"dropped.SMALL": "FIT: Includes", "dropped.TINY": "SMALL: Requires"}, including())
    assert_said({"operations": "('FIT',) = decided(operations.FIT FIT)"}, including())


def test_work_is_brought_by_items_by_other_work_or_by_the_machine() -> None:
    book = a_shop(
        operations=[
            an_operation("FIT", "0.5", requires=["CHECK"]),
            an_operation("CHECK", "0.1"),
            an_operation("SAFE", "0.2", requires=["LOCK"]),
            an_operation("LOCK", "0.1"),
        ],
        machines=[a_machine(always=["SAFE"])],
    )
    assert_rules(
        {
            "operations.FIT": "Brought by NEW (rules 5.2)",
            "operations.CHECK": "Brought by NEW (rules 5.2)",
            "operations.SAFE": "Done on every job of this machine class",
            "operations.LOCK": "Done on every job of this machine class",
        },
        book,
    )
    assert_reads(
        {
            "operations.FIT": "NEW: Operations",
            "operations.CHECK": "FIT: Requires",
            "operations.SAFE": "THROWER: Always",
            "operations.LOCK": "SAFE: Requires; THROWER: Always",
        },
        book,
    )


def test_a_step_behind_a_step_names_both_cells() -> None:
    book = a_shop(
        operations=[an_operation("FIT", "0.5", access=["COVER"])],
        access=[a_step("COVER", needs=["HOOD"]), a_step("HOOD")],
    )
    assert_reads({"access.COVER": "FIT: Access", "access.HOOD": "COVER: Needs; FIT: Access"}, book)
    assert_rules({"access.HOOD": "Reached by FIT"}, book)


def test_a_line_of_the_job_opens_its_own_access() -> None:
    book = a_shop(operations=[an_operation("FIT", "0.5")])
    job = job_of(book, one_off=[a_one_off(1, "labour", "0.2", access=["COVER"])])
    assert_reads({"access.COVER": "ONEOFF-1: Access", "items.ONEOFF-1": "ONEOFF-1: Line; ONEOFF-1: Tier"}, book, job)
    assert_rules(
        {"items.ONEOFF-1": "Line 1: a one-off line of the job", "access.COVER": "Reached by ONEOFF-1"}, book, job
    )


def test_what_the_customer_asked_for_is_in_every_tier() -> None:
    book = a_shop(extras=[an_extra("CLEAN", ["FIT"]), an_extra("OIL", ["FIT"])])
    job = job_of(book, extras=[a_job_extra("OIL"), a_job_extra("CLEAN", asked=True)])
    assert_rules({"items.CLEAN": "The customer asked for it, so it is in every tier"}, book, job)
    assert_reads({"items.CLEAN": "CLEAN: Customer asked; CLEAN: Extra"}, book, job)


@pytest.mark.parametrize(
    ("finding", "rule"),
    [
        (a_finding("SCUFF", "recommended"), "It is recommended, which this tier does not cover"),
        (a_finding("ODD", "needed"), "It is needed, and the book has no remedy for it on this machine"),
        (a_finding("BAD", "safety"), "It is safety, and the book has no remedy for it on this machine"),
    ],
)
def test_why_a_fault_is_left(finding: Any, rule: str) -> None:
    book = a_shop(findings=[a_finding("WORN"), finding])
    name = f"left.{finding.code}"
    assert_rules({name: rule}, book)
    assert_reads({name: f"{FAULT.format(finding.code)}; good: Covers"}, book)
    if finding.severity == "safety":
        assert_rules({f"safety_left.{finding.code}": f"A safety finding: {rule}"}, book)


def test_a_plan_is_taken_as_it_is() -> None:
    """The technician's own list: what it leaves is left, and a safety fault left keeps the tier from being offered."""
    book = a_shop(
        operations=[an_operation("FIT", "0.5"), an_operation("TEST", "0.3")],
        findings=[a_finding("WORN"), a_finding("BAD", "safety")],
    )
    job = job_of(book, plan=[a_plan_item("good", "NEW"), a_plan_item("good", "TEST")])
    assert_rules(
        {
            "items.NEW": "The plan of the job says so",
            "left.BAD": "No item that the plan of the job takes puts it right",
            "safety_left.BAD": "A safety finding: No item that the plan of the job takes puts it right",
            "offered": "Not offered, as it would leave a safety finding: BAD",
            "reason": "Not offered, as it would leave a safety finding: BAD",
        },
        book,
        job,
    )
    assert_reads({"items.TEST": "TEST: Item; TEST: Side; TEST: Tier", "operations.TEST": "TEST: Item"}, book, job)


def test_the_book_counts_for_a_severity_that_the_job_does_not_give() -> None:
    """Measured and judged by the book's limit: its severity and limit are named. Typed on the job: the job's alone."""
    limits: dict[str, Any] = {"measure": "play", "unit": "in", "fails_when": "above", "limit": "0.7"}
    book = a_shop(findings=[a_finding("WORN", **limits)])
    by_book = a_job(found(book, "WORN", measured="0.8"))
    assert_reads(
        {"fixed.WORN": ("NEW: Fixes; WORN: Finding; WORN: Limit; WORN: Measured; WORN: Severity; WORN: Side")},
        book,
        by_book,
    )
    typed = a_job(replace(found(book, "WORN", measured="0.8"), severity_typed=True))
    assert_reads({"fixed.WORN": f"NEW: Fixes; {FAULT.format('WORN')}"}, book, typed)


def test_two_that_bring_one_operation_are_both_told() -> None:
    book = a_shop(
        findings=[a_finding("WORN"), a_finding("OLD")],
        operations=[
            an_operation("FIT", requires=["CHECK"]),
            an_operation("TEST", requires=["CHECK"]),
            an_operation("CHECK"),
        ],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["TEST"])],
    )
    assert_rules({"operations.CHECK": "Brought by NEW and OTHER"}, book)
    assert_reads({"operations.CHECK": "FIT: Requires; TEST: Requires"}, book)
