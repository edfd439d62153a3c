"""What the engine has to say besides figures (DESIGN.md 5.7, 5.9 and 6)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quotekit.model.shop_book import Part, ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from quotekit.problems import Problem
from tests import build

WORN = build.a_finding_on("WORN")


def at(sheet: str, **columns: str) -> Source:
    return Source(file="book.xlsx", sheet=sheet, row=5, columns=columns)


def shop(*parts: Part, **values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "operations": [build.an_operation("FIT", 1, parts="; ".join(part.code for part in parts))],
        "parts": list(parts),
        "findings": [build.a_finding("WORN"), build.a_finding("BENT", "safety")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"])],
        "suppliers": [build.a_supplier("NORTH"), build.a_supplier("BLANK", lead_days=None)],
    }
    return build.a_book(**(named | values))


def problems(book: ShopBook, *findings: Any, **job: Any) -> list[Problem]:
    return list(build_quote(book, build.a_job(*(findings or (WORN,)), **job)).problems)


def codes(book: ShopBook, *findings: Any, **job: Any) -> list[str]:
    return [problem.code for problem in problems(book, *findings, **job)]


def test_a_plain_job_has_nothing_to_say() -> None:
    assert codes(shop(build.a_part("P"))) == []


def test_a_covered_finding_that_is_left() -> None:
    """Named once with every tier that leaves it."""
    loose = build.a_finding_on("LOOSE", "left")
    (problem,) = problems(shop(), WORN, loose)
    assert (problem.code, problem.severity, problem.text) == ("no-permitted-remedy", "warning", "LOOSE@left")
    assert problem.message == "LOOSE@left is left in good, better, best: no permitted remedy puts it right there"


def test_an_other_finding_is_left_with_a_warning_unless_a_one_off_line_fixes_it() -> None:
    other = build.a_finding_on("OTHER-1")
    assert codes(shop(), WORN, other) == ["no-permitted-remedy"]
    assert codes(shop(), WORN, other, one_off=[build.a_one_off(fixes=["OTHER-1"])]) == []


def test_an_uncovered_finding_is_left_without_a_warning() -> None:
    assert codes(shop(), WORN, build.a_finding_on("SCUFF", severity="watch")) == []


def test_an_ordered_part_without_a_lead() -> None:
    part = build.a_part("P", supplier="BLANK", source=at("Parts", Code="A", **{"Lead days": "K"}))
    (problem,) = problems(shop(part))
    assert (problem.code, str(problem.place)) == ("no-lead-days", "book.xlsx:Parts!K5")


@pytest.mark.parametrize(("dated", "old"), [(date(2025, 12, 2), False), (date(2025, 12, 1), True), (None, False)])
def test_a_price_older_than_the_limit(dated: date | None, old: bool) -> None:
    """90 days before 2 March 2026 is 2 December 2025: that day is still good."""
    part = build.a_part("P", cost_date=dated, source=at("Parts", **{"Cost date": "R"}))
    found = problems(shop(part))
    assert [(one.code, str(one.place)) for one in found] == ([("old-price", "book.xlsx:Parts!R5")] if old else [])


def test_the_limit_of_age_is_the_shops() -> None:
    part = build.a_part("P", cost_date=date(2026, 2, 1))
    assert codes(shop(part, settings=build.settings(price_age_limit_days=28))) == ["old-price"]


def test_own_parts_have_no_price_to_grow_old() -> None:
    part = build.a_part("P", cost_date=date(2020, 1, 1), supplier="BLANK")
    assert codes(shop(part), own_parts=("P",)) == []


def test_a_labour_rate_without_a_cost() -> None:
    book = shop(labour_rates=[build.a_rate(cost=None, source=at("Labour rates", **{"Cost per hour": "D"}))])
    (problem,) = problems(book)
    assert (problem.code, str(problem.place)) == ("labour-cost-unknown", "book.xlsx:Labour rates!D5")


def test_a_rate_that_is_not_used_is_not_mentioned() -> None:
    assert codes(shop(labour_rates=[build.a_rate(), build.a_rate("WELD", 90, None)])) == []


def test_a_one_off_part_without_a_cost() -> None:
    line = build.a_one_off(1, "part", 1, unit_price=9)
    assert codes(shop(), one_off=[line]) == ["one-off-cost-unknown"]


def test_a_one_off_sublet_without_a_cost() -> None:
    """A part or sublet with a price and no cost leaves cost and margin unknown, with a warning."""
    line = build.a_one_off(1, "sublet", 1, unit_price=9)
    assert codes(shop(), one_off=[line]) == ["one-off-cost-unknown"]


def test_no_tier_at_all_names_every_reason() -> None:
    """A bent frame that nothing puts right."""
    bent = build.a_finding_on("BENT", severity="safety")
    found = {one.code: one for one in problems(shop(), WORN, bent)}
    assert found["no-tier-offered"].message == (
        "no option can be offered (good: it would leave a safety finding: BENT; "
        "better: it would leave a safety finding: BENT; best: it would leave a safety finding: BENT), "
        "so no customer quote is written"
    )
    assert found["no-tier-offered"].severity == "warning"


def test_each_problem_says_what_to_do() -> None:
    part = build.a_part("P", supplier="BLANK", cost_date=date(2020, 1, 1))
    book = shop(part, labour_rates=[build.a_rate(cost=None)])
    found = problems(book, WORN, build.a_finding_on("LOOSE"), one_off=[build.a_one_off(1, "part", 1, unit_price=9)])
    assert {one.code for one in found} == {
        "no-permitted-remedy",
        "no-lead-days",
        "old-price",
        "labour-cost-unknown",
        "one-off-cost-unknown",
    }
    assert all(one.remedy and one.message for one in found)


@pytest.mark.parametrize(
    ("own", "larger", "job", "told"),
    [
        ("SEAL x 2", "RING", {}, ["SEAL x 2"]),
        ("SEAL x 2; RING", "RING", {}, ["SEAL x 2"]),
        ("SEAL; RING x 2", "RING", {}, ["SEAL x 1; RING x 2"]),
        ("RING", "RING", {}, []),
        ("SEAL", "KIT", {}, []),
        ("SEAL x 2", "KIT", {}, ["SEAL x 2"]),
        ("SEAL", "RING", {"own_parts": ("SEAL",)}, []),
        ("", "RING", {}, []),
    ],
)
def test_own_parts_of_what_larger_work_does(own: str, larger: str, job: dict[str, Any], told: list[str]) -> None:
    """A remedy done by larger work brings no parts (5.9): told by place, unless that work brings them, in a kit too."""
    book = shop(
        operations=[build.an_operation("OVERHAUL", 2, includes=["FIT"], parts=larger), build.an_operation("FIT", 1)],
        parts=[build.a_part("SEAL"), build.a_part("RING"), build.a_part("KIT", contains="SEAL")],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"], parts=own, source=at("Remedies", Parts="F")),
            build.a_remedy("ALL", ["BENT"], ["OVERHAUL"]),
        ],
    )
    found = problems(book, WORN, build.a_finding_on("BENT"), **job)
    assert [problem.text for problem in found] == told
    for problem in found:
        assert (problem.code, problem.severity, str(problem.place)) == (
            "parts-not-charged",
            "warning",
            "book.xlsx:Remedies!F5",
        )
        assert problem.message == (
            f"NEW is done by larger work in good, better, best, so its own parts are not charged there: {told[0]}"
        )


def test_own_parts_of_an_asked_extra_are_told_too() -> None:
    """An extra the customer asked for is in every tier."""
    book = shop(
        operations=[build.an_operation("OVERHAUL", 2, includes=["FIT"]), build.an_operation("FIT", 1)],
        parts=[build.a_part("SEAL")],
        remedies=[build.a_remedy("ALL", ["WORN"], ["OVERHAUL"])],
        extras=[build.an_extra("TREAT", ["FIT"], parts="SEAL")],
    )
    assert codes(book, extras=(build.a_job_extra("TREAT", asked=True),)) == ["parts-not-charged"]
    assert codes(book, extras=(build.a_job_extra("TREAT"),)) == []
