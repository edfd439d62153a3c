"""What a customer agrees to, as plain lines: the figures of the priced option, none worked out a second time."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.agreed import Agreed, ConsentRule
from quotekit.model.entries import Accepted
from quotekit.model.quote import PricedTier
from quotekit.model.record_json import from_json, to_json
from quotekit.pricing import build_quote
from quotekit.pricing.agreed import AMOUNT_NAMES, agreed_of, consent_rule
from quotekit.pricing.choice import price_choice
from tests import build
from tests.random_jobs import a_random_case


def small() -> tuple[object, object]:
    """The seal (0.3 h) behind the cover (0.4 h to open and close) at 100.00 an hour; a belt may be added."""
    book = build.a_book(
        operations=[
            build.an_operation("SEALING", "0.3", parts="SEAL", access=("COVER",)),
            build.an_operation("BELTING", "0.2", parts="BELT", access=("COVER",)),
        ],
        access=[build.a_step("COVER", "0.2", "0.2")],
        parts=[build.a_part("SEAL", 10), build.a_part("BELT", 20)],
        findings=[build.a_finding("LEAKS")],
        remedies=[build.a_remedy("NEW-SEAL", ["LEAKS"], ["SEALING"])],
        extras=[build.an_extra("NEW-BELT", ["BELTING"])],
    )
    job = build.a_job(build.a_finding_on("LEAKS"), extras=[build.a_job_extra("NEW-BELT")])
    return book, job


def first_offered(book: object, job: object) -> PricedTier:
    """The first option that is offered."""
    return build_quote(book, job).offered[0]  # type: ignore[arg-type]


def accepted() -> Accepted:
    """A yes to the small job, for other tests."""
    book, job = small()
    tier = first_offered(book, job)
    return Accepted(
        tier=tier.code,
        extras=(),
        by="phone",
        customer="R. Alder",
        phone="555 0100",
        note="go ahead",
        said_at="2026-11-28 14:05",
        agreed=agreed_of(book, job, tier),  # type: ignore[arg-type]
        rule=ConsentRule(),
    )


def test_the_worked_example() -> None:
    """Two lines of work, 0.3 h and 0.4 h; one labour line of 0.7 h."""
    book, job = small()
    agreed = agreed_of(book, job, first_offered(book, job))  # type: ignore[arg-type]
    assert [(line.key, line.kind, line.hours) for line in agreed.work] == [
        ("SEALING", "operation", Decimal("0.3")),
        ("COVER", "access", Decimal("0.4")),
    ]
    (labour,) = agreed.labour
    assert (labour.rate_per_hour, labour.net, labour.access) == (100, Decimal("0.3"), Decimal("0.4"))
    assert [(part.part, part.quantity) for part in agreed.parts] == [("SEAL", 1)]


def test_the_figures_are_those_of_the_option() -> None:
    book, job = small()
    tier = first_offered(book, job)
    agreed = agreed_of(book, job, tier)  # type: ignore[arg-type]
    for name in ("subtotal", "tax", "total", "deposit", "ready_days", "margin"):
        assert getattr(agreed, name) == getattr(tier, name), name
    assert agreed.amounts == {name: getattr(tier.amounts, name) for name in AMOUNT_NAMES}
    assert sum(agreed.amounts.values()) == agreed.subtotal


def test_an_extra_that_was_taken_is_marked() -> None:
    """What the customer added to the option can be told from what was in it."""
    book, job = small()
    code = first_offered(book, job).code
    priced = price_choice(book, job, code, ["NEW-BELT"])  # type: ignore[arg-type]
    agreed = agreed_of(book, job, priced, ["NEW-BELT"])  # type: ignore[arg-type]
    assert {item.key: item.added for item in agreed.items} == {"NEW-SEAL": False, "NEW-BELT": True}
    assert agreed.total > first_offered(book, job).total


def test_one_off_labour_is_work_with_its_hours() -> None:
    """Only what the option takes: a line of another tier is no work of this one."""
    book, job = small()
    lines = [
        build.a_one_off(1, "labour", "1.5", line="Straighten the frame"),
        build.a_one_off(2, "labour", 2, line="Paint", tiers=("best",)),
    ]
    job = build.a_job(build.a_finding_on("LEAKS"), one_off=lines)
    agreed = agreed_of(book, job, first_offered(book, job))  # type: ignore[arg-type]
    assert [(line.name, line.hours) for line in agreed.work if line.kind == "one-off"] == [
        ("Straighten the frame", Decimal("1.5"))
    ]


def test_faults_that_stay_and_rust_are_kept() -> None:
    book, job = small()
    agreed = agreed_of(book, job, first_offered(book, job))  # type: ignore[arg-type]
    assert (agreed.left, agreed.condition) == ((), "")


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({}, ConsentRule()),
        (
            {"call_when_over_percent": Decimal("0.1"), "call_when_over_amount": Decimal(50)},
            ConsentRule(over_percent=Decimal("0.1"), over_amount=Decimal(50)),
        ),
        (
            {"call_when_over": "the greater", "call_compares": "before tax"},
            ConsentRule(over="the greater", compares="before tax"),
        ),
    ],
)
def test_the_rule_as_it_stands_in_the_shop_book(values: dict[str, object], expected: ConsentRule) -> None:
    assert consent_rule(build.settings(**values)) == expected


@pytest.mark.parametrize("seed", range(12))
def test_random_jobs_add_up_and_can_be_kept(seed: int) -> None:
    """Whatever the job: the amounts add up, the taxes too, hours of work are the labour's, and JSON brings all back."""
    book, job = a_random_case(seed)
    for tier in build_quote(book, job).offered:
        agreed = agreed_of(book, job, tier)
        assert sum(agreed.amounts.values()) == agreed.subtotal
        assert sum(tax.amount for tax in agreed.taxes) == agreed.tax
        assert agreed.subtotal + agreed.tax == agreed.total
        assert sum(part.amount for part in agreed.parts) == agreed.amounts["parts"]
        for labour in agreed.labour:
            standard = sum(line.hours for line in agreed.work if line.labour == labour.rate)
            assert standard == labour.access + labour.net, (seed, labour.rate)
        assert from_json(Agreed, to_json(agreed)) == agreed
