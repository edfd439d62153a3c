"""`quotekit pay`: how much, what for, and what is still due."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotekit.model.entries import Accepted, Paid
from tests.cli.consent_shop import BOOK_FILE, Shop, agreed_shop, issued_shop

ON = ("--on", "2026-11-24")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return agreed_shop(tmp_path)


def paid(shop: Shop) -> list[Paid]:
    return [entry.told(Paid) for entry in shop.entries("paid")]


def test_money_taken(shop: Shop) -> None:
    total = shop.entries("accepted")[0].told(Accepted).agreed.total
    ran = shop.run("pay", "117", "60", "--how", " cash ", *ON)
    assert (ran.code, ran.codes) == (0, [])
    assert paid(shop) == [Paid(amount=Decimal("60.00"), purpose="part payment", how="cash")]
    told = ran.json
    assert (told["amount"], told["paid"], told["for"], told["day"]) == ("60.00", "60.00", "part payment", "2026-11-24")
    assert (Decimal(told["to_pay"]), Decimal(told["due"])) == (total, total - 60)


def test_what_is_due_goes_down_and_a_refund_up(shop: Shop) -> None:
    first = shop.run("pay", "117", "60", *ON).json
    second = shop.run("pay", "117", "40.5", *ON).json
    third = shop.run("pay", "117", "10.25", "--for", "refund", *ON).json
    assert [told["paid"] for told in (first, second, third)] == ["60.00", "100.50", "90.25"]
    assert (third["amount"], third["for"]) == ("-10.25", "refund")
    assert Decimal(third["due"]) == Decimal(third["to_pay"]) - Decimal("90.25")


@pytest.mark.parametrize(
    "amount", ["0", "0.00", "12.345", "1,250.00", "60 USD", "sixty", "", "1e3", "NaN", "1234567890123"]
)
def test_amounts_that_are_none(amount: str, shop: Shop) -> None:
    """Nothing is guessed about money."""
    ran = shop.run("pay", "117", amount)
    assert (ran.code, ran.codes, paid(shop)) == (1, ["not-a-payment"], [])


def test_an_amount_with_a_minus_is_told_what_to_type(shop: Shop) -> None:
    ran = shop.run("pay", "117", "-5")
    assert ran.codes == ["not-a-payment"] and "--for refund" in ran.messages


def test_an_amount_with_digits_too_many(shop: Shop) -> None:
    ran = shop.run("pay", "117", "99999999999999")
    assert ran.codes == ["not-a-payment"] and "digit too many" in ran.messages


def test_before_the_answer_nothing_is_known_to_be_due(tmp_path: Path) -> None:
    ran = issued_shop(tmp_path).run("pay", "117", "25", *ON)
    assert (ran.code, ran.json["to_pay"], ran.json["due"], ran.json["for"]) == (0, None, None, "part payment")
    assert "known once the customer has answered" in issued_shop(tmp_path / "b").say("pay", "117", "25", *ON).out


def test_after_a_no_what_a_no_costs_is_due(shop: Shop) -> None:
    shop.run("decline", "117", "--reason", "price", *ON)
    ran = shop.run("pay", "117", "50", *ON)
    assert (ran.json["to_pay"], ran.json["due"], ran.codes) == ("40.00", "-10.00", ["paid-above-due"])


def test_more_than_is_due_is_recorded_with_a_warning(shop: Shop) -> None:
    ran = shop.run("pay", "117", "5000", *ON)
    assert (ran.code, ran.codes, ran.json["recorded"]) == (0, ["paid-above-due"], True)
    assert ran.json["due"].startswith("-")
    assert f"to give back {Decimal(ran.json['paid']) + 1 - Decimal(ran.json['to_pay'])}" in shop.say(
        "pay", "117", "1", *ON
    ).out.replace(",", "")


def test_no_more_is_given_back_than_was_taken(shop: Shop) -> None:
    shop.run("pay", "117", "60", *ON)
    ran = shop.run("pay", "117", "60.01", "--for", "refund", *ON)
    assert (ran.code, ran.codes) == (1, ["refund-above-paid"])
    assert shop.run("pay", "117", "60", "--for", "refund", *ON).json["paid"] == "0.00"


def test_the_same_amount_on_the_same_day_may_be_the_same_money(shop: Shop) -> None:
    """Two payments of one amount are two: both are recorded, and the shop is asked to look."""
    shop.run("pay", "117", "60", *ON)
    assert shop.run("pay", "117", "60", "--on", "2026-11-25").codes == []
    ran = shop.run("pay", "117", "60.00", *ON)
    assert (ran.code, ran.codes, len(paid(shop))) == (0, ["paid-again"], 3)


class TestADeposit:
    """Parts are ordered once half of their price is there."""

    @pytest.fixture
    def shop(self, tmp_path: Path) -> Shop:
        shop = issued_shop(tmp_path)
        shop.write_book(Deposit_on_ordered_parts="50%")
        assert shop.issue().code == 0
        assert Decimal(shop.accept().json["deposit"]) > 2
        return shop

    def test_is_what_money_is_for_while_it_is_owed(self, shop: Shop) -> None:
        first = shop.run("pay", "117", "1", *ON).json
        assert first["for"] == "deposit"
        assert Decimal(first["deposit_due"]) == Decimal(first["deposit"]) - 1
        rest = shop.run("pay", "117", first["deposit_due"], *ON).json
        assert (rest["for"], rest["deposit_due"]) == ("deposit", "0.00")
        assert shop.run("pay", "117", "3", *ON).json["for"] == "part payment"

    def test_what_it_is_for_can_be_said(self, shop: Shop) -> None:
        assert shop.run("pay", "117", "1", "--for", "part-payment", *ON).json["for"] == "part payment"

    def test_a_person_reads_what_is_to_come(self, shop: Shop) -> None:
        lines = shop.say("pay", "117", "1", "--how", "card", *ON).out.splitlines()
        assert lines[0] == "Job 117: 1.00 USD taken, deposit (card)."
        assert lines[1].startswith("Paid so far 1.00; due ")
        assert lines[2].startswith("Of the deposit of ") and lines[2].endswith(" is still to come.")


@pytest.mark.parametrize(
    ("amount", "coin", "rounding"),
    [("313.95", "0.05", "-0.02"), ("314", "1", "-0.07"), ("313.90", "0.10", "0.03"), ("313.93", "0.01", "0.00")],
)
def test_cash_rounded_to_a_coin_settles_the_job(amount: str, coin: str, rounding: str, tmp_path: Path) -> None:
    """313.93 is due. Half up by hand; the money that changed hands and its rounding are kept apart."""
    shop = agreed_shop(tmp_path)
    told = shop.run("pay", "117", amount, "--how", "cash", "--rounded-to", coin, *ON)
    assert (told.code, told.codes, told.json["rounding"], told.json["due"]) == (0, [], rounding, "0.00")
    bill = shop.run("bill", "117", *ON).json
    assert (bill["total"], bill["paid"], bill["due"], bill["refund"]) == ("313.93", "313.93", "0.00", "0.00")
    kept = [entry.told(Paid).purpose for entry in shop.entries("paid")]
    assert kept == ["part payment"] + ["rounding"] * (rounding != "0.00")


@pytest.mark.parametrize(
    ("amount", "coin", "code"),
    [
        ("313.90", "0.05", "not-rounded"),
        ("313.94", "0.05", "not-rounded"),
        ("100", "0.05", "not-rounded"),
        ("313.95", "0", "not-a-coin"),
        ("313.95", "a nickel", "not-a-coin"),
    ],
)
def test_what_is_no_rounding_is_not_settled(amount: str, coin: str, code: str, tmp_path: Path) -> None:
    """Neither the nearest coin's amount nor a part of what is due: nothing is forgiven by a slip of the hand."""
    shop = agreed_shop(tmp_path)
    ran = shop.run("pay", "117", amount, "--rounded-to", coin, *ON)
    assert (ran.code, ran.codes, shop.entries("paid")) == (1, [code], [])


def test_money_typed_in_the_job_workbook_counts_too(tmp_path: Path) -> None:
    shop = issued_shop(tmp_path)
    shop.change_job(Paid_so_far=20)
    assert shop.issue().code == 0
    shop.accept()
    assert shop.run("pay", "117", "30", *ON).json["paid"] == "50.00"


def test_the_next_document_shows_what_was_paid(shop: Shop) -> None:
    shop.run("pay", "117", "60", *ON)
    shop.write_book(rate=83)
    shop.run("issue", shop.folder / BOOK_FILE, shop.folder / "job 117.xlsx", "--on", "2026-11-25")
    sheet = load_workbook(shop.folder / "117-2 quote.xlsx")["Quote"]
    texts = [cell.value for row in sheet.iter_rows() for cell in row]
    assert "Paid so far" in texts and 60 in texts


def test_a_job_that_is_not_there(shop: Shop) -> None:
    ran = shop.run("pay", "711", "60")
    assert (ran.code, ran.codes, ran.json["recorded"]) == (1, ["unknown-job"], False)
