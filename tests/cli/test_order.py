"""`quotekit order`: which jobs, what is bought where, what is written, and never twice."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotekit.cli.order import day_by_job
from tests.cli.consent_shop import BOOK_FILE, JOB_FILE, Shop, agreed_shop, book_rows, issued_shop
from tests.cli.order_shop import ON, TODAY, orders, shop_with_two_jobs, write_today
from tests.problem_catalogue.workbooks import write


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return shop_with_two_jobs(tmp_path)


def packs(shop: Shop, number: int = 1) -> dict[str, tuple[str, int]]:
    """Supplier and packs by part."""
    return {line.part: (line.supplier, line.packs) for line in orders(shop)[number - 1].lines}


def test_all_accepted_jobs_share_one_order(shop: Shop) -> None:
    """A pack of two bushings serves both jobs; each job's own belt is bought for it alone."""
    ran = shop.run("order", *ON)
    assert (ran.code, ran.json["order"], ran.json["jobs"]) == (0, 1, ["117", "118"])
    assert packs(shop) == {"BELT of 117": ("NORTH", 1), "BUSHING": ("NORTH", 1)}
    bushing = orders(shop)[0].lines[1]
    assert (dict(bushing.jobs), bushing.left_over) == ({"117": 1, "118": 1}, 0)
    assert ran.json["landed"] == "42.50" == ran.json["bound"] == ran.json["usual"]
    (entry,) = shop.entries("ordered")
    assert (entry.number, entry.job, entry.day.isoformat()) == (1, "", "2026-11-24")
    assert (ran.json["recorded"], ran.json["entry"]) == (True, entry.seq)


def test_the_book_of_today_has_other_offers(shop: Shop) -> None:
    """Three bushings for 5.00 from AXLE, who asks no freight; the belt is NORTH's alone."""
    ran = shop.run("order", "118", "--book", shop.folder / TODAY, "--needed-by", "any", *ON)
    assert ran.code == 0
    assert packs(shop) == {"BUSHING": ("AXLE", 1)}
    assert (ran.json["landed"], ran.json["usual"], ran.json["saved"]) == ("5.00", "18.50", "13.50")
    assert ran.json["compared"].endswith("from 2 offers of 2 suppliers: none lands for less.")
    assert ran.json["lines"][0]["left_over"] == "2"


def test_nothing_is_ordered_twice(shop: Shop) -> None:
    """What one order leaves over serves the next job: three bushings, one needed by each."""
    assert shop.run("order", "118", "--book", shop.folder / TODAY, *ON).code == 0
    again = shop.run("order", "118", *ON)
    assert (again.code, again.json["order"], again.json["lines"]) == (0, None, [])
    assert "No parts are needed" in again.err
    rest = shop.run("order", "--needed-by", "any", *ON)
    assert (rest.json["order"], packs(shop, 2)) == (2, {"BELT of 117": ("NORTH", 1)})
    assert ["BUSHING", "117", "1"] in [[take["part"], take["job"], take["quantity"]] for take in rest.json["shelf"]]
    assert shop.run("order", *ON).json["order"] is None
    assert [entry.number for entry in shop.entries("ordered")] == [1, 2]


def test_a_change_orders_only_what_is_new(shop: Shop) -> None:
    """The plate of the changed job is all that the second order holds."""
    assert shop.run("order", "117", *ON).code == 0
    shop.change_job(["Bracket plate", "part", 1, 2, "", "", "", "NORTH", 2, "", ""])
    revised = shop.revise()
    assert revised.code == 0, revised.err
    if revised.json["needs_consent"]:
        agreed = shop.run(
            "accept", "--job", "117", "--by", "phone", "--who", "A. Lindqvist", "--phone", "555 0100", "--note", "yes",
            "--on", "2026-11-25", "--at", "15:00",
        )  # fmt: skip
        assert agreed.code == 0, agreed.err
    ran = shop.run("order", "117", "--on", "2026-11-26")
    assert ran.code == 0, ran.err
    assert packs(shop, 2) == {"Bracket plate of 117": ("NORTH", 1)}


def test_by_the_day_that_was_promised_or_named(shop: Shop) -> None:
    """Ready in five days less two of queue; AXLE's two working days are in time for Thursday, NORTH's three are not."""
    write_today(shop, ["BUSHING", "AXLE", 1, 30])
    book = ("--book", shop.folder / TODAY, "--only-show", *ON)
    promised = shop.run("order", "118", *book)
    assert promised.json["needed_by"] == {"118": "2026-11-26"}
    assert (promised.json["lines"][0]["supplier"], promised.json["usual"]) == ("AXLE", None)
    assert promised.json["usual_why"] == "BUSHING from NORTH comes too late; it would land for 18.50"
    for days in ("any", "2026-12-04", "118=2026-12-04"):
        assert shop.run("order", "118", "--needed-by", days, *book).json["lines"][0]["supplier"] == "NORTH"
    other = shop.run("order", "118", "--needed-by", "117=2026-12-04", *book)
    assert other.json["lines"][0]["supplier"] == "AXLE"


def test_nobody_in_time_is_a_warning(shop: Shop) -> None:
    ran = shop.run("order", "118", *ON)
    assert (ran.code, ran.codes) == (0, ["part-too-late"])
    assert "Job 118 needs BUSHING by 2026-11-26: the soonest is 2026-11-27." in ran.messages


def test_only_shown_nothing_is_kept(shop: Shop) -> None:
    """Looking costs nothing, also while an order is still to be finished."""
    ran = shop.run("order", "--only-show", *ON)
    assert (ran.code, ran.json["order"], ran.json["files"]) == (0, None, [])
    assert (len(ran.json["lines"]), ran.json["recorded"], ran.json["entry"]) == (2, False, None)
    assert orders(shop) == [] and not list(shop.folder.glob("order*"))


def test_a_book_that_cannot_be_read_is_told_as_json_too(shop: Shop) -> None:
    ran = shop.run("order", "--book", shop.folder / "none.xlsx", *ON)
    assert (ran.code, ran.json["order"], ran.json["recorded"]) == (1, None, False)
    assert ran.codes and "Nothing was ordered." in ran.err
    assert orders(shop) == []


def test_the_sheets_of_the_suppliers(shop: Shop) -> None:
    """One sheet for the shop, one a supplier with that supplier's own numbers and nothing of another."""
    write_today(shop, ["BUSHING", "AXLE", 3, 5])
    ran = shop.run("order", "--needed-by", "any", "--book", shop.folder / TODAY, *ON)
    (file,) = ran.json["files"]
    assert Path(file).name == "order 1.xlsx"
    book = load_workbook(file)
    assert book.sheetnames == ["For the shop", "Lakeside Axle", "North Parts"]
    said = {sheet.title: {str(cell.value) for row in sheet.iter_rows() for cell in row} for sheet in book}
    assert "Auger bushing" in said["Lakeside Axle"] and "Drive belt, long" not in said["Lakeside Axle"]
    assert "Drive belt, long" in said["North Parts"] and "Auger bushing" not in said["North Parts"]
    assert not any("Lakeside" in text for text in said["North Parts"])
    assert any(text.startswith("Proved by an integer program") for text in said["For the shop"])
    (written,) = (entry for entry in shop.entries("written") if entry.job == "")
    assert written.body["of"] == shop.entries("ordered")[0].seq


def test_where_the_sheets_go(shop: Shop, tmp_path: Path) -> None:
    ran = shop.run("order", "--out", tmp_path / "orders", *ON)
    assert ran.json["files"] == [str(tmp_path / "orders" / "order 1.xlsx")]


def test_a_file_in_the_way_stops_it_before_anything_is_kept(shop: Shop) -> None:
    (shop.folder / "order 1.xlsx").write_text("mine")
    ran = shop.run("order", *ON)
    assert (ran.code, ran.codes[-1], orders(shop)) == (3, "output-exists", [])
    assert (shop.folder / "order 1.xlsx").read_text() == "mine"


def test_the_owners_template_is_used(shop: Shop, tmp_path: Path) -> None:
    """A folder of templates with a file that is no workbook is a problem, and nothing is ordered."""
    folder = tmp_path / "templates"
    folder.mkdir()
    (folder / "parts order.xlsx").write_text("no workbook")
    ran = shop.run("order", "--templates", folder, *ON)
    assert (ran.code, orders(shop)) == (1, [])


def test_sheets_that_were_never_written_are_written_by_the_next_order(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut off between the record and the file: the same command finishes it, with no second number."""

    def cut_off(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("quotekit.cli.carry_out.put_in_place", cut_off)
        shop.say("order", *ON)
    assert len(orders(shop)) == 1 and not (shop.folder / "order 1.xlsx").exists()
    said = shop.say("order", *ON)
    assert "Order 1 was recorded before; its sheets are written now." in said.out
    assert (shop.folder / "order 1.xlsx").exists() and len(orders(shop)) == 1
    assert "No parts are needed" in shop.say("order", *ON).err


REFUSED = [
    (("119",), "unknown-job", "No quote of a job 119 was ever issued."),
    (("117", "2611"), "unknown-job", "No quote of a job 2611 was ever issued."),
]


@pytest.mark.parametrize(("words", "code", "message"), REFUSED)
def test_jobs_that_are_not_known(shop: Shop, words: tuple[str, ...], code: str, message: str) -> None:
    ran = shop.run("order", *words, *ON)
    assert (ran.code, ran.codes, orders(shop)) == (1, [code], [])
    assert message in ran.messages


def test_a_job_without_a_yes_is_refused_where_named_and_passed_over_else(tmp_path: Path) -> None:
    shop = issued_shop(tmp_path)
    named = shop.run("order", "117", *ON)
    assert (named.code, named.codes) == (1, ["not-accepted"])
    assert shop.run("order", *ON).json["order"] is None


def test_a_no_after_the_yes_is_no_yes(shop: Shop) -> None:
    assert shop.run("decline", "118", "--reason", "price", "--on", "2026-11-24").code == 0
    assert shop.run("order", *ON).json["jobs"] == ["117"]


def test_a_broken_book_stops_it(shop: Shop) -> None:
    ran = shop.say("order", "--book", shop.folder / JOB_FILE, *ON)
    assert (ran.code, orders(shop)) == (1, [])


def test_below_a_minimum_without_a_fee(shop: Shop) -> None:
    """Ordered as a quote reckons it, and the shop is told to ask, on its own page too."""
    rows = book_rows()
    rows["Suppliers"] = [[*rows["Suppliers"][0], "Minimum order"], [*rows["Suppliers"][1], 60], rows["Suppliers"][2]]
    write(shop.folder / TODAY, rows, {"merge": {}, "hide": {}})
    ran = shop.run("order", "118", "--book", shop.folder / TODAY, "--needed-by", "any", *ON)
    assert (ran.code, ran.codes, ran.json["landed"]) == (0, ["below-minimum"], "18.50")
    assert "North Parts takes orders from 60.00; this one is 9.50." in ran.messages
    page = load_workbook(ran.json["files"][0])["For the shop"]
    assert any("takes orders from 60.00" in str(cell.value) for row in page.iter_rows() for cell in row)


def test_a_book_in_another_currency(shop: Shop) -> None:
    """Amounts of two currencies are never added."""
    rows = book_rows()
    rows["Shop"] = [["Currency", "EUR"] if row[0] == "Currency" else row for row in rows["Shop"]]
    write(shop.folder / TODAY, rows, {"merge": {}, "hide": {}})
    ran = shop.run("order", "118", "--book", shop.folder / TODAY, *ON)
    assert (ran.code, ran.codes, orders(shop)) == (1, ["order-currency"], [])
    assert "Job 118 was quoted in USD; this order is in EUR." in ran.messages


def test_a_job_that_is_done_is_passed_over(shop: Shop) -> None:
    for words in (("clock", "117", "--person", "Ann", "--hours", "2"), ("close", "117")):
        assert shop.run(*words, "--on", "2026-11-25").code == 0
    assert shop.run("order", *ON).json["jobs"] == ["118"]
    assert shop.run("order", "117", *ON).codes == ["job-done"]


def test_a_job_that_was_billed_and_never_closed_is_ordered_where_it_is_named(shop: Shop) -> None:
    """Unnamed it is passed over: a shop that bills without closing has fitted its parts long ago."""
    assert shop.run("bill", "117", "--on", "2026-11-25").code == 0
    assert shop.run("order", "--only-show", *ON).json["jobs"] == ["118"]
    assert shop.run("order", "117", *ON).json["jobs"] == ["117"]


def test_amounts_in_json_are_text(shop: Shop) -> None:
    """No float anywhere, as in every JSON of the program."""
    ran = shop.run("order", *ON)

    def floats(value: object) -> bool:
        if isinstance(value, dict):
            return any(map(floats, value.values()))
        return any(map(floats, value)) if isinstance(value, list) else isinstance(value, float)

    assert not floats(json.loads(ran.out))
    assert Decimal(ran.json["landed"]) == orders(shop)[0].landed


def test_what_a_person_reads(shop: Shop) -> None:
    said = shop.say("order", "118", "--book", shop.folder / TODAY, "--needed-by", "any", *ON)
    assert said.out.splitlines()[:3] == [
        "Order 1, for 118, in USD",
        "Lakeside Axle: goods 5.00, together 5.00",
        "  1 x BUSHING (pack of 3, 5.00 a pack): 1 for 118, 2 left over, instead of NORTH",
    ]
    assert "Each part at its usual supplier: 18.50, so 13.50 is saved." in said.out


@pytest.mark.parametrize("words", ["tomorrow", "117=soon", "117=2026-13-01"])
def test_a_day_that_is_none_is_wrong_usage(shop: Shop, words: str) -> None:
    assert shop.say("order", "--needed-by", words).code == 2
    assert day_by_job("117=any")[0] == "117"


def test_without_a_ledger_it_says_so(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    assert shop.say("order").code == 3
    assert BOOK_FILE


def test_one_accepted_job_alone(tmp_path: Path) -> None:
    """Without names the only job is meant, and its freight is its own."""
    shop = agreed_shop(tmp_path)
    assert shop.run("order", *ON).json["suppliers"][0]["freight"] == "9.00"


def test_a_day_for_a_job_that_nobody_knows_is_refused(shop: Shop) -> None:
    """A slip in the number would let the job's parts come too late, and nobody would know."""
    ran = shop.run("order", "--needed-by", "1177=2026-12-01", *ON)
    assert (ran.code, ran.codes, orders(shop)) == (1, ["unknown-job"], [])
    assert "Did you mean 117" in ran.messages


def test_without_a_yes_of_anybody_it_says_so(tmp_path: Path) -> None:
    said = issued_shop(tmp_path).say("order", *ON)
    assert (said.code, said.out) == (0, "")
    assert "no job that is open has a customer's yes" in said.err
