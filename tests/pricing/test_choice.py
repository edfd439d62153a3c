"""A choice priced: the oracle's figures, the quote's own extras, what can still be added, and why not."""

from __future__ import annotations

import os
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from quotekit.model.job import FoundFinding, Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from quotekit.pricing.choice import price_choice, why_not_beside
from tests import build
from tests.oracle.compare import comparable, differences, tier_figures
from tests.oracle.quote import combination
from tests.random_jobs import Case
from tests.recalculation.combinations import a_case

JOBS = int(os.environ.get("QUOTEKIT_CHOICE_JOBS", "36"))
BATCH = 12
WORN = build.a_finding_on("WORN")
FRAYED = build.a_finding_on("FRAYED", severity="advised")


def shop(**values: Any) -> ShopBook:
    """A tier of 1.0 h that opens nothing; belt and seal behind one cover of 0.5 h; hubs on each side."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER")],
        "operations": [
            build.an_operation("BUSH", 1),
            build.an_operation("BELTING", "0.4", access=["COVER"]),
            build.an_operation("SEALING", "0.3", access=["COVER"]),
            build.an_operation("HUBBING", "0.2", each_side=True),
        ],
        "findings": [build.a_finding("WORN"), build.a_finding("FRAYED", "advised"), build.a_finding("LOOSE")],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"]),
            build.a_remedy("OLD-BUSH", ["WORN"], ["BUSH", "SEALING"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELTING"]),
            build.a_remedy("TWO-BELTS", ["FRAYED"], ["BELTING", "SEALING"]),
            build.a_remedy("TIGHTEN", ["LOOSE"], ["HUBBING"]),
        ],
        "extras": [
            build.an_extra("BELT", ["BELTING"]),
            build.an_extra("SEAL", ["SEALING"]),
            build.an_extra("HUB", ["HUBBING"]),
            build.an_extra("BUSHING", ["BUSH"]),
            build.an_extra("HITCH", ["SEALING"], machines=["TRAILER"]),
        ],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


def a_quote(*findings: FoundFinding, listed: tuple[str, ...] = (), **values: Any) -> Quote:
    job = build.a_job(*(findings or (WORN,)), extras=tuple(build.a_job_extra(code) for code in listed))
    return build_quote(shop(**values), job)


def test_what_can_still_be_added_shares_the_cover_with_what_is_taken() -> None:
    """At 100.00 an hour: the seal alone 0.3 h and the cover 0.5 h, beside the belt 0.3 h only."""
    quote = a_quote(listed=("BELT", "SEAL"))
    before = {one.extra: str(one.price) for one in quote.tiers[0].extras}
    after = price_choice(quote.book, quote.job, "good", ["BELT"])
    assert before == {"BELT": "90.00", "SEAL": "80.00"}
    assert [(one.extra, str(one.price), str(one.total)) for one in after.extras] == [("SEAL", "30.00", "220.00")]
    assert str(after.total) == "190.00"


def test_a_tier_that_is_not_offered_keeps_its_reason() -> None:
    quote = a_quote(listed=("BELT",), tiers=[build.a_tier("good"), build.a_tier("better")])
    taken = price_choice(quote.book, quote.job, "better", ["BELT"])
    assert (taken.offered, taken.reason) == (False, "it is the same work as Good") == offered_as(quote.tiers[1])


def offered_as(tier: PricedTier) -> tuple[bool, str | None]:
    return tier.offered, tier.reason


@pytest.mark.parametrize(("tier", "extras"), [("best", []), ("good", ["SEAL@left"]), ("good", ["HITCH"])])
def test_what_is_not_there_is_a_key_error(tier: str, extras: list[str]) -> None:
    quote = a_quote(listed=("SEAL",))
    with pytest.raises(KeyError):
        price_choice(quote.book, quote.job, tier, extras)


@pytest.mark.parametrize(
    ("code", "reason", "remedy"),
    [
        ("HITCH", "it is for other machines", "Leave it out."),
        ("BUSHING", "Good does its work already (BUSH)", "Leave it out."),
        ("BELT", "NEW-BELT, which is offered, brings the same work", "Take NEW-BELT in its place."),
        (
            "SEAL",
            "what it needs is not open in Good, and it is not on the job's list",
            "Put it on the sheet Extras of the job to offer it.",
        ),
        (
            "OLD-BUSH",
            "what it is for is put right already by Good",
            "To do it instead, plan it on the sheet Plan of the job.",
        ),
        (
            "TWO-BELTS",
            "NEW-BELT, which adds less work, is offered for the same",
            "Take NEW-BELT. To do it instead, plan it on the sheet Plan of the job.",
        ),
        ("TIGHTEN", "nothing was found that it puts right", "Record the finding on the job, or leave it out."),
    ],
)
def test_why_it_is_not_offered(code: str, reason: str, remedy: str) -> None:
    quote = a_quote(WORN, FRAYED)
    why = why_not_beside(quote, quote.tiers[0], code, None)
    assert (why.reason, why.remedy) == (reason, remedy)


def test_a_remedy_that_does_not_fit_says_what_was_measured() -> None:
    quote = a_quote(WORN, FRAYED, fits_only_if=[build.fits_only_if("TWO-BELTS", "LOOSE", 5)])
    why = why_not_beside(quote, quote.tiers[0], "TWO-BELTS", None)
    assert why.reason == "it fits only with LOOSE from 5 up, which is not measured on this job"


def test_an_extra_that_larger_work_includes() -> None:
    operations = [build.an_operation("BUSH", 1, includes=["SEALING"]), build.an_operation("SEALING", "0.3")]
    few: dict[str, Any] = {"extras": [build.an_extra("SEAL", ["SEALING"])], "access": [], "operations": operations}
    quote = a_quote(WORN, listed=("SEAL",), remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])], **few)
    why = why_not_beside(quote, quote.tiers[0], "SEAL", None)
    assert why.reason == "larger work in Good does its work already"


def test_a_code_of_nothing_is_a_key_error() -> None:
    quote = a_quote()
    with pytest.raises(KeyError):
        why_not_beside(quote, quote.tiers[0], "BUSH", None)


@pytest.mark.parametrize("first", range(0, JOBS, BATCH))
def test_random_choices(first: int) -> None:
    """Against the oracle, against `price_combination`, and each thing still on offer against taking it."""
    wrong = [f"seed {seed} {line}" for seed in range(first, first + BATCH) for line in faults_of(a_case(seed), seed)]
    assert wrong == []


@pytest.mark.parametrize("seed", [101, 267])
def test_the_most_is_that_of_the_choice(seed: int) -> None:
    """What is taken made work of the tier unnecessary, so another extra adds more than it adds to the tier at most."""
    assert faults_of(a_case(seed), seed) == []


def test_every_code_on_the_shelf_has_a_reason_or_is_there() -> None:
    """No code of a shop book leaves the command without an answer, on random jobs."""
    for seed in range(30):
        quote = build_quote(*a_case(seed))
        for tier in [tier for tier in quote.tiers if tier.priced]:
            there = {item.code for item in tier.items} | {one.code for one in tier.extras}
            for code in {*quote.book.extras, *quote.book.remedies} - there:
                why = why_not_beside(quote, tier, code, None)
                assert why.reason and why.remedy.endswith(".")


def faults_of(case: Case, seed: int) -> list[str]:
    """Where a choice of a random case is not what it should be."""
    quote, random = build_quote(*case), Random(seed)
    found: list[str] = []
    for tier in [tier for tier in quote.tiers if tier.priced and no_shared_code(tier)]:
        found += [f"{tier.code} {line}" for line in alone_faults(case, tier)]
        keys = random.sample([one.extra for one in tier.extras], random.randint(0, len(tier.extras)))
        found += [f"{tier.code}+{'+'.join(keys)} {line}" for line in choice_faults(case, tier, keys, random)]
    return found


def no_shared_code(tier: PricedTier) -> bool:
    """A remedy and an extra of one code cannot be told apart by it."""
    return len({one.extra for one in tier.extras}) == len(tier.extras)


def alone_faults(case: Case, tier: PricedTier) -> list[str]:
    """Nothing taken is the tier of the quote; one extra taken is what the quote says of that extra."""
    found = [] if price_choice(*case, tier.code, []) == tier else ["nothing taken is not the tier"]
    for one in tier.extras:
        taken = price_combination(*case, tier.code, [one.extra])
        if (taken.work, taken.subtotal, taken.tax, taken.total) != (one.work, one.subtotal, one.tax, one.total):
            found.append(f"{one.extra}: {taken.total} is not {one.total}")
    return found


def choice_faults(case: Case, tier: PricedTier, keys: list[str], random: Random) -> list[str]:
    """Some taken: the oracle's figures, in any order and twice, and each thing left adds what it says."""
    taken = price_choice(*case, tier.code, keys)
    expected = comparable({"tiers": [combination(*case, tier.code, sorted(keys))]})["tiers"][0]
    found = differences(expected, tier_figures(taken), "oracle")
    plain = price_combination(*case, tier.code, sorted(keys))
    if replace(plain, offered=tier.offered, reason=tier.reason, extras=taken.extras) != taken:
        found.append("not what price_combination says")
    if price_choice(*case, tier.code, [*random.sample(keys, len(keys)), *keys]) != taken:
        found.append("another order, or twice, is another price")
    if [one.extra for one in taken.extras] != [one.extra for one in tier.extras if one.extra not in keys]:
        found.append("what is left is not what was not taken")
    return found + [line for one in taken.extras if (line := still_fault(case, taken, keys, one.extra))]


def still_fault(case: Case, taken: PricedTier, keys: list[str], key: str) -> str:
    """Empty where a thing left makes the difference it says, and never more than its most."""
    with_it = price_combination(*case, taken.code, [*keys, key])
    says = next(one for one in taken.extras if one.extra == key)
    said = (says.work, says.subtotal, says.tax, says.total)
    if said != (with_it.work, with_it.subtotal, with_it.tax, with_it.total):
        return f"{key}: {said} is not what taking it comes to, {with_it.total}"
    if says.price != with_it.work - taken.work or says.price > says.at_most:
        return f"{key}: {says.price} is not the difference, or is more than {says.at_most}"
    return ""


def test_the_job_of_a_choice_is_left_as_it_was() -> None:
    """Pure: pricing a choice twice gives the same."""
    quote = a_quote(listed=("BELT",))
    job: Job = replace(quote.job)
    first = price_choice(quote.book, job, "good", ["BELT"])
    assert price_choice(quote.book, job, "good", ["BELT"]) == first and job == quote.job
