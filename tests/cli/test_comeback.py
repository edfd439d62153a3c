"""`quotekit comeback`: which job comes back to which, why, and what part of its price is paid."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli.comeback import part_of_price
from quotekit.model.entries import Accepted, Closed, Comeback
from tests.cli.consent_shop import Ran, Shop, agreed_shop
from tests.cli.test_bill import other_job, record

ON = ("--on", "2026-11-27")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Job 117 is billed, job 131 of the same machine is agreed to."""
    shop = agreed_shop(tmp_path)
    record(shop, "closed", Closed(hours=(), parts=()))
    assert shop.run("bill", "117", "--on", "2026-11-25").code == 0
    other_job(shop, "131")
    assert shop.issue().code == 0
    assert shop.accept("--job", "131").code == 0
    return shop


def link(shop: Shop, *words: str, job: str = "131", of: str = "117") -> Ran:
    return shop.run("comeback", job, "--of", of, "--cause", "workmanship", *words, *ON)


def links(shop: Shop) -> list[Comeback]:
    return [entry.told(Comeback) for entry in shop.entries("comeback")]


def test_a_link_is_recorded_with_its_cause(shop: Shop) -> None:
    ran = link(shop, "--note", " The   bushing was loose ")
    assert (ran.code, ran.codes) == (0, [])
    told = {name: ran.json[name] for name in ("job", "first_job", "cause", "charged", "note", "recorded")}
    assert told == {
        "job": "131",
        "first_job": "117",
        "cause": "workmanship",
        "charged": "0",
        "note": "The bushing was loose",
        "recorded": True,
    }
    (entry,) = shop.entries("comeback")
    assert (entry.job, entry.version, entry.day.isoformat()) == ("131", 1, "2026-11-27")


def test_the_same_again_adds_nothing(shop: Shop) -> None:
    link(shop)
    again = link(shop)
    assert (again.code, again.json["recorded"], len(links(shop))) == (0, False, 1)
    assert "is recorded already" in shop.say("comeback", "131", "--of", "117", "--cause", "workmanship", *ON).out


def test_another_word_takes_the_place_of_the_first(shop: Shop) -> None:
    link(shop)
    link(shop, "--charged", "50%")
    assert [one.charged for one in links(shop)] == [Decimal(0), Decimal("0.5")]
    record(shop, "closed", Closed(hours=(), parts=()), "131")
    half = shop.entries("accepted")[-1].told(Accepted).agreed.subtotal / 2
    told = shop.run("bill", "131", *ON).json
    assert abs(Decimal(told["subtotal"]) - half) <= Decimal("0.05"), "each line is rounded by itself"


def test_told_after_the_bill_the_next_bill_gives_it_back(shop: Shop) -> None:
    record(shop, "closed", Closed(hours=(), parts=()), "131")
    billed = shop.run("bill", "131", *ON).json
    shop.run("pay", "131", billed["due"], *ON)
    link(shop)
    told = shop.run("bill", "131", *ON).json
    assert (told["bill"], told["total"], told["refund"]) == (3, f"-{billed['total']}", billed["total"])


@pytest.mark.parametrize(
    ("job", "of", "code"),
    [("131", "131", "comeback-of-itself"), ("117", "131", "comeback-of-later"), ("131", "999", "unknown-job"),
     ("999", "117", "unknown-job")],
)  # fmt: skip
def test_what_can_be_no_comeback(shop: Shop, job: str, of: str, code: str) -> None:
    ran = link(shop, job=job, of=of)
    assert (ran.code, ran.codes, ran.json["recorded"], links(shop)) == (1, [code], False, [])


def test_a_first_job_that_was_never_done_is_a_warning(shop: Shop) -> None:
    other_job(shop, "140")
    assert shop.issue().code == 0
    ran = link(shop, job="140", of="131")
    assert (ran.code, ran.codes) == (0, ["comeback-of-open"])


@pytest.mark.parametrize(
    ("text", "part"), [("0", "0"), ("50%", "0.5"), ("12.5 %", "0.125"), ("0.3", "0.3"), ("1", "1"), ("100%", "1")]
)
def test_parts_of_a_price(text: str, part: str) -> None:
    assert part_of_price(text) == Decimal(part)


@pytest.mark.parametrize("text", ["50", "-1%", "101%", "half", "", "NaN", "1e9"])
def test_what_is_no_part_of_a_price(text: str) -> None:
    """Whether 50 means a half is not guessed."""
    with pytest.raises(Exception, match="is no part of a price"):
        part_of_price(text)


def test_it_is_told_to_a_person(shop: Shop) -> None:
    ran = shop.say("comeback", "131", "--of", "117", "--cause", "part", "--charged", "25%", *ON)
    assert ran.out == "Job 131 comes back to job 117 (part); charged is 0.25 of its price.\n"
    assert shop.say("comeback", "131", "--of", "117").code == 2, "a cause is needed"
