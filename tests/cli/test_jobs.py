"""`quotekit jobs`: where each job stands, and what happened to one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.issued_shop import Shop, field
from tests.cli.order_shop import ON, TODAY, orders, shop_with_two_jobs
from tests.ledger.drafts import noted, paid


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shop:
    """Two jobs issued, one of them twice; the commands run in the shop's folder, where its ledger is the only one."""
    made = Shop(tmp_path, capsys)
    monkeypatch.chdir(tmp_path)
    made.issue()
    made.issue()
    made.change_job(lambda sheets: field(sheets, "Job number", "A-9"))
    made.issue()
    return made


def test_a_line_a_job(shop: Shop) -> None:
    assert shop.run("jobs").out.splitlines() == [
        "117  R. Alder, Snow thrower: version 2 waits for an answer",
        "A-9  R. Alder, Snow thrower: version 1 waits for an answer",
    ]


def test_a_line_an_entry(shop: Shop) -> None:
    shop.add(paid("30.00"), noted("rings back"))
    lines = shop.run("jobs", "117").out.splitlines()
    assert lines[0].startswith("2026-03-03  Version 1 issued: Put right ")
    assert lines[0].endswith(" [Ida]")
    assert lines[-2:] == [
        "2026-11-28  30.00 USD taken, deposit, cash. [Ida]",
        "2026-11-28  Noted: rings back. [Ida; so that it is known]",
    ]
    assert len(lines) == 6


def test_as_json(shop: Shop) -> None:
    shop.add(paid("30.00"))
    told = shop.run("jobs", "--json").told
    assert [(one["job"], one["version"], one["accepted_version"], one["paid"]) for one in told["jobs"]] == [
        ("117", 2, None, "30.00"),
        ("A-9", 1, None, "0"),
    ]
    entries = shop.run("jobs", "117", "--json").told["entries"]
    assert [entry["kind"] for entry in entries] == ["issued", "written", "issued", "written", "paid"]
    assert entries[-1]["told"]["amount"] == "30.00"


@pytest.mark.parametrize("typed", ["a-9", " A-9 ", "A-9"])
def test_a_number_is_found_as_a_person_types_it(shop: Shop, typed: str) -> None:
    assert shop.run("jobs", typed).out.startswith("2026-03-03  Version 1 issued")


def test_a_number_nobody_knows(shop: Shop) -> None:
    """With the nearest one that is known."""
    ran = shop.run("jobs", "A-8", "--json")
    assert (ran.code, ran.codes) == (1, ["unknown-job"])
    assert ran.told["problems"][0]["message"] == "No quote of a job A-8 was ever issued."
    assert "A-9" in ran.told["problems"][0]["remedy"]


def test_a_job_with_notes_alone_was_never_issued(shop: Shop) -> None:
    shop.add(noted(job="120"))
    assert shop.run("jobs", "120").code == 1
    assert "120" not in shop.run("jobs").out


def test_without_a_ledger_it_says_how_to_name_one(tmp_path: Path, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    ran = shop.run("jobs", "--json")
    assert (ran.code, ran.codes) == (3, ["which-ledger"])
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_ledger_that_is_not_there_is_not_made(tmp_path: Path, shop: Shop) -> None:
    ran = shop.run("jobs", "--json", "--ledger", tmp_path / "none.db")
    assert (ran.code, ran.codes) == (3, ["ledger-missing"])
    assert not (tmp_path / "none.db").exists()


def test_parts_orders_and_the_shelf_belong_to_the_jobs_they_are_for(tmp_path: Path) -> None:
    """An order for one job is no news of the other."""
    two = shop_with_two_jobs(tmp_path)
    book = ("--book", two.folder / TODAY, "--needed-by", "any", *ON)
    two.run("order", "117", *book)
    two.run("order", "118", *book)
    two.run("receive", "1", "--all", *ON)
    part = next(line.part for line in orders(two)[0].lines if "117" in line.jobs)
    put = two.run("shelf", "--put", part, "1", "--job", "117", *ON)
    assert put.code == 0, put.json
    kinds = {job: [one["kind"] for one in two.run("jobs", job).json["entries"]] for job in ("117", "118")}
    assert {kind: kinds["117"].count(kind) for kind in ("ordered", "received", "shelf")} == {
        "ordered": 1,
        "received": 1,
        "shelf": 1,
    }
    assert [kind for kind in kinds["118"] if kind in ("ordered", "received", "shelf")] == ["ordered"]
