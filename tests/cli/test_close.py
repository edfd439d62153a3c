"""`quotekit close`: the filled work order becomes what was done, once, and every wrong cell is named."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli.close import _hours
from quotekit.model.entries import Closed
from quotekit.model.record_json import to_json
from quotekit.workbook.fill_template import fill_template
from tests.cli.consent_shop import WELDING, Ran, Shop, agreed_shop, issued_shop
from tests.workbook.filled import fill_in

assert fill_template  # loaded once for all tests

TYPED: dict[str, object] = {
    "technician": "Ann",
    "steps_hours/COVER": 0.35,
    "steps_hours/BELT-FIT": 0.5,
    "whole_hours/1": 1.2,
    "whole_person/1": "Bo",
    "parts_used/GREASE": 0.5,
    "more_part/1": "0417",
    "more_used/1": 2,
    "measurements_now/BUSHING-WORN@left": 19.2,
    "notes": "Plate was bent",
}


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = agreed_shop(tmp_path)
    shop.run("work-order", "117")
    return shop


def fill(shop: Shop, typed: dict[str, object] | None = None, name: str = "filled.xlsx", of: int = 1) -> Path:
    path = shop.folder / f"117-{of} work order.xlsx"
    return fill_in(path, TYPED if typed is None else typed, shop.folder / name)


def close(shop: Shop, path: Path, *words: str) -> Ran:
    return shop.run("close", "117", "--from", path, "--on", "2026-11-27", *words)


def bodies(shop: Shop) -> list[Closed]:
    return [entry.told(Closed) for entry in shop.entries("closed")]


def test_what_the_technician_wrote_is_what_was_done(shop: Shop) -> None:
    path = fill(shop)
    ran = close(shop, path)
    assert (ran.code, ran.codes) == (0, [])
    (body,) = bodies(shop)
    measured = {(one.work, one.person): one.hours for one in body.hours if one.measured}
    assert measured == {("COVER", "Ann"): Decimal("0.35"), ("BELT-FIT", "Ann"): Decimal("0.5")}
    split = {one.work: one.hours for one in body.hours if not one.measured}
    assert sum(split.values()) == Decimal("1.2") and {one.person for one in body.hours if not one.measured} == {"Bo"}
    assert split.keys() == {"HOUSING@left", "BUSHING-FIT@left", "ONEOFF-1", "TEST"}
    parts = {one.part: one.quantity for one in body.parts}
    assert parts == {"0417": 3, "BELT": 1, "BUSHING": 1, "GREASE": Decimal("0.5")}
    assert (body.notes, body.measured_again) == ("Plate was bent", {"BUSHING-WORN@left": Decimal("19.2")})


def test_the_json_tells_hours_as_text(shop: Shop) -> None:
    told = close(shop, fill(shop)).json
    assert (told["hours_together"], told["hours_measured"]) == ("2.05", "0.85")
    assert {"work": "COVER", "person": "Ann", "hours": "0.35", "measured": True} in told["hours"]
    assert {"part": "GREASE", "quantity": "0.5", "unit_cost": None} in told["parts"]
    assert (told["job"], told["version"], told["day"], told["recorded"]) == ("117", 1, "2026-11-27", True)


def test_closing_twice_with_the_same_file_records_once(shop: Shop) -> None:
    path = fill(shop)
    first, second = close(shop, path), close(shop, path)
    assert (first.json["recorded"], second.json["recorded"], second.code) == (True, False, 0)
    assert len(bodies(shop)) == 1 and second.json["entry"] == first.json["entry"]
    assert "nothing was added" in shop.say("close", "117", "--from", path).out


def test_another_file_takes_its_place(shop: Shop) -> None:
    """What was closed first stays in the ledger; the last closing holds."""
    close(shop, fill(shop))
    close(shop, fill(shop, {**TYPED, "steps_hours/COVER": 0.4}, "again.xlsx"))
    assert [body.hours[0].hours for body in bodies(shop)] == [Decimal("0.35"), Decimal("0.4")]


def test_the_file_is_kept(shop: Shop) -> None:
    from quotekit.ledger.open_ledger import open_ledger

    path = fill(shop)
    close(shop, path)
    (body,) = bodies(shop)
    assert body.work_order is not None and body.work_order.name == "filled.xlsx"
    with open_ledger(shop.ledger) as ledger:
        assert ledger.file(body.work_order.sha256) == path.read_bytes()


def test_the_day_is_the_one_on_the_sheet_unless_told(shop: Shop) -> None:
    from datetime import date

    path = fill(shop, {**TYPED, "finished_on": date(2026, 11, 26)})
    assert shop.run("close", "117", "--from", path).json["day"] == "2026-11-26"


@pytest.mark.parametrize(
    ("day", "said"), [("2062-11-26", "is still to come"), ("2025-11-26", "is before the customer agreed, on 2026-")]
)
def test_a_day_that_can_hardly_be_is_told(shop: Shop, day: str, said: str) -> None:
    """A slip in the year would put the job into another season of the review."""
    from datetime import date

    ran = shop.run("close", "117", "--from", fill(shop, {**TYPED, "finished_on": date.fromisoformat(day)}))
    assert (ran.code, ran.codes) == (0, ["finished-day"])
    assert said in ran.json["problems"][0]["message"]


def test_the_same_file_under_another_name_is_the_same(shop: Shop) -> None:
    path = fill(shop)
    close(shop, path)
    renamed = path.rename(shop.folder / "117 filled in by Ann (2).xlsx")
    assert close(shop, renamed).json["recorded"] is False
    assert len(bodies(shop)) == 1


def test_a_clock_that_still_runs_is_told(shop: Shop) -> None:
    """A stop that was forgotten: its hours are not known, and must not be missing in silence."""
    shop.run("clock", "117", "--start", "--person", "Cy", "--on", "2026-11-26", "--at", "09:00")
    ran = close(shop, fill(shop))
    assert (ran.code, ran.codes) == (0, ["clock-running"])
    assert "Cy runs since 2026-11-26 09:00" in ran.json["problems"][0]["message"]
    assert shop.run("close", "117", "--from", shop.folder / "filled.xlsx", "--sheet-alone").codes == []


def test_clocked_hours_count_too(shop: Shop) -> None:
    shop.run("clock", "117", "--hours", "0.4", "--person", "Cy", "--work", "TEST", "--on", "2026-11-26")
    close(shop, fill(shop))
    (body,) = bodies(shop)
    assert ("TEST", "Cy", Decimal("0.4")) in {(one.work, one.person, one.hours) for one in body.hours}
    assert "TEST" not in {one.work for one in body.hours if not one.measured}


def test_the_same_hours_twice_are_refused_until_settled(shop: Shop) -> None:
    shop.run("clock", "117", "--hours", "0.4", "--person", "ann", "--work", "COVER", "--on", "2026-11-26")
    path = fill(shop)
    ran = close(shop, path)
    assert (ran.code, ran.codes, bodies(shop)) == (1, ["hours-twice"], [])
    assert close(shop, path, "--sheet-alone").code == 0
    assert {one.person for one in bodies(shop)[0].hours} == {"Ann", "Bo"}


def test_closed_by_the_clock_alone(shop: Shop) -> None:
    """Parts are as agreed, and the clock's hours count; a start that still runs is no hours yet."""
    shop.run("clock", "117", "--hours", "2.2", "--person", "Ann", "--on", "2026-11-26")
    ran = shop.run("close", "117", "--on", "2026-11-27")
    assert (ran.code, ran.codes, ran.json["hours_together"], ran.json["hours_measured"]) == (0, [], "2.20", "0")
    assert shop.run("close", "117", "--on", "2026-11-28").json["recorded"] is False
    shop.run("clock", "117", "--hours", "0.3", "--person", "Ann", "--on", "2026-11-27")
    assert shop.run("close", "117", "--on", "2026-11-28").json["hours_together"] == "2.50"


def test_closed_without_any_hours_is_told(shop: Shop) -> None:
    ran = shop.run("close", "117")
    assert (ran.code, ran.codes) == (0, ["no-hours"])


WRONG = [
    ({"steps_hours/COVER": "0.5 h", "parts_used/BELT": "x"}, ["text-number", "not-a-number"]),
    ({"technician": None}, ["no-person", "no-person"]),
    ({"more_part/1": "SPARE"}, ["unknown-code"]),
    ({"steps_key/1": "FRAME"}, ["work-not-agreed"]),
    ({"job_number": "118"}, ["other-job"]),
]


@pytest.mark.parametrize(("typed", "codes"), WRONG)
def test_what_is_wrong_is_told_and_nothing_is_recorded(shop: Shop, typed: dict[str, object], codes: list[str]) -> None:
    change = {**TYPED, **typed}
    if "steps_key/1" in typed:
        change = {"technician": "Ann", "steps_hours/1": 1, "steps_key/1": "FRAME"}
    path = fill(shop, change)
    ran = close(shop, path)
    assert (ran.code, ran.codes, ran.json["recorded"], bodies(shop)) == (1, codes, False, [])
    assert all(problem["place"].startswith("filled.xlsx:Work order") for problem in ran.json["problems"])


def test_an_older_sheet_still_counts_and_is_told(shop: Shop) -> None:
    path = fill(shop)
    shop.change_job(WELDING)
    shop.revise()
    ran = close(shop, path)
    assert (ran.code, ran.codes, ran.json["version"]) == (0, ["older-work-order"], 2)
    assert "ONEOFF-2" in {one.work for one in bodies(shop)[0].hours if not one.measured}


def test_what_was_not_done_takes_no_hours_and_no_parts(shop: Shop) -> None:
    ran = close(shop, fill(shop, {"technician": "Ann", "whole_hours/1": 2, "items_not_done/BELT-NEW": "Yes"}))
    assert ran.json["not_done"] == ["BELT-NEW"]
    (body,) = bodies(shop)
    assert {one.part: str(one.quantity) for one in body.parts}["BELT"] == "0"
    assert "BELT-FIT" not in {one.work for one in body.hours}
    assert "Not done: BELT-NEW." in shop.say("close", "117", "--from", shop.folder / "filled.xlsx").out


def test_a_job_without_a_yes_is_not_closed(tmp_path: Path) -> None:
    ran = issued_shop(tmp_path).run("close", "117")
    assert (ran.code, ran.codes) == (1, ["not-agreed"])


def test_a_file_that_is_none(shop: Shop) -> None:
    ran = close(shop, shop.folder / "117-1 quote.xlsx")
    assert (ran.code, ran.codes) == (1, ["not-filled"])
    assert close(shop, shop.folder / "none.xlsx").codes == ["missing-file"]


def test_what_is_recorded_reads_back_as_it_was(shop: Shop) -> None:
    close(shop, fill(shop))
    (entry,), (body,) = shop.entries("closed"), bodies(shop)
    assert to_json(body) == entry.body
    assert (entry.kind, entry.version) == ("closed", 1)


@pytest.mark.parametrize(
    ("measured", "together", "words"),
    [
        ("5.15", "5.15", "5.15 h, all measured step by step"),
        ("0", "3.70", "3.70 h, none measured step by step"),
        ("0", "0", "no hours were written down"),
        ("1.50", "2.00", "2.00 h, 1.50 h of them measured step by step"),
    ],
)
def test_how_many_hours_were_measured_is_told_in_words(measured: str, together: str, words: str) -> None:
    assert _hours({"hours_measured": measured, "hours_together": together}) == words
