"""Hours as trees (rules 5.3): each step once, further sides, the allowance, hours off, rounding up and the minimum."""

from __future__ import annotations

from dataclasses import replace

from quotekit.model.shop_book import ShopBook
from tests.build import (
    a_bundle,
    a_condition,
    a_finding,
    a_job,
    a_machine,
    a_one_off,
    a_rate,
    a_remedy,
    a_step,
    an_operation,
    found,
    settings,
)
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of

COVER = ["COVER"]


def rusty(weld_slowed: bool = True, at_most: str | None = None, share: str = "0.3") -> ShopBook:
    """FIT of 0.5 h slowed by rust at MAIN, TEST of 0.3 h not, JOIN of 1 h at WELD."""
    return a_shop(
        labour_rates=[a_rate(), a_rate("WELD", 140)],
        operations=[
            an_operation("FIT", "0.5", access=COVER, parts="SEAL", slowed_by_rust=True, requires=["TEST", "JOIN"]),
            an_operation("TEST", "0.3"),
            an_operation("JOIN", "1", labour="WELD", slowed_by_rust=weld_slowed),
        ],
        conditions=[a_condition("RUSTY", share, at_most_hours=at_most)],
    )


def bundled(value: str) -> ShopBook:
    """Two remedies whose bundle takes hours off: 0.5 h and its cover of 0.5 h, and 0.3 h."""
    return a_shop(
        operations=[an_operation("FIT", "0.5", access=COVER), an_operation("TEST", "0.3")],
        findings=[a_finding("WORN"), a_finding("OLD")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["TEST"])],
        bundles=[a_bundle("PAIR", ["NEW", "OTHER"], "hours off", value)],
    )


def test_what_the_work_takes_is_access_net_hours_and_allowance() -> None:
    book = a_shop()
    assert_said(
        {
            "hours.access": "0.5 = sum(Cover (COVER) 0.5)",
            "Cover (COVER)": "0.5 = sum(Hours to open 0.2, Hours to close 0.3)",
            "hours.net": "0.5 = sum(Fit (FIT) 0.5)",
            "hours.allowance": "0 = decided()",
            "hours.off": "0 = decided()",
            "hours worked at MAIN": "1 = sum(access at MAIN 0.5, net hours at MAIN 0.5, hours.allowance 0)",
            "hours.billed.MAIN": ("1 = up to a step(hours worked at MAIN 1, Hours step 0.1), up to a step of 0.1"),
        },
        book,
    )
    assert_rules(
        {
            "Cover (COVER)": "once however many operations need it (rules 5.3); for NEW.",
            "Fit (FIT)": "Net hours; brought by NEW",
            "hours.allowance": "The job names no condition",
            "hours.off": "No bundle in force takes hours off",
        },
        book,
    )
    assert_reads(
        {
            "Fit (FIT)": "FIT: Net hours",
            "Hours to open": "COVER: Hours to open",
            "Hours to close": "COVER: Hours to close",
            "Hours step": "Hours step: Value",
            "hours.allowance": "Condition: Value",
        },
        book,
    )


def test_hours_are_billed_up_to_the_step_never_to_the_nearest() -> None:
    """1.0 h in steps of 0.4 h is three steps, though 0.8 h is as near as 1.2 h."""
    expected = "1.2 = up to a step(hours worked at MAIN 1, Hours step 0.4), up to a step of 0.4"
    assert_said({"hours.billed.MAIN": expected}, a_shop(settings=settings(hours_step="0.4")))


def test_a_further_side_takes_its_own_hours_and_the_access_once() -> None:
    operation = an_operation("FIT", "0.5", access=COVER, each_side=True, second_side_hours="0.4")
    book = a_shop(operations=[operation])
    job = a_job(found(book, "WORN", "left"), found(book, "WORN", "right"))
    assert_said(
        {
            "hours.net": "0.9 = sum(Fit (FIT@left) 0.5, Fit (FIT@right) 0.4)",
            "hours.access": "0.5 = sum(Cover (COVER) 0.5)",
        },
        book,
        job,
    )
    assert_reads({"Fit (FIT@left)": "FIT: Net hours", "Fit (FIT@right)": "FIT: Second side hours"}, book, job)
    assert_rules(
        {
            "Fit (FIT@left)": "Net hours; brought by NEW@left",
            "Fit (FIT@right)": "Second side hours, as a further position; brought by NEW@right",
            "Cover (COVER)": "for NEW@left and NEW@right",
        },
        book,
        job,
    )


def test_work_of_every_job_is_nobodys() -> None:
    """What the machine class always needs is told so, with its access; no remedy brought it."""
    book = a_shop(
        operations=[an_operation("FIT", access=COVER), an_operation("SAFE", "0.2", access=["HOOD"])],
        access=[a_step("COVER"), a_step("HOOD", "0.1", "0.1")],
        machines=[a_machine(always=["SAFE"])],
    )
    assert_rules(
        {"Safe (SAFE)": "Net hours; done on every job of this machine class", "Hood (HOOD)": "for every job."}, book
    )


def test_hours_of_a_line_of_the_job_are_its_quantity() -> None:
    book = a_shop()
    job = job_of(book, one_off=[a_one_off(1, "labour", "0.7")])
    assert_said({"hours.net": "1.2 = sum(Fit (FIT) 0.5, Line 1 (ONEOFF-1) 0.7)"}, book, job)
    assert_reads({"Line 1 (ONEOFF-1)": "ONEOFF-1: Quantity"}, book, job)
    assert_rules({"Line 1 (ONEOFF-1)": "Hours of a one-off line."}, book, job)


def test_the_allowance_is_split_over_the_rates_by_the_hours_rust_slows() -> None:
    """30 % of 1.5 h is 0.45 h: a third of them at MAIN, two thirds at WELD; TEST and access are not slowed."""
    book = rusty()
    assert_said(
        {
            "hours slowed by rust": "1.5 = sum(Fit (FIT) 0.5, Join (JOIN) 1)",
            "hours slowed by rust at MAIN": "0.5 = sum(Fit (FIT) 0.5)",
            "hours.allowance": "0.45 = product(Allowance of RUSTY 0.3, hours slowed by rust 1.5)",
            "share of WELD in the hours slowed": (
                "2/3 = quotient(hours slowed by rust at WELD 1, hours slowed by rust 1.5)"
            ),
            "allowance at WELD": "0.3 = product(hours.allowance 0.45, share of WELD in the hours slowed 2/3)",
            "allowance at MAIN": "0.15 = product(hours.allowance 0.45, share of MAIN in the hours slowed 1/3)",
            "net hours at MAIN": "0.8 = sum(Fit (FIT) 0.5, Test (TEST) 0.3)",
            "net hours at WELD": "1 = sum(Join (JOIN) 1)",
            "access at MAIN": "0.5 = sum(Cover (COVER) 0.5)",
            "access at WELD": "0 = sum()",
            "hours worked at MAIN": ("1.45 = sum(access at MAIN 0.5, net hours at MAIN 0.8, allowance at MAIN 0.15)"),
        },
        book,
        job_of(book, condition="RUSTY"),
    )
    reads = {"Allowance of RUSTY": "RUSTY: Allowance", "hours.allowance": "Condition: Value"}
    assert_reads(reads, book, job_of(book, condition="RUSTY"))


def test_a_rate_with_nothing_that_rust_slows_gets_no_allowance() -> None:
    book = rusty(weld_slowed=False)
    job = job_of(book, condition="RUSTY")
    assert_said(
        {
            "hours worked at WELD": "1 = sum(access at WELD 0, net hours at WELD 1, allowance at WELD 0)",
            "hours worked at MAIN": "1.45 = sum(access at MAIN 0.5, net hours at MAIN 0.8, hours.allowance 0.15)",
        },
        book,
        job,
    )
    assert_rules({"allowance at WELD": "No hours at this rate are slowed by rust"}, book, job)


def test_the_allowance_stops_at_the_conditions_hours() -> None:
    """30 % of 1.5 h would be 0.45 h, the condition allows 0.4 h for the whole job."""
    book = rusty(at_most="0.4")
    job = job_of(book, condition="RUSTY")
    assert_said(
        {
            "hours.allowance": "0.4 = least(percent of hours slowed 0.45, At most hours 0.4)",
            "percent of hours slowed": "0.45 = product(Allowance of RUSTY 0.3, hours slowed by rust 1.5)",
        },
        book,
        job,
    )
    assert_reads({"At most hours": "RUSTY: At most hours", "hours.allowance": "Condition: Value"}, book, job)


def test_hours_off_come_off_before_rounding_up() -> None:
    """1.3 h less 0.23 h is 1.07 h, billed as 1.1 h; the bundle itself shows no money."""
    book = bundled("0.23")
    assert_said(
        {
            "hours.off": "0.23 = least(hours of bundles 0.23, hours worked at MAIN 1.3)",
            "hours of bundles": "0.23 = sum(Value of PAIR 0.23)",
            "hours at MAIN less hours off": "1.07 = difference(hours worked at MAIN 1.3, hours.off 0.23)",
            "hours.billed.MAIN": (
                "1.1 = up to a step(hours at MAIN less hours off 1.07, Hours step 0.1), up to a step of 0.1"
            ),
            "bundles.PAIR.amount": "None = decided()",
        },
        book,
    )
    assert_rules({"Value of PAIR": "For NEW and OTHER together.", "bundles.PAIR.amount": "hours off, not money"}, book)
    assert_reads({"Value of PAIR": "PAIR: Value"}, book)


def test_no_more_hours_come_off_than_there_are() -> None:
    book = bundled("9")
    assert_said(
        {
            "hours.off": "1.3 = least(hours of bundles 9, hours worked at MAIN 1.3)",
            "hours at MAIN less hours off": "0 = difference(hours worked at MAIN 1.3, hours.off 1.3)",
        },
        book,
    )


def test_hours_come_off_the_default_rate_only() -> None:
    """All work is at MAIN, the default is DESK: the bundle saves nothing, and the tree says why."""
    book = bundled("0.23")
    at_main = {key: replace(op, labour="MAIN") for key, op in book.operations.items()}
    steps = {"COVER": a_step("COVER", labour="MAIN")}
    book = replace(book, labour_rates=(a_rate("DESK", 80), a_rate()), operations=at_main, access=steps)
    assert_rules({"hours.off": "default rate DESK, which nothing is billed at"}, book)
    assert_said({"hours.off": "0 = decided()"}, book)


def test_the_minimum_adds_what_all_billed_hours_lack() -> None:
    """1.0 h is billed, the shop bills at least 1.5 h; with 0.5 h less there is nothing to add."""
    book = a_shop(settings=settings(minimum_labour_hours="1.5"))
    assert_said(
        {
            "hours.minimum_added": "0.5 = most(none 0, missing to the minimum 0.5)",
            "missing to the minimum": "0.5 = difference(Minimum labour hours 1.5, hours billed at all rates 1)",
            "hours billed at all rates": "1 = sum(hours.billed.MAIN 1)",
        },
        book,
    )
    assert_reads({"Minimum labour hours": "Minimum labour hours: Value"}, book)
    without = a_shop(settings=settings(minimum_labour_hours=1))
    assert_said({"hours.minimum_added": "0 = most(none 0, missing to the minimum 0)"}, without)
