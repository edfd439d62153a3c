"""`quotekit life`: the life to type, the formula and its source, and what is wrong usage. Nothing is written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from quotekit.cli.life import EXPLAINED, NEEDED
from quotekit.cli.main import main

BEARING = "bearing --rating 19.5 --load 2.1 --speed 900 --hours-a-year 60".split()
REPLACE = "replace --planned-cost 95 --failure-cost 310 --scale 6 --shape 2.5".split()

Captured = pytest.CaptureFixture[str]


def answer(capsys: Captured, *words: str) -> dict[str, object]:
    """The JSON of a run that succeeds."""
    assert main(["life", *words, "--json"]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    found: dict[str, object] = json.loads(told.out)
    return found


def test_a_ball_bearing(capsys: Captured) -> None:
    """(19.5 / 2.1) ** 3 = 800.656 million turns; 14,827 hours; 247.1 years."""
    assert main(["life", *BEARING]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Life years: 247.1 ")
    assert lines[1] == "L10 = (C / P) ** 3, ball bearing: ISO 281:2007, basic rating life"
    assert lines[2] == "L10 = (19.5 / 2.1) ** 3 = 800.66 million revolutions"
    assert lines[3] == "at 900 turns a minute: 14827 hours; at 60 hours a year: 247.1 years"
    assert "statistical estimate" in lines[4] and "clean lubrication" in lines[4]
    assert "The maker's figures come first." in lines[5]


@pytest.mark.parametrize(
    ("load", "said"),
    [
        ("2.1", "Life years: 247.1  (more than the column takes: type 100 into the sheet Remedies)"),
        ("4.2", "Life years: 30.9  (to type into that column of the sheet Remedies)"),
        ("61", "Life years: 0.0101  (to type into that column of the sheet Remedies)"),
        (
            "70",
            "Life years: 0.0067  (below 0.01, the least that can be typed: it would fail within four days)",
        ),
        (
            "90000",
            "Life years: 0.0000  (below 0.01, the least that can be typed: it would fail within four days)",
        ),
    ],
)
def test_a_life_is_told_as_the_column_takes_it(capsys: Captured, load: str, said: str) -> None:
    """Life years ends at 100 and begins at 0.01: what is told to be typed must be taken there."""
    assert main(["life", *"bearing --rating 19.5 --speed 900 --hours-a-year 60 --load".split(), load]) == 0
    assert capsys.readouterr().out.splitlines()[0] == said


def test_a_roller_bearing_as_json(capsys: Captured) -> None:
    """8 ** (10 / 3) = 1024 million turns: at 1,000 a minute and 1,024 hours a year 16.7 years."""
    value = answer(capsys, *"bearing --rating 8 --load 1 --speed 1000 --hours-a-year 1024 --roller".split())
    assert value["formula"] == "L10 = (C / P) ** (10/3)" and value["bearing"] == "roller"
    assert (value["million_revolutions"], value["life_years"]) == ("1024.0000", "16.7")
    assert value["source"] == "ISO 281:2007, basic rating life" and value["above_half_the_rating"] is False
    assert value["hours"] == "17066.7"


def test_a_heavy_load_is_said_first(capsys: Captured) -> None:
    value = answer(capsys, *"bearing --rating 10 --load 6 --speed 900 --hours-a-year 60".split())
    assert value["above_half_the_rating"] is True
    cautions = value["cautions"]
    assert (
        isinstance(cautions, list)
        and cautions[0] == "The load is above half the rating: ask the maker before trusting this."
    )


def test_a_short_life_keeps_its_digits(capsys: Captured) -> None:
    """A life of 0.0031 years is not 0.00."""
    value = answer(capsys, *"bearing --rating 1 --load 1 --speed 900 --hours-a-year 6000".split())
    assert value["life_years"] == "0.0031"


def test_planned_replacement(capsys: Captured) -> None:
    assert main(["life", *REPLACE]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Life years: 3.74 ")
    assert "age replacement policy for a Weibull life" in lines[1]
    assert lines[2] == "replaced every 3.74 years: 44.13 a year; 74 in 100 reach that age"
    assert lines[3] == "run to failure: 58.23 a year, mean life 5.32 years"


def test_the_published_example_of_planned_replacement(capsys: Captured) -> None:
    """Costs 1 and 5, scale 1,000, shape 2.5 (outside check 6.04): 493.05, 0.0035 and 0.0056."""
    value = answer(capsys, *"replace --planned-cost 1 --failure-cost 5 --scale 1000 --shape 2.5".split())
    assert (value["life_years"], value["planned_age"]) == ("493.0", "493.0")
    assert (value["cost_a_year"], value["run_to_failure_a_year"], value["mean_life"]) == (
        "0.0035",
        "0.0056",
        "887.2638",
    )


def test_where_no_planned_replacement_pays_the_mean_life_is_told(capsys: Captured) -> None:
    value = answer(capsys, *"replace --planned-cost 95 --failure-cost 310 --scale 6 --shape 1".split())
    assert (value["planned_age"], value["life_years"]) == (None, "6.00")
    assert value["run_to_failure_because"] == "with a shape of 1 or less an old part is no worse than a new one"
    assert main(["life", *REPLACE[:-1], "1"]) == 0
    assert "No planned replacement pays: with a shape of 1 or less" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (BEARING[:-2], "life bearing needs --hours-a-year."),
        (["bearing"], "life bearing needs --rating, --load, --speed, --hours-a-year."),
        (["replace", "--scale", "3"], "life replace needs --planned-cost, --failure-cost, --shape."),
        ([*BEARING, "--shape", "2"], "life bearing takes no --shape."),
        ([*REPLACE, "--roller"], "life replace takes no --roller."),
        ([*REPLACE[:-1], "200"], "the shape must lie from 0.1 to 100, not 200."),
        (["bearing", "--rating", "0"], "'0' is no number above zero, typed like 2.1"),
        (["bearing", "--rating", "2,1"], "'2,1' is no number above zero, typed like 2.1"),
        (["bearing", "--rating", "1e3"], "'1e3' is no number above zero"),
        (["bearing", "--rating", "nan"], "'nan' is no number above zero"),
        (["bearing", "--rating", "9" * 40], "is no number above zero"),
        (["wheel"], "invalid choice: 'wheel'"),
        ([], "kind"),
    ],
)
def test_wrong_usage(words: list[str], said: str, capsys: Captured) -> None:
    """Exit code 2, a clear sentence, nothing on the other channel, and where it is explained."""
    assert main(["life", *words]) == 2
    told = capsys.readouterr()
    assert told.out == "" and said in told.err
    assert "quotekit life --help explains with examples." in told.err


def test_every_number_is_explained_and_needed_by_one_kind() -> None:
    assert sorted(EXPLAINED) == sorted(name for names in NEEDED.values() for name in names)


def test_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["life", *BEARING]) == 0
    assert list(tmp_path.iterdir()) == []
