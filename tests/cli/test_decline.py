"""`quotekit decline`: to which version a no is, why, what it leaves, and once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Billed, Clocked, Declined, Draft, Ordered, OrderLine, Paid
from tests.cli.consent_shop import JOB_FILE, MORE_WELDING, WELDING, Shop, agreed_shop, issued_shop
from tests.problem_catalogue.workbooks import write
from tests.workbook.returned import job_rows

ON = ("--on", "2026-11-26")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return issued_shop(tmp_path)


def declined(shop: Shop) -> list[tuple[int | None, Declined]]:
    return [(entry.version, entry.told(Declined)) for entry in shop.entries("declined")]


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("price", "price"),
        ("time", "time"),
        ("not-worth-it", "not worth it"),
        ("went-elsewhere", "went elsewhere"),
        ("no-answer", "no answer"),
    ],
)
def test_a_no_to_a_quote(typed: str, reason: str, shop: Shop) -> None:
    """The few reasons that can be counted later; what a no costs is told."""
    ran = shop.run("decline", "117", "--reason", typed, *ON)
    ((version, no),) = declined(shop)
    assert (ran.code, version, no.reason, no.customer) == (0, 1, reason, "A. Lindqvist")
    assert (ran.json["to_pay"], ran.json["still_agreed"], ran.json["recorded"]) == ("40.00", None, True)


def test_another_reason_is_said(shop: Shop) -> None:
    refused = shop.run("decline", "117", "--reason", "other", *ON)
    assert (refused.code, refused.codes, declined(shop)) == (1, ["note-needed"], [])
    ran = shop.run("decline", "117", "--reason", "other", "--note", " sold  it ", "--who", "B. Other", *ON)
    ((_, no),) = declined(shop)
    assert (ran.code, no.note, no.customer) == (0, "sold it", "B. Other")


def test_the_same_no_twice_is_recorded_once(shop: Shop) -> None:
    first = shop.run("decline", "117", "--reason", "price", *ON)
    again = shop.run("decline", "117", "--reason", "price", *ON)
    assert (again.json["recorded"], again.json["entry"]) == (False, first.json["entry"])
    assert "recorded already, on 2026-11-26" in shop.say("decline", "117", "--reason", "price").out
    other = shop.run("decline", "117", "--reason", "time", *ON)
    assert (other.json["recorded"], len(declined(shop))) == (True, 2)


def test_a_no_after_a_yes_takes_it_back(tmp_path: Path) -> None:
    shop = agreed_shop(tmp_path)
    ran = shop.run("decline", "117", "--reason", "went-elsewhere", *ON)
    assert (ran.json["version"], ran.json["still_agreed"], ran.json["to_pay"]) == (None, None, "40.00")
    assert shop.revise().codes == ["nothing-agreed"]
    again = shop.run("decline", "117", "--reason", "went-elsewhere", *ON)
    assert again.json["recorded"] is False


class TestAChange:
    """A no while a change waits for an answer."""

    @pytest.fixture
    def shop(self, tmp_path: Path) -> Shop:
        shop = agreed_shop(tmp_path)
        shop.change_job(MORE_WELDING)
        assert shop.revise().json["needs_consent"] is True
        return shop

    def test_what_was_agreed_holds(self, shop: Shop) -> None:
        ran = shop.run("decline", "117", "--reason", "price", *ON)
        assert (ran.json["version"], ran.json["still_agreed"], ran.json["to_pay"]) == (2, 1, None)
        assert "Version 1 is agreed and holds." in shop.say("decline", "117", "--reason", "price", *ON).out

    def test_a_second_no_is_to_the_change_again(self, shop: Shop) -> None:
        """Another reason for it takes back nothing that was agreed; a no to all the work says so."""
        shop.run("decline", "117", "--reason", "price", *ON)
        ran = shop.run("decline", "117", "--reason", "time", *ON)
        assert (ran.json["version"], ran.json["still_agreed"], ran.json["recorded"]) == (2, 1, True)
        ran = shop.run("decline", "117", "--reason", "time", "--all", *ON)
        assert (ran.json["version"], ran.json["still_agreed"], ran.json["recorded"]) == (None, None, True)

    def test_a_no_to_all_the_work(self, shop: Shop) -> None:
        ran = shop.run("decline", "117", "--reason", "price", "--all", *ON)
        assert (ran.json["version"], ran.json["still_agreed"], ran.json["to_pay"]) == (None, None, "40.00")
        assert "declined all the work" in shop.say("decline", "117", "--reason", "price", "--all").out


def test_matters_of_safety_that_stay_are_kept_in_plain_words(tmp_path: Path) -> None:
    """What is recorded is what the customer was told, and the shop is reminded what not to do."""
    shop = issued_shop(tmp_path)
    rows = job_rows()
    rows["Findings"][3] = ["BELT-CRACKED", "", "", "", "", "", "", "safety", "frayed to the cord", ""]
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    assert shop.issue().code == 0
    ran = shop.run("decline", "117", "--reason", "price", *ON)
    assert (ran.code, ran.codes, ran.json["safety_left"]) == (0, ["safety-left"], ["Drive belt cracked."])
    assert "in writing" in ran.messages and "scrap" in ran.messages
    assert declined(shop)[-1][1].safety_left == ("Drive belt cracked.",)


def test_of_a_refused_change_only_what_the_agreed_work_leaves_is_a_matter(tmp_path: Path) -> None:
    """BELT-NEW is agreed, so a belt found to be unsafe later is put right all the same; the loose guard is not."""
    shop = agreed_shop(tmp_path)
    rows = job_rows()
    rows["Findings"][3] = ["BELT-CRACKED", "", "", "", "", "", "", "safety", "frayed to the cord", ""]
    rows["Findings"].append(["OTHER", "", "", "", "", "", "", "safety", "Guard hangs loose", ""])
    rows["One-off"].append(["Rivet the guard", "labour", 2, "", "", "", "", "", "", "", "OTHER-1"])
    write(shop.folder / JOB_FILE, rows, {"merge": {}, "hide": {}})
    ran = shop.revise()
    assert (ran.code, ran.json["needs_consent"]) == (0, True), ran.err
    said = shop.run("decline", "117", "--reason", "price", *ON)
    assert len(said.json["safety_left"]) == 1 and "Guard hangs loose" in said.json["safety_left"][0]


def test_a_no_to_a_newer_quote_leaves_what_was_agreed(tmp_path: Path) -> None:
    """The customer asked what more would cost, and wants the work as agreed; with --all it is to all of it."""
    shop = agreed_shop(tmp_path)
    shop.change_job(WELDING)
    assert shop.issue().json["version"] == 2
    said = shop.run("decline", "117", "--reason", "price", *ON)
    assert (said.json["version"], said.json["still_agreed"], said.json["to_pay"]) == (2, 1, None)
    said = shop.run("decline", "117", "--reason", "price", "--all", *ON)
    assert (said.json["version"], said.json["still_agreed"], said.json["to_pay"]) == (None, None, "40.00")


def test_a_no_to_work_that_was_billed_is_recorded_with_a_warning(tmp_path: Path) -> None:
    shop = agreed_shop(tmp_path)
    nothing = Decimal("0.00")
    bill = Billed(lines=(), subtotal=nothing, taxes=(), tax=nothing, total=nothing, paid=nothing, due=nothing,
                  authorised=nothing, currency="USD")  # fmt: skip
    with open_ledger(shop.ledger) as ledger, ledger.writing() as writing:
        writing.append(Draft(kind="billed", job="117", body=bill, day=date(2026, 11, 25), who="anna", number=1))
    ran = shop.run("decline", "117", "--reason", "other", "--note", "takes it back", *ON)
    assert (ran.code, ran.codes, len(declined(shop))) == (0, ["billed-already"], 1)
    assert "Bill 1" in ran.messages


def test_a_no_after_the_work_was_begun_says_what_was_begun(tmp_path: Path) -> None:
    """A no takes back the yes: hours and parts are then the shop's own, and money is to be given back."""
    shop = agreed_shop(tmp_path)
    line = OrderLine(supplier="NORTH", part="BELT", name="Drive belt, long", suppliers_number="N-1", packs=1,
                     pack_quantity=Decimal(1), pack_cost=Decimal(12), amount=Decimal(12), jobs={"117": Decimal(1)},
                     needed=Decimal(1), left_over=Decimal(0), returnable=False)  # fmt: skip
    order = Ordered(jobs=("117",), lines=(line,), suppliers=(), shelf=(), landed=Decimal(12), usual=None,
                    bound=Decimal(12), compared="", currency="USD")  # fmt: skip
    bodies = (("ordered", "", order), ("clocked", "117", Clocked(work="", person="Bo", hours=Decimal("1.5"))),
              ("paid", "117", Paid(amount=Decimal("100.00"), purpose="deposit")))  # fmt: skip
    with open_ledger(shop.ledger) as ledger, ledger.writing() as writing:
        for kind, job, body in bodies:
            writing.append(Draft(kind=kind, job=job, body=body, day=date(2026, 11, 25), who="anna"))  # type: ignore[arg-type]
    ran = shop.run("decline", "117", "--reason", "went-elsewhere", *ON)
    assert (ran.code, ran.codes) == (0, ["work-begun", "parts-were-ordered"])
    assert "1.5 h were clocked" in ran.messages and "Drive belt, long (cannot be returned)" in ran.messages
    assert (ran.json["to_pay"], ran.json["paid"], ran.json["due"]) == ("40.00", "100.00", "-60.00")
    assert "to give back 60.00" in shop.say("decline", "117", "--reason", "went-elsewhere", *ON).out


@pytest.mark.parametrize(
    ("day", "words", "code"),
    [("2026-11-19", (), 1), ("2026-11-20", (), 0), ("2026-11-22", ("--all",), 1), ("2026-11-23", ("--all",), 0)],
)
def test_nobody_says_no_before_there_is_a_quote_or_a_yes(
    day: str, words: tuple[str, ...], code: int, tmp_path: Path
) -> None:
    """Issued on 2026-11-20, agreed to on 2026-11-23."""
    shop = agreed_shop(tmp_path) if words else issued_shop(tmp_path)
    ran = shop.run("decline", "117", "--reason", "price", *words, "--on", day)
    assert (ran.code, ran.codes, len(declined(shop))) == (code, ["no-before-quote"] * code, 1 - code)


def test_wrong_words(shop: Shop) -> None:
    assert shop.run("decline", "118", "--reason", "price").codes == ["unknown-job"]
    assert shop.run("decline", "117", "--reason", "spite").code == 2
    assert shop.run("decline", "117").code == 2


def test_a_person_reads_it(shop: Shop) -> None:
    ran = shop.say("decline", "117", "--reason", "not-worth-it", *ON)
    assert ran.out.splitlines() == [
        "Job 117: A. Lindqvist declined version 1 (not worth it).",
        "What a no costs: 40.00 USD, tax included.",
    ]
