"""What a form picks from is what the ledger says now: jobs by where they stand, orders with what is open."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers.request import Refused
from quotekit.cli.answers.shop_lists import answer
from quotekit.cli.which_ledger import VARIABLE
from tests.cli.consent_shop import BOOK_FILE, PLATE, Shop, agreed_shop, book_rows, issued_shop
from tests.cli.order_shop import shop_with_an_order
from tests.problem_catalogue.workbooks import write


@pytest.fixture(autouse=True)
def no_ledger_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """The environment of the tests names none."""
    monkeypatch.delenv(VARIABLE, raising=False)


def lists(shop: Shop, *what: str) -> dict[str, Any]:
    """Lists as a form asks for them."""
    return answer({"what": what, "folder": str(shop.folder), "book": str(shop.folder / BOOK_FILE)})


def the_job(shop: Shop) -> dict[str, Any]:
    """Job 117 as it is listed."""
    return next(one for one in lists(shop, "jobs")["jobs"] if one["job"] == "117")


def marks(job: dict[str, Any]) -> set[str]:
    """What is true of a job."""
    return {name for name in ("waits", "change", "agreed", "done", "billed") if job[name]}


def test_a_job_from_its_quote_to_its_bill(tmp_path: Path) -> None:
    """At each step the marks by which forms put jobs first, in the words of `quotekit jobs`."""
    shop = issued_shop(tmp_path)
    assert (marks(the_job(shop)), the_job(shop)["state"]) == ({"waits"}, "version 1 waits for an answer")
    assert shop.accept().code == 0
    assert (marks(the_job(shop)), the_job(shop)["state"]) == ({"agreed"}, "version 1 is agreed, in work")
    assert shop.run("close", "117", "--on", "2026-11-24").code == 0
    assert (marks(the_job(shop)), the_job(shop)["state"]) == ({"agreed", "done"}, "done, to be billed")
    billed = shop.run("bill", "117", "--on", "2026-11-24", "--out", shop.folder).json
    assert marks(the_job(shop)) == {"agreed", "done", "billed"} and the_job(shop)["due"] == billed["due_now"]
    assert shop.run("pay", "117", billed["due_now"], "--on", "2026-11-24").code == 0
    assert the_job(shop)["state"] == "billed and paid" and not the_job(shop)["due"].strip("0.")


def test_a_no_waits_for_nothing(tmp_path: Path) -> None:
    """A declined job is not asked about again."""
    shop = issued_shop(tmp_path)
    assert shop.run("decline", "117", "--reason", "price", "--on", "2026-11-23").code == 0
    assert marks(the_job(shop)) == set()


def test_a_change_waits_and_has_no_options(tmp_path: Path) -> None:
    """A change is taken as it is: what can be picked is for quotes alone."""
    shop = agreed_shop(tmp_path)
    shop.change_job(["Weld the frame", "labour", 9, "", "", "", "", "", "", "", ""], PLATE)
    told = shop.revise()
    assert told.json["needs_consent"] is True
    assert marks(the_job(shop)) == {"waits", "change", "agreed"}


def test_options_and_extras_are_those_of_the_quote(tmp_path: Path) -> None:
    """With totals, and with what an extra adds at most, as the customer's page says it."""
    shop = issued_shop(tmp_path)
    quote = shop.issue().json
    offered = [tier for tier in quote["tiers"] if tier["offered"]]
    assert [(one["code"], one["name"], one["total"]) for one in the_job(shop)["options"]] == [
        (tier["code"], tier["name"], tier["total"]) for tier in offered
    ]
    assert [one["extras"] for one in the_job(shop)["options"]] == [
        [{"code": extra["extra"], "at_most": extra["at_most"]} for extra in tier["extras"]] for tier in offered
    ]


def test_work_is_what_was_agreed(tmp_path: Path) -> None:
    """Hours go on lines of the work order; nothing before the yes."""
    assert the_job(issued_shop(tmp_path / "a"))["work"] == []
    shop = agreed_shop(tmp_path / "b")
    steps = shop.run("work-order", "117", "--on", "2026-11-24").json["steps"]
    assert {one["code"] for one in the_job(shop)["work"]} == {step["work"] for step in steps if step["work"]}


def test_old_parts_that_may_be_handed_back_are_listed(tmp_path: Path) -> None:
    """Those with a core charge alone, of a customer who keeps the old parts."""
    shop = issued_shop(tmp_path)
    rows = book_rows()
    column = rows["Parts"][0].index("Core charge")
    for row in rows["Parts"][1:]:
        row[column:] = [*row[column:], *[""] * (column + 1 - len(row))]
        row[column] = 15 if row[0] == "BUSHING" else ""
    write(shop.folder / BOOK_FILE, rows, {"merge": {}, "hide": {}})
    shop.change_job(Old_parts="keep")
    assert shop.issue().code == 0 and shop.accept("--extra", "BELT-NEW").code == 0
    assert [one["code"] for one in the_job(shop)["cores"]] == ["BUSHING"]


def test_an_order_has_its_open_lines(tmp_path: Path) -> None:
    """What came in is here, what did not is open; the supplier is told beside the part."""
    shop = shop_with_an_order(tmp_path)
    order = lists(shop, "orders")["orders"][0]
    assert (order["number"], order["open"], sorted(order["jobs"])) == ("1", 2, ["117", "118"])
    assert [(line["supplier"], line["open"], line["received"]) for line in order["lines"]] == [
        ("AXLE", 1, 0),
        ("NORTH", 1, 0),
    ]
    assert shop.run("receive", "1", "--all", "--supplier", "AXLE", "--on", "2026-11-25").code == 0
    order = lists(shop, "orders")["orders"][0]
    assert [(line["open"], line["received"]) for line in order["lines"]] == [(0, 1), (1, 0)] and order["open"] == 1


def test_the_shelf_and_the_people(tmp_path: Path) -> None:
    """What was put there, and who clocked hours."""
    shop = agreed_shop(tmp_path)
    assert shop.run("shelf", "--put", "SEAL", "4", "--cost", "3.20", "--on", "2026-11-24").code == 0
    for person in ("Ben", "Ann", "Ben"):
        assert shop.run("clock", "117", "--hours", "1", "--person", person, "--on", "2026-11-24").code == 0
    told = lists(shop, "shelf", "people")
    assert [(one["code"], one["on_shelf"]) for one in told["shelf"]] == [("SEAL", "4")]
    assert told["people"] == ["Ann", "Ben"]


def test_the_newest_come_first(tmp_path: Path) -> None:
    """The job of which something happened last is on top, whatever its number."""
    shop = shop_with_an_order(tmp_path)
    assert [one["job"] for one in lists(shop, "jobs")["jobs"]] == ["118", "117"]
    assert shop.run("pay", "117", "10", "--on", "2026-11-25").code == 0
    assert [one["job"] for one in lists(shop, "jobs")["jobs"]] == ["117", "118"]


def test_before_the_first_quote_lists_are_empty(tmp_path: Path) -> None:
    """There is no ledger yet, and looking makes none."""
    (tmp_path / "shop").mkdir()
    told = lists(Shop(tmp_path / "shop"), "jobs", "orders", "shelf", "people", "nonsense")
    assert told == {"ledger": None, "jobs": [], "orders": [], "shelf": [], "people": []}
    assert list((tmp_path / "shop").iterdir()) == []


def test_several_ledgers_are_told(tmp_path: Path) -> None:
    """Nothing is guessed."""
    shop = issued_shop(tmp_path)
    (shop.folder / "another ledger.db").write_bytes(b"")
    with pytest.raises(Refused) as refused:
        lists(shop, "jobs")
    assert [problem.code for problem in refused.value.problems] == ["which-ledger"]


def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    """A disk that was unplugged."""
    with pytest.raises(Refused) as refused:
        lists(Shop(tmp_path / "gone"), "jobs")
    assert [problem.code for problem in refused.value.problems] == ["missing-folder"]
