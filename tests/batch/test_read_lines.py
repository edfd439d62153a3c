"""What the summary takes from objects of `quote --json`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.batch.outcome import Outcome
from quotekit.batch.price_job import price_file
from quotekit.batch.read_lines import given_of, job_of, results_in, told, told_problem, with_given
from quotekit.problems import Place, warning
from tests.batch.small_folder import clean_book, read_of, small_folder
from tests.cli.small_shop import write_book


@pytest.fixture(scope="module")
def outcome(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    folder = small_folder(tmp_path_factory.mktemp("shop"), 1)
    return price_file(read_of(folder.book), "job 001.xlsx", (folder.jobs / "job 001.xlsx").read_bytes())


def line_of(outcome: Outcome) -> dict[str, Any]:
    value: dict[str, Any] = json.loads(outcome.line)
    return value


def test_a_job_with_its_amounts_exact(outcome: Outcome) -> None:
    job = job_of(outcome, line_of(outcome))
    good = job.tiers[0].new
    assert (job.file, job.job, job.version, job.customer) == ("job 001.xlsx", "1", 1, "R. Alder 1")
    assert good.subtotal == Decimal(line_of(outcome)["tiers"][0]["subtotal"])
    assert good.cost is not None and job.tiers[0].left == (good.subtotal or 0) - good.cost
    assert not job.refused and job.given is None


def test_a_quote_given_is_what_it_offered(outcome: Outcome) -> None:
    line = line_of(outcome)
    line["tiers"][1]["offered"] = False
    given = given_of(line, "the ledger", standing="version 1 waits for an answer")
    assert given is not None and list(given.tiers) == [line["tiers"][0]["code"]]
    assert given_of(line | {"tiers": []}, "the ledger") is None


def test_a_dearer_book_against_earlier_results(outcome: Outcome, tmp_path: Path) -> None:
    """The way of an owner: results under the old book, then the same jobs under the new one."""
    earlier = results_in([outcome.line])
    folder = small_folder(tmp_path, 1)
    write_book(folder.book, clean_book(bushings=220))
    new = price_file(read_of(folder.book), "job 001.xlsx", (folder.jobs / "job 001.xlsx").read_bytes())
    job = with_given(job_of(new, line_of(new)), earlier["1", 1])
    old, tier = line_of(outcome)["tiers"][0], job.tiers[0]
    assert tier.given is not None and tier.given.total == Decimal(old["total"])
    assert tier.difference == Decimal(line_of(new)["tiers"][0]["total"]) - Decimal(old["total"])
    assert tier.difference > 0 and tier.stands and not tier.other_work


@pytest.mark.parametrize(("currency", "compared"), [("USD", True), ("EUR", False), (None, True)])
def test_a_quote_in_another_currency_is_compared_with_nothing(
    outcome: Outcome, currency: str | None, compared: bool
) -> None:
    """It is known to be there; where its currency is not known it is taken for the shop's."""
    given = given_of(line_of(outcome) | {"currency": currency}, "earlier results")
    job = with_given(job_of(outcome, line_of(outcome)), given)
    assert job.given is given and job.other_currency == ("" if compared else "EUR")
    assert [tier.given is not None for tier in job.tiers[:2]] == [compared] * 2
    assert [tier.stands for tier in job.tiers[:2]] == [compared] * 2
    assert [tier.difference for tier in job.tiers[:2]] == [Decimal("0.00") if compared else None] * 2


def test_without_a_quote_given_the_job_is_as_it_was(outcome: Outcome) -> None:
    job = job_of(outcome, line_of(outcome))
    assert with_given(job, None) is job


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["nothing"], "line 1 is no quote of a job"),
        (["{}"], "line 1 is no quote of a job"),
        (["[]"], "line 1 is no quote of a job"),
        (['{"tiers": [{"code": "good"}], "valid_until": null}'], "line 1 is no quote of a job"),
    ],
)
def test_what_is_no_result_is_refused(lines: Iterable[str], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        results_in(lines)


def test_a_job_that_was_refused_is_in_no_result(outcome: Outcome) -> None:
    assert results_in([json.dumps(line_of(outcome) | {"tiers": []})]) == {}


def test_problems_of_the_shop_book_are_not_told_for_each_job(outcome: Outcome) -> None:
    old = warning(Place("shop book.xlsx", "Parts", "K2"), "old-price", "It is old.", "Ask again.")
    line = line_of(outcome)
    line["problems"] = [
        {"place": str(old.place), "code": "old-price", "severity": "warning", "message": "It is old.",
         "remedy": "Ask again."},
        {"place": "job 001.xlsx", "code": "x", "severity": "error", "message": "No.", "remedy": "Mend it."},
    ]  # fmt: skip
    job = job_of(outcome, line, told([old]))
    assert job.problems == (told_problem(line["problems"][1]),)
    assert job.refused
