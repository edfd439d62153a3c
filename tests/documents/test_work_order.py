"""What stands on a work order: for the bench, every row known again by its code, no price but the limit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from quotekit.documents.filling import SheetFilling, Shown
from quotekit.documents.work_order import OPTIONAL, WorkOrderFacts, fill_work_order
from quotekit.documents.work_order_json import work_order_json
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.work_order import build_work_order
from quotekit.workbook.fill_template import fill_template
from quotekit.workbook.find_template import find_template
from tests import build
from tests.pricing.work_order.test_build_work_order import a_book, both_sides, ordered


def facts(book: ShopBook, job: Job, **changes: Any) -> WorkOrderFacts:
    given: dict[str, Any] = {
        "settings": book.settings,
        "job": job,
        "version": 2,
        "agreement": 7,
        "option": "Put right",
        "agreed_on": date(2026, 11, 23),
        "by": "phone",
        "customer": "A. Lindqvist",
        "total": Decimal("312.40"),
        "most": Decimal("337.40"),
        "basis": "with tax",
        "written_on": date(2026, 11, 28),
    }
    return WorkOrderFacts(**given | changes)


def a_sheet(job: Job | None = None, book: ShopBook | None = None, **changes: Any) -> SheetFilling:
    book = book or a_book()
    job = job or both_sides(book)
    return fill_work_order(ordered(book, job), facts(book, job, **changes))


def test_who_and_what() -> None:
    job = both_sides(
        a_book(), phone="555-0171", make="Maker", model="28-S", serial="7", usage="9 winters", old_parts="show"
    )
    values = a_sheet(job).values
    assert values["customer"] == "A Customer, 555-0171"
    assert values["machine"] == "Thrower, Maker 28-S, serial 7, used 9 winters"
    assert values["customers_words"] == "“It shakes”"
    assert values["agreed"] == "Put right, November 23, 2026, by phone, A. Lindqvist"
    assert (values["job_number"], values["version"], values["agreement"]) == ("J-1", 2, 7)
    assert values["written_on"] == "November 28, 2026"


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ("phone", "by phone"),
        ("in-person", "in person"),
        ("message", "by message"),
        ("returned quote", "by the quote sent back"),
    ],
)
def test_how_it_was_agreed(by: str, said: str) -> None:
    assert said in str(a_sheet(by=by).values["agreed"])


def test_the_limit_is_told_and_no_other_price() -> None:
    """The bench must know when to stop and ask; costs and prices are not its matter."""
    sheet = a_sheet()
    assert sheet.values["ask_first"] == (
        "Stop and ask before any work or part that is not on this sheet. "
        "The customer agreed to $312.40; call before it comes to more than $337.40, with tax."
    )
    others = [value for name, value in sheet.values.items() if name != "ask_first"]
    cells = [cell for rows in sheet.tables.values() for row in rows for cell in row.values()]
    assert not [one for one in (*others, *cells) if "$" in str(one)]


@pytest.mark.parametrize(
    ("old_parts", "said"),
    [
        ("keep", "Keep the old parts for the customer."),
        ("show", "Show the old parts to the customer before they are disposed of."),
        ("dispose", "Dispose of the old parts."),
        (None, ""),
    ],
)
def test_what_becomes_of_old_parts(old_parts: str | None, said: str) -> None:
    assert a_sheet(both_sides(a_book(), old_parts=old_parts)).values["old_parts"] == said


def test_the_list_defers_to_the_maker() -> None:
    assert a_sheet().values["manual"] == (
        "This list does not replace the maker's manual: where they differ, the manual holds."
    )


def test_the_allowance_has_its_reason_and_its_end() -> None:
    book = a_book()
    job = both_sides(book, condition="RUSTY")
    assert a_sheet(job, book, condition="Rusty").values["condition"] == (
        "Rusty: 0.2 h of the standard hours are for it; stop and ask when it takes more."
    )
    assert a_sheet(job, book).values["condition"] == ""


def test_steps_are_set_in_by_what_is_open() -> None:
    rows = a_sheet().tables["steps"]
    assert [(row["number"], row["kind"], row["text"], row["side"], row["key"]) for row in rows][:5] == [
        (1, "First", "Make safe", None, "SAFE"),
        (2, "Open", "Cover", None, "COVER"),
        (3, "Do", "\u2003Belt", None, "BELT"),
        (4, "Open", "\u2003Flange", "left", "FLANGE@left"),
        (5, "Do", "\u2003\u2003Clean", "left", "CLEAN@left"),
    ]
    assert rows[1]["standard"] == Shown(Decimal("0.1"), "0.00##")
    assert all(row["hours"] is None and row["person"] is None for row in rows)


def test_a_measurement_says_limit_and_as_new() -> None:
    (left, right) = a_sheet().tables["measurements"]
    assert left == {
        "text": "Worn: Bore", "side": "left", "found": "0.78 in", "limit": "max 0.77 in", "now": None,
        "as_new": "0.753 in", "key": "WORN@left",
    }  # fmt: skip
    assert right["found"] == "0.79 in"


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"fails_when": "below", "limit": "0.5", "unit": "mm"}, ("Worn", "0.4 mm", "min 0.5 mm", "")),
        ({"fails_when": "above", "limit": "0.3", "as_new": "0.1"}, ("Worn", "0.4", "max 0.3", "0.1")),
        ({"measure": "Play"}, ("Worn: Play", "0.4", "", "")),
        ({"measured_text": "10.2 thou", "unit": "mm"}, ("Worn", "10.2 thou (0.4 mm)", "", "")),
        ({"measured_text": "0.4 mm", "unit": "mm"}, ("Worn", "0.4 mm", "", "")),
    ],
)
def test_measurements_of_other_kinds(values: dict[str, Any], expected: tuple[str, ...]) -> None:
    book = a_book()
    job = build.a_job(build.a_finding_on("WORN", "left", measured="0.4", **values))
    order = ordered(book, job)
    (row,) = fill_work_order(order, facts(book, job)).tables["measurements"]
    assert (row["text"], row["found"], row["limit"], row["as_new"]) == expected


def test_parts_say_where_they_come_from_and_go_to() -> None:
    parts = [
        build.a_part("BUSHING", new_or_used="new original"),
        build.a_part("NUT", supplier="SHELF", unit="each"),
        build.a_part("V-BELT", unit="m", core_charge=5),
    ]
    book = a_book(parts=parts)
    rows = {
        row["part"]: row for row in a_sheet(both_sides(book, own_parts=["NUT"], old_parts="keep"), book).tables["parts"]
    }
    assert (rows["BUSHING"]["text"], rows["BUSHING"]["side"], rows["BUSHING"]["quantity"]) == (
        "Bushing (new original), from North", "left 1, right 1", "2"
    )  # fmt: skip
    assert (rows["NUT"]["text"], rows["NUT"]["core"]) == ("Nut, the customer's own", "–")
    assert (rows["V-BELT"]["quantity"], rows["V-BELT"]["core"]) == ("1 m", None)


def test_the_customers_wording_is_not_lost_on_the_bench() -> None:
    remedies = [
        build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], customer_wording="New bushing, greased"),
        build.a_remedy("NEW-BELT", ["CRACKED"], ["BELT"]),
    ]
    book = a_book(remedies=remedies)
    rows = a_sheet(both_sides(book), book).tables["items"]
    assert [(row["text"], row["side"], row["not_done"], row["key"]) for row in rows] == [
        ("New-Belt", None, None, "NEW-BELT"),
        ("New bushing, greased", "left", None, "NEW-BUSH@left"),
        ("New bushing, greased", "right", None, "NEW-BUSH@right"),
    ]


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_first_template_fits(paper: Any) -> None:
    """Every mark is in it, and every mark of it is filled."""
    template, problems = find_template("work order", [], paper)
    assert template is not None and problems == []
    data, problems = fill_template(template, [a_sheet()])
    assert problems == []
    sheet = openpyxl.load_workbook(BytesIO(data or b"")).active
    assert sheet.page_setup.paperSize == {"Letter": 1, "A4": 9}[paper]
    left = [cell.value for row in sheet.iter_rows() for cell in row if str(cell.value).startswith("qk_")]
    assert left == []


def test_a_job_without_findings_measured_or_parts_has_no_titles_of_them() -> None:
    book = a_book(remedies=[build.a_remedy("TUNE", ["CRACKED"], ["SAFE"])], cautions=[])
    job = build.a_job(build.found(book, "CRACKED"))
    template, _ = find_template("work order", [])
    assert template is not None
    data, problems = fill_template(template, [a_sheet(job, book)])
    assert problems == []
    sheet = openpyxl.load_workbook(BytesIO(data or b"")).active
    texts = {str(cell.value) for row in sheet.iter_rows() for cell in row}
    assert not texts & {"Before you start", "Measure again", "Parts to hand", "Old parts", "Condition"}
    assert {"Steps", "Other parts used", "What was agreed"} <= texts


def test_what_a_template_may_leave_out_is_never_read_back() -> None:
    read = "job_number version agreement notes technician rows_steps.key rows_steps.hours rows_items.not_done"
    assert OPTIONAL.isdisjoint(read.split())
    assert not OPTIONAL & {"ask_first", "manual", "rows_cautions", "rows_cautions.text", "rows_parts.side", "old_parts"}


def test_the_json_holds_every_hour_as_text() -> None:
    book = a_book()
    job = both_sides(book, condition="RUSTY")
    told = work_order_json("J-1", 2, ordered(book, job), ["a.xlsx"])
    assert told["standard_hours"] == "2.5" and told["allowance"] == "0.2"
    assert told["steps"][0] == {"kind": "first", "work": "SAFE", "name": "Make safe", "side": None, "hours": "0.1"}  # type: ignore[index]
    assert told["measure_again"] == ["WORN@left", "WORN@right"]
    assert told["parts"][0]["places"] == {"left": "1", "right": "1"}  # type: ignore[index]
    assert (told["files"], told["problems"]) == (["a.xlsx"], [])


def test_other_languages_write_their_own_numbers() -> None:
    book = replace(a_book(), settings=replace(build.settings(), language="de_DE", currency="EUR"))
    job = both_sides(book)
    agreed = agreed_of(book, job, build_quote(book, job).tiers[0])
    sheet = fill_work_order(build_work_order(book, job, agreed), facts(book, job))
    assert "312,40\xa0€" in str(sheet.values["ask_first"])
    assert sheet.tables["measurements"][0]["limit"] == "max 0,77 in"
