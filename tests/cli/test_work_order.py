"""`quotekit work-order`: written from what was agreed, into the shop's own template where there is one."""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font

from quotekit.cli.main import main
from quotekit.workbook.find_template import default_template
from tests.cli.consent_shop import MORE_WELDING, WELDING, Shop, agreed_shop, issued_shop
from tests.workbook.filled import values_of


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return agreed_shop(tmp_path)


def test_the_work_that_was_agreed(shop: Shop) -> None:
    ran = shop.run("work-order", "117", "--on", "2026-11-24")
    path = shop.folder / "117-1 work order.xlsx"
    assert (ran.code, ran.json["problems"], ran.json["files"]) == (0, [], [str(path)])
    assert [(step["kind"], step["work"]) for step in ran.json["steps"]] == [
        ("open", "COVER"),
        ("do", "BELT-FIT"),
        ("do", "ONEOFF-1"),
        ("open", "HOUSING@left"),
        ("do", "BUSHING-FIT@left"),
        ("close", "HOUSING@left"),
        ("close", "COVER"),
        ("last", "TEST"),
    ]
    assert (values_of(path, "job_number"), values_of(path, "version")) == (["117"], [1])
    assert values_of(path, "agreement") == [shop.entries("accepted")[0].seq]
    assert values_of(path, "steps_key") == [step["work"] for step in ran.json["steps"]]
    assert ran.json["measure_again"] == values_of(path, "measurements_key") == ["BUSHING-WORN@left"]


def test_the_same_work_gives_the_same_bytes(shop: Shop) -> None:
    shop.run("work-order", "117", "--on", "2026-11-24")
    first = (shop.folder / "117-1 work order.xlsx").read_bytes()
    shop.run("work-order", "117", "--on", "2026-11-24", "--replace")
    assert (shop.folder / "117-1 work order.xlsx").read_bytes() == first


def test_it_says_the_same_to_a_person(shop: Shop) -> None:
    ran = shop.say("work-order", "117")
    assert ran.code == 0
    assert ran.out.strip() == str(shop.folder / "117-1 work order.xlsx")
    assert "Job 117, version 1: 8 lines of work." in ran.err


def test_a_filled_one_is_not_written_over(shop: Shop) -> None:
    """The hours of a week stand in it."""
    path = shop.folder / "117-1 work order.xlsx"
    shop.run("work-order", "117")
    path.write_bytes(b"filled in")
    ran = shop.run("work-order", "117")
    assert (ran.code, ran.codes) == (3, ["output-exists"])
    assert "--replace" in ran.messages and "Version" not in ran.messages
    assert path.read_bytes() == b"filled in"
    assert shop.run("work-order", "117", "--replace").code == 0
    assert path.read_bytes() != b"filled in"


@pytest.mark.parametrize(("job", "code"), [("118", "unknown-job"), ("117", "not-agreed")])
def test_no_work_before_a_yes(tmp_path: Path, job: str, code: str) -> None:
    shop = issued_shop(tmp_path)
    ran = shop.run("work-order", job)
    assert (ran.code, ran.codes, ran.json["files"]) == (1, [code], [])
    assert list(shop.folder.glob("*work order*")) == []


def test_a_no_takes_the_work_back(shop: Shop) -> None:
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-25")
    ran = shop.run("work-order", "117")
    assert (ran.code, ran.codes) == (1, ["not-agreed"])


def test_the_work_follows_a_revision(shop: Shop) -> None:
    """What needs no new consent is in the next work order; its version says so."""
    shop.change_job(WELDING)
    assert shop.revise().json["needs_consent"] is False
    ran = shop.run("work-order", "117")
    assert ran.json["version"] == 2
    assert "ONEOFF-2" in [step["work"] for step in ran.json["steps"]]
    assert ran.json["files"] == [str(shop.folder / "117-2 work order.xlsx")]


def test_a_change_that_waits_is_not_in_it_and_is_told(shop: Shop) -> None:
    """Nobody begins what the customer has not agreed to."""
    shop.change_job(MORE_WELDING)
    assert shop.revise().json["needs_consent"] is True
    ran = shop.run("work-order", "117")
    assert (ran.code, ran.codes, ran.json["version"]) == (0, ["change-waits"], 1)
    assert "ONEOFF-2" not in [step["work"] for step in ran.json["steps"]]


def test_the_shops_own_template_is_taken(shop: Shop) -> None:
    """From `workbook_templates` beside the ledger, with the shop's fonts."""
    book = openpyxl.load_workbook(BytesIO(default_template("work order")))
    book.active["A1"].font = Font(name="Georgia", size=20)
    (shop.folder / "workbook_templates").mkdir()
    book.save(shop.folder / "workbook_templates" / "work order.xlsx")
    assert shop.run("work-order", "117").code == 0
    written = openpyxl.load_workbook(shop.folder / "117-1 work order.xlsx")
    assert written.active["A1"].font.name == "Georgia"


def test_a_template_with_a_missing_mark_is_named(shop: Shop) -> None:
    book = openpyxl.load_workbook(BytesIO(default_template("work order")))
    sheet = book.active
    sheet[sheet.defined_names["qk_notes"].attr_text.rpartition("!")[2].replace("$", "").split(":")[0]].value = None
    del sheet.defined_names["qk_notes"]
    folder = shop.folder / "mine"
    folder.mkdir()
    book.save(folder / "work order.xlsx")
    ran = shop.run("work-order", "117", "--templates", folder)
    assert (ran.code, ran.codes) == (1, ["template-mark-missing"])
    assert "qk_notes" in ran.messages
    assert list(shop.folder.glob("117-1 work order.xlsx")) == []


def test_a_template_that_is_no_workbook(shop: Shop) -> None:
    folder = shop.folder / "workbook_templates"
    folder.mkdir()
    (folder / "work order.xlsx").write_text("my template")
    ran = shop.run("work-order", "117")
    assert (ran.code, ran.codes) == (1, ["not-a-workbook"])


def test_a_folder_of_templates_that_is_not_there(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work-order", "117", "--ledger", str(shop.ledger), "--templates", str(shop.folder / "none")]) == 2
    assert "there is no folder" in capsys.readouterr().err


def test_a_named_folder_without_this_template_gives_the_programs_own(shop: Shop) -> None:
    folder = shop.folder / "mine"
    folder.mkdir()
    assert shop.run("work-order", "117", "--templates", folder).code == 0


def test_out_is_where_it_is_written(shop: Shop) -> None:
    ran = shop.run("work-order", "117", "--out", shop.folder / "bench")
    assert ran.json["files"] == [str(shop.folder / "bench" / "117-1 work order.xlsx")]
    assert [path.name for path in (shop.folder / "bench").iterdir()] == ["117-1 work order.xlsx"]


def test_nothing_is_recorded(shop: Shop) -> None:
    """It is a copy of what the ledger holds, and may be printed again at any time."""
    before = len(shop.entries())
    shop.run("work-order", "117")
    assert len(shop.entries()) == before


def test_no_ledger_is_a_matter_of_the_disk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work-order", "117", "--ledger", str(tmp_path / "none.db"), "--json"]) == 3
    out = capsys.readouterr().out
    assert not out or json.loads(out)["problems"]
