"""Two saved outputs of `quote --json`: what is read, what is refused, and what can be said of them alone."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.compare_files import Request, compare
from quotekit.cli.compare_json_file import read_quote_json
from quotekit.model.comparison import Comparison

QUOTE: dict[str, Any] = {
    "job": "117",
    "version": 1,
    "currency": "USD",
    "tiers": [
        {"code": "good", "total": "100.00", "items": ["NEW"], "ready_days": None, "amounts": {"labour": "60.00"}}
    ],
    "declined": {"total": "20.00"},
}


def saved(folder: Path, name: str, quote: object, start: str = "") -> Path:
    path = folder / name
    path.write_text(start + (quote if isinstance(quote, str) else json.dumps(quote)), encoding="utf-8")
    return path


def tier_with(**values: object) -> dict[str, Any]:
    """The quote with other figures in its tier."""
    return {**QUOTE, "tiers": [{**QUOTE["tiers"][0], **values}]}


def compared(folder: Path, old: object, new: object) -> Comparison:
    files = saved(folder, "old.json", old), saved(folder, "new.json", new)
    return compare(Request(old=files[0], new=files[1], day=date(2026, 11, 28)))


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("{", "unreadable-json", "this is no JSON that can be read"),
        ("", "unreadable-json", "this is no JSON that can be read"),
        ("[" * 100_000, "unreadable-json", "this is no JSON that can be read"),
        ("[1]", "not-a-quote", "no output of quote --json with a job and its options"),
        ("7", "not-a-quote", "no output of quote --json with a job and its options"),
        ("{}", "not-a-quote", "no output of quote --json with a job and its options"),
        ('{"job": "117"}', "not-a-quote", "no output of quote --json with a job and its options"),
        ('{"job": "117", "tiers": {}}', "not-a-quote", "no output of quote --json with a job and its options"),
        ('{"tiers": [{}]}', "not-a-quote", "no output of quote --json with a job and its options"),
        ('{"job": "", "tiers": [{}]}', "not-a-quote", "no output of quote --json with a job and its options"),
        ('{"job": "117", "tiers": []}', "not-a-quote", "has no option: the job had errors then"),
    ],
    ids=["cut off", "empty", "nested deep", "a list", "a number", "an empty object", "no options", "no list",
         "no job", "a blank job", "a quote that had errors"],
)  # fmt: skip
def test_what_is_no_saved_quote_is_refused_with_what_to_give(tmp_path: Path, text: str, code: str, said: str) -> None:
    """Two lists without figures would be called the same."""
    found, (problem,) = read_quote_json(saved(tmp_path, "quote.json", text))
    assert found is None
    assert (problem.code, problem.place.file, problem.severity) == (code, "quote.json", "error")
    assert said in problem.message and "quote --json" in problem.remedy


def test_a_number_with_a_point_is_read_as_it_is_written(tmp_path: Path) -> None:
    """A binary number would print 0.1 as it stands and add it up wrong."""
    found, problems = read_quote_json(saved(tmp_path, "quote.json", '{"job": "117", "tiers": [{"x": 0.10}]}'))
    assert found == {"job": "117", "tiers": [{"x": "0.10"}]} and problems == []


def test_a_mark_of_the_encoding_at_the_start_does_no_harm(tmp_path: Path) -> None:
    """Some editors put one there when the output is saved again."""
    assert read_quote_json(saved(tmp_path, "quote.json", QUOTE, start="\ufeff"))[1] == []


@pytest.mark.parametrize(
    ("new", "moved"),
    [
        (QUOTE, []),
        (tier_with(total="110.50"), ["good total: 100.00 > 110.50, 10.50"]),
        (tier_with(total="100.0"), []),
        (tier_with(items=["PATCH"]), ["good items: NEW > PATCH, None"]),
        (tier_with(ready_days=4), ["good ready_days: None > 4, None"]),
        (tier_with(amounts={"labour": "59.99"}), ["good amounts.labour: 60.00 > 59.99, -0.01"]),
        ({**QUOTE, "declined": {"total": "25.00"}}, ["None declined.total: 20.00 > 25.00, 5.00"]),
        ({**QUOTE, "version": 2}, []),
        (tier_with(why={"aim": "least to own"}, compared=9), []),
    ],
    ids=["the same", "an amount", "a number written otherwise", "what is done", "what had no number", "inside a group",
         "of the job itself", "the version is no figure", "how it was found is no figure"],
)  # fmt: skip
def test_what_moved_between_two(tmp_path: Path, new: object, moved: list[str]) -> None:
    found = compared(tmp_path, QUOTE, new)
    assert [
        f"{one.name.tier} {one.name.figure}: {one.old} > {one.new}, {one.difference}" for one in found.figures
    ] == moved
    assert (found.kind, found.currency, found.cells, found.problems) == ("json", "USD", (), ())


def test_that_the_causes_cannot_be_told_is_said_only_where_something_moved(tmp_path: Path) -> None:
    assert compared(tmp_path, QUOTE, QUOTE).notes == ()
    (note,) = compared(tmp_path, QUOTE, tier_with(total="1.00")).notes
    assert "do not say which cells the figures came from" in note and note.endswith(").")


def test_an_option_that_came_is_all_new(tmp_path: Path) -> None:
    """Each of its figures is told, so that nothing of it is overlooked."""
    both = {**QUOTE, "tiers": [*QUOTE["tiers"], {"code": "best", "total": "200.00"}]}
    found = compared(tmp_path, QUOTE, both)
    assert [(one.name.tier, one.old, one.new, one.difference) for one in found.figures] == [
        ("best", None, "200.00", None)
    ]


@pytest.mark.parametrize(
    ("old", "new", "code", "file"),
    [
        (QUOTE, {**QUOTE, "job": "118"}, "different-jobs", "new.json"),
        ("{", QUOTE, "unreadable-json", "old.json"),
        (QUOTE, "{}", "not-a-quote", "new.json"),
    ],
)
def test_nothing_is_compared_where_one_of_them_is_wrong(
    tmp_path: Path, old: object, new: object, code: str, file: str
) -> None:
    found = compared(tmp_path, old, new)
    assert [(one.code, one.place.file) for one in found.problems] == [(code, file)]
    assert (found.cells, found.figures, found.notes) == ((), (), ())


def test_both_wrong_files_are_told_at_once(tmp_path: Path) -> None:
    found = compared(tmp_path, "{", "[1]")
    assert [(one.code, one.place.file) for one in found.problems] == [
        ("unreadable-json", "old.json"),
        ("not-a-quote", "new.json"),
    ]


def test_which_job_is_which_is_said(tmp_path: Path) -> None:
    (problem,) = compared(tmp_path, QUOTE, {**QUOTE, "job": "118"}).problems
    assert problem.message == "this is of job 118, the other one of job 117: figures of two jobs are not compared"
