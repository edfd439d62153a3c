"""`quotekit bill`: one bill a job's work, numbers without gaps, refusals that record nothing, the same again.

Job 117 agreed to on 2026-11-23: good with BELT-NEW, no tax on labour, parts taxed at 6 %, call over 10 % or 25.00.
"""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from quotekit.cli.bill import part_and_count
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Accepted, Billed, Closed, Comeback, Draft, Paid, UsedPart
from tests.cli.consent_shop import BOOK_FILE, JOB_FILE, PLATE, WELDING, Ran, Shop, agreed_shop, issued_shop
from tests.problem_catalogue.workbooks import write
from tests.workbook.returned import job_rows

ON = ("--on", "2026-11-26")
BILL = "117 bill 1.xlsx"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Agreed, and not yet closed."""
    return agreed_shop(tmp_path)


@pytest.fixture
def done(shop: Shop) -> Shop:
    """Closed: all was done as agreed."""
    close(shop)
    return shop


def record(shop: Shop, kind: str, body: object, job: str = "117") -> None:
    """An entry by itself, in place of the command that makes it."""
    draft = Draft(kind=kind, job=job, body=body, day=date(2026, 11, 25), who="tests", version=1)  # type: ignore[arg-type]
    with open_ledger(shop.ledger) as ledger, ledger.writing() as writing:
        writing.append(draft)


def close(shop: Shop, not_done: tuple[str, ...] = (), **parts: str) -> None:
    """The work is closed; parts that are not named were used as agreed."""
    used = tuple(UsedPart(part=code, quantity=Decimal(count)) for code, count in parts.items())
    record(shop, "closed", Closed(hours=(), parts=used, not_done=not_done))


def other_job(shop: Shop, number: str, *fields: list[object]) -> None:
    """The job workbook is that of another job."""
    rows = job_rows(number=number)
    rows["Job"] += fields
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})


def agreed_total(shop: Shop) -> Decimal:
    return shop.entries("accepted")[-1].told(Accepted).agreed.total


def bills(shop: Shop) -> list[Billed]:
    return [entry.told(Billed) for entry in shop.entries("billed")]


def cells(path: Path) -> set[str]:
    """Every text and number of a bill."""
    sheet = openpyxl.load_workbook(path).worksheets[0]
    return {str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None}


def refused(ran: Ran, shop: Shop, code: str) -> None:
    assert (ran.code, code in ran.codes, ran.json["recorded"], ran.json["files"]) == (1, True, False, [])
    assert "Nothing was billed." in ran.err and not list(shop.folder.glob("*bill*"))


def test_what_was_agreed_and_done(done: Shop) -> None:
    ran = done.run("bill", "117", *ON)
    total = agreed_total(done)
    assert (ran.code, ran.codes) == (0, [])
    told = ran.json
    assert (told["job"], told["bill"], told["version"], told["day"], told["of"]) == ("117", 1, 1, "2026-11-26", "work")
    assert (Decimal(told["total"]), told["paid"], told["due"], told["refund"]) == (total, "0.00", f"{total}", "0.00")
    assert sum(Decimal(line["amount"]) for line in told["lines"]) == Decimal(told["subtotal"])
    assert [tax["tax"] for tax in told["taxes"]] == ["State tax"]
    assert told["authorised"] == f"{total}" and told["recorded"] is True
    assert told["files"] == [str(done.folder / BILL)]


def test_the_document(done: Shop) -> None:
    done.run("bill", "117", *ON)
    found = cells(done.folder / BILL)
    assert {"Millbrook Small Engine", "1", "November 26, 2026", "A. Lindqvist", "To pay"} <= found
    assert "North Parts" not in found and not any("qk_" in text for text in found)


def test_it_is_told_to_a_person(done: Shop) -> None:
    done.run("pay", "117", "60", *ON)
    ran = done.say("bill", "117", *ON)
    first, second, file = ran.out.splitlines()
    total = agreed_total(done)
    assert first == f"Bill 1, job 117: {total} USD."
    assert second == f"Paid so far 60.00; due {total - 60}."
    assert file == str(done.folder / BILL)


def test_money_taken_and_given_back_is_taken_off(done: Shop) -> None:
    done.run("pay", "117", "100", *ON)
    done.run("pay", "117", "20", "--for", "refund", "--how", "cash", *ON)
    done.run("bill", "117", *ON)
    (bill,) = bills(done)
    assert (bill.paid, bill.due) == (Decimal("80.00"), bill.total - 80)
    words = [(text, str(amount)) for _, text, amount in bill.payments]
    assert words == [("Part payment", "100.00"), ("Given back, cash", "-20.00")]


def test_too_much_paid_is_told_as_money_to_give_back(done: Shop) -> None:
    done.run("pay", "117", "1000", *ON)
    ran = done.run("bill", "117", *ON)
    assert ran.json["due"] == "0.00" and Decimal(ran.json["refund"]) == 1000 - agreed_total(done)
    assert "To give back" in cells(done.folder / BILL)
    assert "to be given back" in done.say("bill", "117").out


def test_the_same_again_with_no_second_number(done: Shop) -> None:
    first = done.run("bill", "117", *ON)
    data = (done.folder / BILL).read_bytes()
    again = done.run("bill", "117", "--on", "2026-12-24")
    assert (again.code, again.json["bill"], again.json["recorded"], again.json["files"]) == (0, 1, False, [])
    same = ("lines", "total", "due", "day", "entry")
    assert [again.json[name] for name in same] == [first.json[name] for name in same]
    (done.folder / BILL).unlink()
    written = done.run("bill", "117", "--on", "2026-12-24")
    assert written.json["files"] == [str(done.folder / BILL)] and (done.folder / BILL).read_bytes() == data
    assert len(bills(done)) == 1
    assert done.say("bill", "117").out.startswith("It is billed already, on 2026-11-26; there is nothing new to bill.")


def test_money_taken_after_the_bill_makes_no_new_bill(done: Shop) -> None:
    done.run("bill", "117", *ON)
    data = (done.folder / BILL).read_bytes()
    done.run("pay", "117", "60", "--on", "2026-11-27")
    assert done.run("bill", "117", "--on", "2026-11-28").json["recorded"] is False
    assert (done.folder / BILL).read_bytes() == data


def test_what_is_due_now_is_told_beside_what_the_bill_said(done: Shop) -> None:
    """Nobody is asked again for money that came in."""
    bill = done.run("bill", "117", *ON).json
    assert (bill["paid_now"], bill["due_now"]) == (bill["paid"], bill["due"])
    done.run("pay", "117", "60", "--on", "2026-11-27")
    told = done.run("bill", "117", "--on", "2026-11-28").json
    assert (told["paid"], told["due"], told["paid_now"]) == ("0.00", bill["due"], "60.00")
    assert Decimal(told["due_now"]) == Decimal(bill["due"]) - 60
    done.run("pay", "117", "1000", "--on", "2026-11-29")
    again = done.run("bill", "117").json
    assert again["due_now"] == "0.00" and Decimal(again["refund_now"]) == 1060 - Decimal(bill["total"])
    assert "Paid since: 1060.00 in all now; to be given back" in done.say("bill", "117").out


def test_a_bill_that_was_cut_off_is_finished_first(done: Shop) -> None:
    """Killed between the entry and the file: the next run writes it, with its number and day."""
    done.run("bill", "117", *ON)
    data = (done.folder / BILL).read_bytes()
    (done.folder / BILL).unlink()
    (body,) = done.entries("billed")
    unfinished = agreed_shop(done.folder.parent / "cut")
    close(unfinished)
    draft = Draft(
        kind="billed", job="117", body=body.told(Billed), day=body.day, who="tests", version=body.version, number=1
    )
    with open_ledger(unfinished.ledger) as ledger, ledger.writing() as writing:
        writing.append(draft)
    ran = unfinished.run("bill", "117", "--on", "2026-12-24")
    assert (ran.json["bill"], ran.json["day"], ran.json["recorded"]) == (1, "2026-11-26", False)
    assert (unfinished.folder / BILL).read_bytes() == data and len(bills(unfinished)) == 1


def test_a_bill_someone_changed_is_not_written_over(done: Shop) -> None:
    done.run("bill", "117", *ON)
    (done.folder / BILL).write_bytes(b"mine")
    ran = done.run("bill", "117")
    assert (ran.code, ran.codes) == (3, ["output-exists"]) and (done.folder / BILL).read_bytes() == b"mine"
    assert done.run("bill", "117", "--replace").json["files"] == [str(done.folder / BILL)]
    assert (done.folder / BILL).read_bytes() != b"mine"


def test_a_file_in_the_way_stops_the_bill_before_it_has_a_number(done: Shop) -> None:
    (done.folder / BILL).write_bytes(b"mine")
    ran = done.run("bill", "117", *ON)
    assert (ran.codes, bills(done)) == (["output-exists"], [])
    assert done.run("bill", "117", "--out", done.folder / "bills").json["bill"] == 1


def test_numbers_run_over_the_shop_without_gaps(done: Shop) -> None:
    done.run("bill", "117", *ON)
    for number, expected in (("118", 2), ("119", 3)):
        other_job(done, number)
        assert done.issue().code == 0
        assert done.run("decline", number, "--reason", "time", *ON).code == 0
        refusal = done.run("bill", "999", *ON)
        assert refusal.codes == ["unknown-job"]
        assert done.run("bill", number, *ON).json["bill"] == expected
    assert [entry.number for entry in done.entries("billed")] == [1, 2, 3]


def test_numbers_have_no_gap_with_several_counters_at_once(shop: Shop) -> None:
    """Four jobs are billed by four programs at a time."""
    numbers = [f"2{place}" for place in range(4)]
    for number in numbers:
        other_job(shop, number)
        assert shop.issue().code == 0
        assert shop.run("decline", number, "--reason", "time", *ON).code == 0
    command = [sys.executable, "-m", "quotekit", "bill", "--ledger", str(shop.ledger), *ON]
    running = [subprocess.Popen([*command, number], stdout=subprocess.DEVNULL) for number in numbers]
    assert [one.wait(timeout=60) for one in running] == [0, 0, 0, 0]
    billed = shop.entries("billed")
    assert [entry.number for entry in billed] == [1, 2, 3, 4]
    assert sorted(entry.job for entry in billed) == numbers
    assert all((shop.folder / f"{entry.job} bill {entry.number}.xlsx").exists() for entry in billed)


# what is refused


def test_before_an_answer_nothing_is_billed(tmp_path: Path) -> None:
    shop = issued_shop(tmp_path)
    refused(shop.run("bill", "117", *ON), shop, "not-answered")


def test_a_no_to_an_earlier_version_is_no_answer_to_the_last(tmp_path: Path) -> None:
    """The customer said no, and got another offer: nothing is billed until that is answered too."""
    shop = issued_shop(tmp_path)
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-24")
    assert shop.issue("--out", str(tmp_path / "second")).code == 0
    refused(shop.run("bill", "117", *ON), shop, "not-answered")
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-25")
    assert shop.run("bill", "117", *ON).json["of"] == "no"


def test_work_that_nobody_closed_is_billed_as_agreed_and_told(shop: Shop) -> None:
    """A later closing makes the next bill the difference."""
    ran = shop.run("bill", "117", *ON)
    assert (ran.code, ran.codes, Decimal(ran.json["total"])) == (0, ["not-closed"], agreed_total(shop))
    close(shop, not_done=("BELT-NEW",))
    later = shop.run("bill", "117", "--on", "2026-12-01").json
    assert (later["bill"], later["billed_before"]) == (2, ran.json["total"]) and later["total"].startswith("-")
    assert "part:BELT" in {line["key"] for line in later["lines"]}


def test_a_closing_before_the_last_change_says_nothing_of_it(done: Shop) -> None:
    done.change_job(WELDING)
    assert done.revise().json["needs_consent"] is False
    ran = done.run("bill", "117", *ON)
    refused(ran, done, "closed-before-change")
    assert "before version 2" in ran.messages


def test_a_change_that_waits_for_an_answer_is_above_what_is_authorised(done: Shop) -> None:
    """The message says by how much; after a no, what was agreed before is billed."""
    done.change_job([*WELDING[:2], 1, *WELDING[3:]])
    revised = done.run("revise", done.folder / BOOK_FILE, done.folder / JOB_FILE, "--on", "2026-11-25").json
    assert revised["needs_consent"] is True
    ran = done.run("bill", "117", *ON)
    refused(ran, done, "above-authorised")
    over = Decimal(revised["now"]) - Decimal(revised["authorised"]) - Decimal(revised["threshold"])
    assert over > 0 and f"{over} above" in ran.messages
    done.run("decline", "117", "--reason", "price", "--on", "2026-11-25")
    assert Decimal(done.run("bill", "117", *ON).json["total"]) == agreed_total(done)


def test_a_change_within_the_threshold_is_billed_without_another_yes(shop: Shop) -> None:
    before = agreed_total(shop)
    shop.change_job(WELDING)
    revised = shop.revise().json
    close(shop)
    told = shop.run("bill", "117", *ON).json
    assert Decimal(told["total"]) > before and told["version"] == 2
    assert Decimal(told["total"]) == Decimal(revised["now"])
    assert Decimal(told["authorised"]) == before, "a rise within the threshold raises nothing that is authorised"


def test_nothing_done_is_nothing_to_bill(shop: Shop) -> None:
    keys = tuple(item.key for item in shop.entries("accepted")[0].told(Accepted).agreed.items)
    close(shop, not_done=keys)
    refused(shop.run("bill", "117", *ON), shop, "nothing-done")


# what was done


def test_what_was_not_done_is_not_charged(shop: Shop) -> None:
    close(shop, not_done=("BELT-NEW",))
    told = shop.run("bill", "117", *ON).json
    assert "BELT-NEW" not in {line["key"] for line in told["lines"]}
    assert not any(line["key"] == "part:BELT" for line in told["lines"])
    assert told["not_done"] == ["New belt"] and Decimal(told["total"]) < agreed_total(shop)
    assert "New belt" in cells(shop.folder / BILL)


def test_parts_beyond_the_threshold_are_not_charged(shop: Shop) -> None:
    """A third and fourth belt are more than 25.00."""
    close(shop, BELT="3")
    ran = shop.run("bill", "117", *ON)
    assert (ran.code, ran.codes) == (0, ["parts-beyond-consent"])
    assert Decimal(ran.json["total"]) == agreed_total(shop)
    assert ran.json["notes"] == ["2 more of Drive belt, long: not charged."]


def test_parts_within_the_threshold_are_charged(shop: Shop) -> None:
    close(shop, GREASE="1.2")
    ran = shop.run("bill", "117", *ON)
    assert (ran.codes, Decimal(ran.json["total"]) > agreed_total(shop)) == ([], True)


def test_more_done_later_makes_a_second_bill_of_what_it_adds(shop: Shop) -> None:
    close(shop, not_done=("BELT-NEW",))
    first = shop.run("bill", "117", *ON).json
    shop.run("pay", "117", first["due"], *ON)
    close(shop)
    second = shop.run("bill", "117", "--on", "2026-12-01").json
    assert (second["bill"], second["billed_before"]) == (2, first["total"])
    assert Decimal(first["total"]) + Decimal(second["total"]) == agreed_total(shop)
    assert second["due"] == second["total"]
    assert (shop.folder / "117 bill 2.xlsx").exists()
    assert "Billed before" in shop.say("bill", "117").out


# taxes


def test_taxes_of_another_book(done: Shop) -> None:
    """The law changed since the quote; the price agreed stands."""
    done.write_book("new book.xlsx")
    book = openpyxl.load_workbook(done.folder / "new book.xlsx")
    book["Taxes"]["B2"] = "8%"
    book.save(done.folder / "new book.xlsx")
    ran = done.run("bill", "117", "--taxes", done.folder / "new book.xlsx", *ON)
    quoted = done.entries("accepted")[0].told(Accepted).agreed
    assert ran.codes == ["tax-changed"] and Decimal(ran.json["subtotal"]) == quoted.subtotal
    assert Decimal(ran.json["tax"]) > quoted.tax
    assert ran.json["notes"] == ["Tax is charged at the rates in force on the day of this bill."]


def test_a_tax_book_with_errors_is_refused(done: Shop) -> None:
    ran = done.run("bill", "117", "--taxes", done.folder / "none.xlsx", *ON)
    assert ran.code == 1 and ran.codes and bills(done) == []


# a no, a comeback, old parts


def test_a_no_is_billed_with_the_inspection(tmp_path: Path) -> None:
    shop = issued_shop(tmp_path)
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-24")
    shop.run("pay", "117", "15", *ON)
    told = shop.run("bill", "117", *ON).json
    assert [line["key"] for line in told["lines"]] == ["inspection"]
    assert (told["of"], told["total"], told["due"]) == ("no", "40.00", "25.00")
    assert shop.run("bill", "117", "--core-back", "BELT").codes == ["core-not-charged"]


def test_a_yes_after_a_billed_no_does_not_bill_the_inspection_twice(tmp_path: Path) -> None:
    shop = issued_shop(tmp_path)
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-21")
    shop.run("bill", "117", "--on", "2026-11-21")
    assert shop.accept().code == 0
    close(shop)
    told = shop.run("bill", "117", *ON).json
    assert told["billed_before"] == "40.00" and "inspection" not in {line["key"] for line in told["lines"]}
    assert Decimal(told["total"]) + 40 == agreed_total(shop)


def test_a_comeback_is_billed_at_nothing(done: Shop) -> None:
    record(done, "comeback", Comeback(first_job="100", cause="part", charged=Decimal(0)))
    told = done.run("bill", "117", *ON).json
    assert (told["subtotal"], told["tax"], told["total"], told["due"]) == ("0.00", "0.00", "0.00", "0.00")
    assert "Comeback to job 100: not charged" in cells(done.folder / BILL)
    assert "Nothing to pay" in cells(done.folder / BILL)


def test_money_noted_on_the_job_is_counted_with_the_ledgers_and_told(shop: Shop) -> None:
    other_job(shop, "120", ["Paid so far", 10])
    assert shop.issue().code == 0
    assert shop.accept("--job", "120").code == 0
    record(shop, "closed", Closed(hours=(), parts=()), "120")
    record(shop, "paid", Paid(amount=Decimal("5.00"), purpose="deposit"), "120")
    ran = shop.run("bill", "120", *ON)
    assert (ran.codes, ran.json["paid"]) == (["paid-counted-together"], "15.00")
    assert "Paid so far (10) and the ledger's payments (5.00) are counted together." in ran.messages


@pytest.mark.parametrize("text", ["X x 0", "X x 1.5", "X x two", "X x -1"])
def test_counts_of_old_parts_are_whole(text: str) -> None:
    with pytest.raises(Exception, match="is no number of parts"):
        part_and_count(text)


def test_wrong_words_are_a_wrong_use(done: Shop) -> None:
    assert done.say("bill", "117", "--core-back", "BELT x 0").code == 2
    assert done.say("bill").code == 2


def test_no_part_is_new_where_the_job_takes_it_for_itself_alone(shop: Shop) -> None:
    """A part that only the job's own workbook holds is priced from it."""
    shop.change_job(PLATE)
    shop.revise()
    unused = UsedPart(part="ONEOFF-1", quantity=Decimal(0))
    record(shop, "closed", Closed(hours=(), parts=(unused,)))
    told = shop.run("bill", "117", *ON).json
    assert not any(line["key"] == "part:ONEOFF-1" for line in told["lines"])


def test_after_a_refused_change_the_bill_knows_what_it_said(shop: Shop) -> None:
    """Money noted with the change was taken all the same, and the matter of safety it would have put right stays."""
    rows = job_rows()
    rows["Job"].append(["Paid so far", 60])
    rows["Findings"].append(["OTHER", "", "", "", "", "", "", "safety", "Guard hangs loose", ""])
    rows["One-off"].append(["Rivet the guard", "labour", 2, "", "", "", "", "", "", "", "OTHER-1"])
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    assert shop.revise().json["needs_consent"]
    assert shop.run("decline", "117", "--reason", "price", *ON).json["still_agreed"] == 1
    paid = shop.run("pay", "117", "10", *ON).json
    bill = shop.run("bill", "117", *ON).json
    assert (paid["paid"], bill["paid"]) == ("70.00", "70.00")
    assert any("(60)" in problem["message"] for problem in bill["problems"]), "what counts is told, not the older cell"
    assert paid["due"] == bill["due"] == str(Decimal(bill["total"]) - 70)
    sheet = openpyxl.load_workbook(bill["files"][0]).active
    assert any("Guard hangs loose" in str(cell.value) for row in sheet for cell in row)
