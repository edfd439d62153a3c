"""`quotekit clock`: hours typed or timed, by person, never guessed and never lost."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.entries import Clocked
from tests.cli.consent_shop import Ran, Shop, agreed_shop, issued_shop

ANN = ("--person", "Ann")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return agreed_shop(tmp_path)


def clock(shop: Shop, *words: str) -> Ran:
    return shop.run("clock", "117", "--on", "2026-11-24", *words)


def recorded(shop: Shop) -> list[tuple[str, str, str]]:
    bodies = [entry.told(Clocked) for entry in shop.entries("clocked")]
    return [(one.work, one.person, f"{one.hours:f}") for one in bodies]


def test_hours_of_the_job_and_of_one_line(shop: Shop) -> None:
    first = clock(shop, "--hours", "1.5", *ANN, "--note", "towing")
    second = clock(shop, "--hours", ".25", *ANN, "--work", "housing@LEFT")
    assert (first.code, first.codes, second.code) == (0, [], 0)
    assert recorded(shop) == [("", "Ann", "1.5"), ("HOUSING@left", "Ann", "0.25")]
    assert second.json["hours_of_job"] == "1.75"
    assert {
        "day": "2026-11-24",
        "work": "HOUSING@left",
        "running": False,
        "recorded": True,
    }.items() <= second.json.items()
    assert shop.entries("clocked")[0].told(Clocked).note == "towing"


def test_hours_are_of_who_records_them_unless_told(shop: Shop) -> None:
    clock(shop, "--hours", "1", "--recorded-by", "Bo  Berg")
    assert recorded(shop) == [("", "Bo Berg", "1")]


def test_what_a_person_reads(shop: Shop) -> None:
    ran = shop.say("clock", "117", "--hours", "1.5", *ANN, "--on", "2026-11-24")
    assert ran.out == "Ann: 1.5 h on job 117. The job has taken 1.5 h by the clock.\n"
    ran = shop.say("clock", "117", "--start", *ANN, "--work", "TEST", "--on", "2026-11-24", "--at", "09:00")
    assert ran.out == "Ann is at work on job 117, TEST since 09:00.\n"


@pytest.mark.parametrize("typed", ["0", "25", "-25", "1,5", "1h", "", "1.23456", "1e3", "nan"])
def test_hours_that_are_none(shop: Shop, typed: str) -> None:
    ran = clock(shop, f"--hours={typed}", *ANN)
    assert (ran.code, ran.codes) == (1, ["hours-unclear"])
    assert recorded(shop) == []


def test_hours_taken_back(shop: Shop) -> None:
    """A slip is put right by an entry of its own, and never below nothing."""
    clock(shop, "--hours", "1.5", *ANN)
    assert clock(shop, "--hours", "-0.5", *ANN).json["hours_of_job"] == "1.0"
    assert clock(shop, "--hours", "-1.5", *ANN).codes == ["hours-unclear"]
    assert clock(shop, "--hours", "-0.5", "--person", "Bo").codes == ["hours-unclear"]
    assert clock(shop, "--hours", "-0.5", *ANN, "--work", "TEST").codes == ["hours-unclear"]
    assert recorded(shop) == [("", "Ann", "1.5"), ("", "Ann", "-0.5")]


def test_work_that_was_not_agreed(shop: Shop) -> None:
    ran = clock(shop, "--hours", "1", *ANN, "--work", "HOUSING@rigth")
    assert (ran.code, ran.codes) == (1, ["work-not-agreed"])
    assert "Did you mean HOUSING@left?" in ran.messages


def test_from_start_to_stop(shop: Shop) -> None:
    assert clock(shop, "--start", *ANN, "--work", "TEST", "--at", "09:05").json["running"] is True
    ran = clock(shop, "--stop", *ANN, "--at", "10:25")
    assert (ran.code, ran.json["work"], ran.json["hours"]) == (0, "TEST", "1.33")
    assert (ran.json["started"][:16], ran.json["ended"][:16]) == ("2026-11-24T09:05", "2026-11-24T10:25")
    assert recorded(shop) == [("TEST", "Ann", "0"), ("TEST", "Ann", "1.33")]


def test_a_stop_may_say_what_the_work_was(shop: Shop) -> None:
    clock(shop, "--start", *ANN, "--at", "09:00")
    assert clock(shop, "--stop", *ANN, "--at", "09:30", "--work", "BELT-FIT").json["work"] == "BELT-FIT"


def test_people_have_clocks_of_their_own(shop: Shop) -> None:
    clock(shop, "--start", *ANN, "--at", "09:00")
    clock(shop, "--start", "--person", "Bo", "--at", "09:30")
    assert clock(shop, "--stop", "--person", "ann", "--at", "10:00").json["hours"] == "1.00"
    assert clock(shop, "--stop", "--person", "Bo", "--at", "10:00").json["hours"] == "0.50"


def test_a_second_start_and_a_stop_without_one(shop: Shop) -> None:
    assert clock(shop, "--stop", *ANN, "--at", "09:00").codes == ["clock-not-running"]
    clock(shop, "--start", *ANN, "--at", "09:00")
    ran = clock(shop, "--start", *ANN, "--at", "10:00")
    assert (ran.codes, "since 2026-11-24 09:00" in ran.messages) == (["clock-running"], True)
    clock(shop, "--stop", *ANN, "--at", "10:00")
    assert clock(shop, "--stop", *ANN, "--at", "11:00").codes == ["clock-not-running"]


@pytest.mark.parametrize(("day", "at"), [("2026-11-24", "08:59"), ("2026-11-25", "01:01")])
def test_a_shift_that_cannot_be(shop: Shop, day: str, at: str) -> None:
    """A stop before its start, or sixteen hours after it: somebody forgot, and nothing is guessed."""
    clock(shop, "--start", *ANN, "--at", "09:00")
    ran = shop.run("clock", "117", "--stop", *ANN, "--on", day, "--at", at)
    assert (ran.code, ran.codes) == (1, ["clock-unlikely"])


@pytest.mark.parametrize("at", ["25:00", "9", "soon"])
def test_a_time_that_is_none(shop: Shop, at: str) -> None:
    assert clock(shop, "--start", *ANN, "--at", at).codes == ["time-unclear"]


def test_a_time_to_come(shop: Shop) -> None:
    later = datetime.now() + timedelta(days=1)
    ran = shop.run("clock", "117", "--start", *ANN, "--on", f"{later:%Y-%m-%d}", "--at", f"{later:%H:%M}")
    assert ran.codes == ["time-unclear"]


def test_an_earlier_day_needs_its_time(shop: Shop) -> None:
    assert clock(shop, "--start", *ANN).codes == ["time-unclear"]


def test_now_is_the_time_where_none_is_given(shop: Shop) -> None:
    begun = shop.run("clock", "117", "--start", *ANN)
    ended = shop.run("clock", "117", "--stop", *ANN)
    assert (begun.code, ended.code) == (0, 0)
    assert Decimal(0) <= Decimal(ended.json["hours"]) < Decimal("0.1")


def test_hours_before_a_yes_are_told(tmp_path: Path) -> None:
    """Looking for the fault takes time too; it is of the job as a whole, as no work is agreed yet."""
    shop = issued_shop(tmp_path)
    ran = clock(shop, "--hours", "0.5", *ANN)
    assert (ran.code, ran.codes, ran.json["problems"][0]["severity"]) == (0, ["not-agreed"], "warning")
    assert clock(shop, "--hours", "1", "--work", "TEST", *ANN).code == 1


def test_hours_after_closing_are_told(shop: Shop) -> None:
    clock(shop, "--hours", "0.5", *ANN)
    assert shop.run("close", "117").code == 0
    assert clock(shop, "--hours", "0.5", *ANN).codes == ["closed-already"]


def test_an_unknown_job(shop: Shop) -> None:
    ran = shop.run("clock", "171", "--hours", "1")
    assert (ran.code, ran.codes, ran.json["recorded"]) == (1, ["unknown-job"], False)
    assert "Did you mean 117?" in ran.messages


@pytest.mark.parametrize("words", [[], ["--start", "--stop"], ["--hours", "1", "--stop"]])
def test_one_of_hours_start_and_stop(shop: Shop, words: list[str]) -> None:
    assert shop.say("clock", "117", *words).code == 2


def test_time_that_is_clocked_twice_is_told(shop: Shop) -> None:
    """It is recorded, since one of the two may be what was really worked, and the amount to take back is said."""
    clock(shop, "--start", *ANN, "--at", "09:00")
    clock(shop, "--stop", *ANN, "--at", "12:20")
    clock(shop, "--start", "--person", "Bo", "--at", "09:00")
    assert clock(shop, "--stop", "--person", "Bo", "--at", "12:20").codes == []
    clock(shop, "--start", "--person", "ann", "--at", "11:00")
    ran = clock(shop, "--stop", "--person", "ann", "--at", "13:00")
    assert (ran.code, ran.codes) == (0, ["clock-overlap"])
    assert "1.33 h of it are clocked already, from 2026-11-24 09:00 to 12:20" in ran.json["problems"][0]["message"]
    assert "--hours -1.33" in ran.json["problems"][0]["remedy"]
    clock(shop, "--start", *ANN, "--at", "13:00")
    assert clock(shop, "--stop", *ANN, "--at", "14:00").codes == []


def test_a_time_of_day_is_not_for_typed_hours(shop: Shop) -> None:
    """It was left out of what is recorded without a word."""
    ran = clock(shop, "--hours", "1", *ANN, "--at", "09:00")
    assert (ran.code, ran.codes) == (1, ["time-unclear"])
    assert recorded(shop) == []


def test_a_blank_name_is_none(shop: Shop) -> None:
    clock(shop, "--hours", "1", "--person", "  ", "--recorded-by", "Bo")
    assert recorded(shop) == [("", "Bo", "1")]


@pytest.mark.parametrize(("typed", "meant"), [("1:30", "1.5"), ("1h30", "1.5"), ("1,5", "1.5"), ("90 min", "1.5")])
def test_hours_in_other_words_get_a_suggestion(shop: Shop, typed: str, meant: str) -> None:
    (problem,) = clock(shop, f"--hours={typed}", *ANN).json["problems"]
    assert (problem["code"], f"Type {meant} as a number" in problem["remedy"]) == ("hours-unclear", True)


def test_a_time_may_name_its_day(shop: Shop) -> None:
    """As `accept --at` takes it."""
    shop.run("clock", "117", "--start", *ANN, "--at", "2026-11-24 22:30")
    ran = shop.run("clock", "117", "--stop", *ANN, "--at", "2026-11-25 01:00")
    assert (ran.code, ran.json["hours"], ran.json["day"]) == (0, "2.50", "2026-11-25")
    ran = clock(shop, "--start", *ANN, "--at", "2026-11-25 08:00")
    assert ran.codes == ["time-unclear"] and "another day than that of --on" in ran.json["problems"][0]["message"]
    assert shop.run("clock", "117", "--start", *ANN, "--at", "soon 08:00").codes == ["time-unclear"]
