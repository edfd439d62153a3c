"""`quotekit revise`: a changed job against the last yes, whether to ask, and the customer's sheet."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotekit.documents.fingerprint import MARKS
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Accepted, Issued, Revision
from quotekit.pricing.consent.authorised import agreed_now, last_yes, pending
from tests.cli.consent_shop import (
    BOOK_FILE,
    JOB_FILE,
    MORE_WELDING,
    PLATE,
    WELDING,
    Ran,
    Shop,
    agreed_shop,
    book_rows,
    issued_shop,
)
from tests.problem_catalogue.workbooks import write
from tests.workbook.returned import job_rows

SHEET = "117-2 change.xlsx"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return agreed_shop(tmp_path)


def agreed(shop: Shop) -> Accepted:
    return shop.entries("accepted")[-1].told(Accepted)


def revision(shop: Shop) -> Revision:
    found = shop.entries("issued")[-1].told(Issued).revision
    assert found is not None
    return found


def accept(shop: Shop, day: str = "2026-11-26") -> Ran:
    words = ("--by", "phone", "--who", "A", "--phone", "1", "--note", "yes", "--at", "9:00")
    return shop.run("accept", "--job", "117", *words, "--on", day)


def texts(path: Path, sheet: str = "Change") -> list[Any]:
    return [cell.value for row in load_workbook(path)[sheet].iter_rows() for cell in row if cell.value is not None]


def test_a_rise_within_the_threshold_is_told_and_not_asked(shop: Shop) -> None:
    """0.2 h of welding: less than 10 % or 25.00. It is in force, and what is authorised is what it was."""
    shop.change_job(WELDING)
    ran = shop.revise()
    told = ran.json
    assert (ran.code, ran.codes, told["needs_consent"], told["over"]) == (0, [], False, "0.00")
    assert Decimal(told["authorised"]) == agreed(shop).agreed.total
    assert 0 < Decimal(told["rise"]) <= Decimal(told["threshold"]) == Decimal("25.00")
    with open_ledger(shop.ledger) as ledger:
        story = ledger.story("117")
    now, yes = agreed_now(story), last_yes(story)
    assert now is not None and yes is not None and pending(story) is None
    assert str(now.total) == told["total"] and yes.body.agreed.total < now.total
    assert "ONEOFF-2" in {item.key for item in now.items}


def test_a_rise_above_it_needs_consent(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    told = shop.revise().json
    assert told["needs_consent"] is True
    assert Decimal(told["over"]) == Decimal(told["rise"]) - Decimal(told["threshold"])
    assert (told["version"], told["of_version"], told["tier"], told["extras"]) == (2, 1, "good", ["BELT-NEW"])
    assert told["new"] == ["Added: Weld the frame"]
    ((key, adds),) = told["adds"].items()
    assert key.startswith("ONEOFF-") and Decimal(0) < Decimal(adds) <= Decimal(told["rise"])
    with open_ledger(shop.ledger) as ledger:
        story = ledger.story("117")
    waiting, now = pending(story), agreed_now(story)
    assert waiting is not None and waiting.entry.version == 2
    assert now is not None and now.total == agreed(shop).agreed.total, "nothing new is done before the yes"


def test_two_small_rises_are_measured_from_the_last_yes(shop: Shop) -> None:
    """Neither is above the threshold by itself; together they are."""
    shop.change_job(WELDING)
    first = shop.revise().json
    shop.change_job(WELDING, ["Weld the hook", "labour", 0.2, "", "", "", "", "", "", "", ""])
    second = shop.revise().json
    assert (first["needs_consent"], second["needs_consent"]) == (False, True)
    assert second["authorised"] == first["authorised"]
    assert Decimal(second["now"]) - Decimal(first["now"]) < Decimal(second["threshold"])


def test_after_a_yes_the_new_total_is_the_measure(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    first = shop.revise().json
    said = accept(shop)
    assert (said.code, said.json["version"], said.json["total"]) == (0, 2, first["total"])
    assert agreed(shop).agreed == revision(shop).agreed
    shop.change_job(MORE_WELDING, WELDING)
    second = shop.revise().json
    assert (second["of_version"], second["authorised"], second["needs_consent"]) == (2, first["now"], False)


def test_after_a_no_the_old_total_is_the_measure(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    first = shop.revise().json
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-26")
    shop.change_job(WELDING)
    second = shop.revise().json
    assert (second["version"], second["of_version"], second["authorised"]) == (3, 1, first["authorised"])
    assert second["needs_consent"] is False


def test_a_change_is_taken_as_it_is_or_not(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    shop.revise()
    words = ("--by", "in-person", "--who", "A", "--phone", "1", "--note", "yes", "--at", "9:00", "--on", "2026-11-26")
    for choice in (("--tier", "better"), ("--extra", "BUSHING-OFFER@right")):
        ran = shop.run("accept", "--job", "117", *choice, *words)
        assert (ran.code, ran.codes) == (1, ["change-as-it-is"])
    ran = shop.run("accept", "--job", "117", "--tier", "GOOD", "--extra", "belt-new", *words)
    assert (ran.code, ran.json["version"]) == (0, 2)


def test_a_change_waits_as_long_as_a_quote_holds(shop: Shop) -> None:
    """The sheet is valid from its own day, not from that of the first quote."""
    shop.change_job(MORE_WELDING)
    assert shop.revise().json["valid_until"] == "2026-12-25"
    assert accept(shop, "2026-11-27").code == 0


def test_less_work_needs_no_consent(shop: Shop) -> None:
    """A lower total is told; a rise back to what was agreed needs no consent either."""
    rows = job_rows()
    rows["One-off"] = rows["One-off"][:1]
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    ran = shop.revise()
    told = ran.json
    assert (told["needs_consent"], told["new"]) == (False, ["No longer done: Straighten the chute"])
    assert ran.codes == ["agreed-work-gone"] and "Straighten the chute" in ran.messages
    assert Decimal(told["rise"]) < 0
    shop.change_job(WELDING)
    assert shop.revise().json["needs_consent"] is False


def test_an_extra_may_be_taken_with_the_change(shop: Shop) -> None:
    shop.change_job(WELDING)
    told = shop.revise("--extra", "bushing-offer@right").json
    assert told["extras"] == ["BELT-NEW", "BUSHING-OFFER@right"]
    assert any("Bushing while it is open" in words for words in told["new"])


@pytest.mark.parametrize(("extra", "code"), [("GASKET", "unknown-extra"), ("SHAFT-TURN", "extra-not-offered")])
def test_an_extra_that_is_not_offered(extra: str, code: str, shop: Shop) -> None:
    shop.change_job(WELDING)
    ran = shop.revise("--extra", extra)
    assert (ran.code, ran.codes, len(shop.entries("issued"))) == (1, [code], 1)


def test_what_was_an_extra_and_is_now_part_of_the_option_is_not_paid_twice(shop: Shop) -> None:
    """The belt was an extra; found to be unsafe it is in every option."""
    rows = job_rows()
    rows["Findings"][3] = ["BELT-CRACKED", "", "", "", "", "", "", "safety", "frayed to the cord", ""]
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    ran = shop.revise()
    assert (ran.code, ran.codes, ran.json["extras"]) == (0, ["nothing-to-add"], [])
    assert (ran.json["rise"], ran.json["needs_consent"]) == ("0.00", False)


def test_a_spending_limit_is_not_passed_without_asking(shop: Shop) -> None:
    """The rise is within the threshold, the limit is not."""
    total = agreed(shop).agreed.total
    shop = agreed_with_limit(shop, total + 5)
    shop.change_job(WELDING, Spending_limit=float(total + 5))
    told = shop.revise().json
    assert (told["needs_consent"], told["over"]) == (True, "0.00")
    assert any("want to spend at most" in str(text) for text in texts(shop.folder / "117-3 change.xlsx"))


def agreed_with_limit(shop: Shop, limit: Decimal) -> Shop:
    """The same job issued and agreed to again, with a spending limit."""
    shop.change_job(Spending_limit=float(limit))
    assert shop.issue().json["version"] == 2
    assert shop.accept("--extra", "BELT-NEW").json["version"] == 2
    return shop


def test_a_later_day_is_told_where_nobody_is_asked(shop: Shop) -> None:
    """Wisconsin ATCP 132 (READ): a late date needs fresh consent. Cheap parts may take long."""
    shop.change_job(["Bolt", "part", 1, 2, "", "", "", "NORTH", 21, "", ""])
    ran = shop.revise()
    assert (ran.codes, ran.json["needs_consent"], ran.json["ready_days"]) == (["ready-later"], False, 21)
    assert "now: 21 days" in ran.messages
    shop.change_job(["Bolt", "part", 1, 2, "", "", "", "NORTH", 21, "", ""], MORE_WELDING)
    assert shop.revise().codes == [], "who is asked reads it on the sheet"


def test_a_part_in_another_condition_is_told(shop: Shop) -> None:
    """Massachusetts 940 CMR 5.05 (READ): no substitution that was not agreed."""
    rows = book_rows()
    column = rows["Parts"][0].index("New or used")
    for row in rows["Parts"][1:]:
        row.extend([""] * (column + 1 - len(row)))
        row[column] = "used"
    write(shop.folder / "used.xlsx", rows, {"merge": {}, "hide": {}})
    ran = shop.revise(book="used.xlsx")
    assert (ran.code, set(ran.codes), ran.json["needs_consent"]) == (0, {"part-exchanged"}, False)
    assert "Shear pin (0417, used, left) in place of Shear pin" in ran.messages


class TestTheShopBook:
    """What a newer shop book does by itself."""

    def test_a_dearer_hour_is_told_apart_from_the_new_work(self, shop: Shop) -> None:
        """The rise is 0.2 h of welding and the new rate; the rate's part is what the old job comes to with it."""
        shop.write_book("dearer.xlsx", rate=92)
        shop.change_job(WELDING)
        ran = shop.revise(book="dearer.xlsx")
        assert (ran.code, ran.codes) == (0, ["book-moves-total"])
        alone = Decimal(ran.json["book_alone"])
        assert 0 < alone < Decimal(ran.json["rise"])
        reference = agreed_shop(shop.folder / "again")
        reference.write_book(rate=92)
        assert reference.issue().code == 0
        again = reference.accept("--extra", "BELT-NEW").json
        assert Decimal(again["total"]) - agreed(shop).agreed.total == alone
        assert f"{alone} more" in ran.messages

    def test_the_same_prices_are_no_warning(self, shop: Shop) -> None:
        shop.write_book("same.xlsx", Email="bench@example.com")
        shop.change_job(WELDING)
        ran = shop.revise(book="same.xlsx")
        assert (ran.codes, ran.json["book_alone"]) == ([], "0.00")

    @pytest.mark.parametrize(
        ("extras", "code", "codes"),
        [(("--extra", "BELT-NEW"), 1, ["unknown-extra"]), ((), 0, ["book-not-comparable"])],
    )
    def test_what_was_agreed_may_no_longer_be_in_the_book(
        self, extras: tuple[str, ...], code: int, codes: list[str], tmp_path: Path
    ) -> None:
        """The belt left book and job: an extra that was agreed can't be priced, and the old job can't be read anew."""
        shop = issued_shop(tmp_path)
        shop.accept(*extras)
        rows, job = book_rows(), job_rows()
        gone = {"BELT-CRACKED", "BELT-NEW"}
        for sheet in ("Findings", "Remedies"):
            rows[sheet] = [row for row in rows[sheet] if row[0] not in gone]
        rows["Bundles"] = rows["Bundles"][:1]
        job["Findings"] = [row for row in job["Findings"] if row[0] not in gone]
        job["Plan"] = [row for row in job["Plan"] if row[1] not in gone]
        write(shop.folder / "short.xlsx", rows, {"merge": {}, "hide": {}})
        write(shop.folder / JOB_FILE, job, {"merge": {}, "hide": {}})
        ran = shop.revise(book="short.xlsx")
        assert (ran.code, ran.codes) == (code, codes)
        assert ran.json.get("book_alone") is None

    def test_another_currency_is_refused(self, shop: Shop) -> None:
        shop.write_book("euro.xlsx", Currency="EUR")
        shop.change_job(WELDING)
        assert shop.revise(book="euro.xlsx").codes == ["currency-changed"]

    def test_the_rule_is_the_one_that_was_agreed(self, shop: Shop) -> None:
        """A shop that allows itself more since does not allow it for this job."""
        shop.write_book("loose.xlsx", rule=("90%", "900", "the greater"))
        shop.change_job(MORE_WELDING)
        told = shop.revise(book="loose.xlsx").json
        assert (told["needs_consent"], told["threshold"]) == (True, "25.00")
        accept(shop)
        assert agreed(shop).rule.over_percent == Decimal("0.1")


def test_nothing_to_change(shop: Shop, tmp_path: Path) -> None:
    """The very workbooks that were agreed to; and a job nobody agreed to."""
    assert shop.revise().codes == ["nothing-changed"]
    fresh = issued_shop(tmp_path / "fresh")
    ran = fresh.revise()
    assert (ran.code, ran.codes, ran.json["recorded"]) == (1, ["nothing-agreed"], False)
    assert "quotekit accept" in ran.messages


def test_the_same_change_twice_is_recorded_once(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    first, again = shop.revise(), shop.revise()
    assert (again.code, again.json["recorded"], again.json["entry"]) == (0, False, first.json["entry"])
    assert len(shop.entries("issued")) == 2
    assert (again.json["answer"], again.json["answered_on"]) == (None, None)
    accept(shop)
    told = shop.revise().json
    assert (told["recorded"], told["answer"], told["answered_on"]) == (False, "yes", "2026-11-26")
    out = shop.say("revise", shop.folder / BOOK_FILE, shop.folder / JOB_FILE).out
    assert "The customer said yes to it on 2026-11-26." in out and "must be asked" not in out


def test_a_change_that_was_refused_says_so(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    shop.revise()
    shop.run("decline", "117", "--reason", "price", "--on", "2026-11-27")
    told = shop.revise().json
    assert (told["recorded"], told["answer"], told["answered_on"]) == (False, "no", "2026-11-27")


def test_killed_before_the_sheet_came_into_its_place(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run again, the same version is finished: no second number, and the sheet is the one that was recorded."""
    from quotekit.cli import carry_out

    def killed(staged: object) -> None:
        raise KeyboardInterrupt

    shop.change_job(MORE_WELDING)
    with monkeypatch.context() as patched:
        patched.setattr(carry_out, "put_in_place", killed)
        assert shop.revise().code == 130
    assert not (shop.folder / SHEET).exists() and len(shop.entries("issued")) == 2
    again = shop.run("revise", shop.folder / BOOK_FILE, shop.folder / JOB_FILE, "--on", "2026-11-27")
    assert (again.code, again.json["version"], len(shop.entries("issued"))) == (0, 2, 2)
    assert mark_of(shop.folder / SHEET) == shop.entries("issued")[-1].told(Issued).fingerprint


def mark_of(path: Path) -> str:
    """The fingerprint a sheet carries."""
    book = load_workbook(path)
    sheet, _, cells = book.defined_names[MARKS].attr_text.partition("!")
    return str(book[sheet.strip("'")][cells.replace("$", "").partition(":")[0]].value)


def test_a_document_in_the_way_is_not_written_over(shop: Shop) -> None:
    shop.change_job(MORE_WELDING)
    (shop.folder / SHEET).write_text("the customer's own")
    ran = shop.revise()
    assert (ran.code, ran.codes) == (3, ["output-exists"])
    assert (shop.folder / SHEET).read_text() == "the customer's own" and len(shop.entries("issued")) == 1
    elsewhere = shop.folder / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "117-2 quote.xlsx").write_text("of another day: no file of this name is written")
    assert shop.revise("--out", elsewhere).code == 0
    assert (shop.folder / "elsewhere" / SHEET).exists()


class TestTheSheet:
    """What the customer reads."""

    @pytest.fixture
    def told(self, shop: Shop) -> tuple[dict[str, Any], list[Any]]:
        shop.change_job(MORE_WELDING, PLATE)
        ran = shop.revise()
        assert ran.code == 0
        return ran.json, texts(shop.folder / SHEET)

    def test_what_is_new_what_it_costs_and_the_new_total(self, told: tuple[dict[str, Any], list[Any]]) -> None:
        """California (B&P 9884.9): extra work is described, priced, with the revised total."""
        printed, found = told
        (adds,) = printed["adds"].values()
        assert f"Added: Weld the frame: ${adds} before tax, all in" in found
        assert "New part: 1 × Bracket plate" in found
        assert "TOTAL TO PAY" in found
        for amount in (printed["authorised"], printed["total"], printed["rise"]):
            assert float(amount) in found
        assert any("It is done only if you agree." in str(text) for text in found)

    def test_no_cost_no_supplier_no_margin(self, told: tuple[dict[str, Any], list[Any]], shop: Shop) -> None:
        everything = " ".join(str(text) for text in (*told[1], *texts(shop.folder / SHEET, "Working")))
        assert not any(word in everything.casefold() for word in ("north", "margin", "markup", "cost per hour"))
        assert 12.5 not in told[1], "what the plate costs the shop"

    def test_the_costing_is_the_shops(self, told: tuple[dict[str, Any], list[Any]], shop: Shop) -> None:
        assert [Path(name).name for name in told[0]["files"]] == [SHEET, "117-2 costing.xlsx"]
        assert not (shop.folder / "117-2 quote.xlsx").exists()


def test_a_person_reads_whether_to_call(shop: Shop) -> None:
    words = ("revise", shop.folder / BOOK_FILE, shop.folder / JOB_FILE, "--on", "2026-11-25")
    shop.change_job(MORE_WELDING)
    out = shop.say(*words).out
    assert "Added: Weld the frame" in out and "The customer must be asked." in out
    assert " more than agreed (" in out
    assert "quotekit accept --job 117 --by phone" in out
    shop.change_job(WELDING)
    out = shop.say(*words).out
    assert "No consent is needed" in out and str(shop.folder / "117-3 change.xlsx") in out
    rows = job_rows()
    rows["One-off"] = rows["One-off"][:1]
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    out = shop.say(*words).out
    assert " less than agreed (" in out and "-" not in out.split("Total")[1].split("than agreed")[0]
    shop.change_job(["Weld", "labour", "x", "", "", "", "", "", "", "", ""])
    assert "Nothing was recorded." in shop.say(*words).err
