"""`quotekit accept` by word of mouth: what must be said, what is recorded, and once."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli import frozen
from quotekit.cli.accepting import Accepting
from quotekit.cli.main import main
from quotekit.cli.said_yes import SaidYes
from quotekit.cli.which_ledger import Facts
from quotekit.cli.who_said_it import WhoSaidIt
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Accepted
from quotekit.model.quote import Quote
from quotekit.money import round_down
from tests.cli.consent_shop import BOOK_FILE, JOB_FILE, YES, Shop, agreed_shop, issued_shop

QUICK = ("accept", "--job", "117", "--tier", "good")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return issued_shop(tmp_path)


def accepted(shop: Shop) -> list[Accepted]:
    return [entry.told(Accepted) for entry in shop.entries("accepted")]


def test_what_a_yes_by_phone_records(shop: Shop) -> None:
    """16 CCR 2722 (READ): date, time, name, telephone number, what was agreed and how much it comes to."""
    ran = shop.accept("--extra", "BELT-NEW")
    assert (ran.code, ran.codes) == (0, [])
    (entry,), (yes,) = shop.entries("accepted"), accepted(shop)
    assert (entry.version, entry.day.isoformat()) == (1, "2026-11-23")
    assert (yes.said_at, yes.customer, yes.phone, yes.note, yes.by) == (
        "2026-11-23 14:05",
        "A. Lindqvist",
        "555 0100",
        "go ahead",
        "phone",
    )
    assert (yes.tier, yes.extras, yes.agreed.option) == ("good", ("BELT-NEW",), "Put right")
    assert "BELT-NEW" in {item.key for item in yes.agreed.items if item.added}
    assert yes.agreed.total == Decimal(ran.json["total"]) > 0
    assert (yes.returned, yes.held, yes.safety_left) == (None, "", ())


def test_the_json_holds_what_follows(shop: Shop) -> None:
    ran = shop.accept()
    told = ran.json
    total = Decimal(told["total"])
    ten_percent = round_down(total / 10, 2)
    assert told["authorised"] == told["total"] == told["due"]
    assert Decimal(told["most"]) == total + min(ten_percent, Decimal(25))
    assert (told["basis"], told["paid"], told["recorded"], told["currency"]) == ("with tax", "0.00", True, "USD")
    assert {"job", "version", "tier", "extras", "deposit", "safety_left", "problems"} <= told.keys()
    assert told["entry"] == shop.entries("accepted")[0].seq


def test_the_amounts_are_those_of_the_choice(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    """Priced again from the frozen workbooks: the same as `choice` says of those that were issued."""
    agreed = shop.accept("--extra", "BELT-NEW").json
    words = [str(shop.folder / BOOK_FILE), str(shop.folder / JOB_FILE), "--tier", "good", "--extra", "BELT-NEW"]
    assert main(["choice", *words, "--json"]) == 0
    priced = json.loads(capsys.readouterr().out)
    assert (priced["total"], priced["deposit"]) == (agreed["total"], agreed["deposit"])


def test_a_later_change_of_the_shop_book_changes_nothing(tmp_path: Path) -> None:
    """What was issued is agreed to at its own prices, also where book and job are gone."""
    one, other = issued_shop(tmp_path / "one"), issued_shop(tmp_path / "other")
    other.write_book(rate=200)
    other.change_job()
    assert other.accept().json["total"] == one.accept().json["total"]
    gone = issued_shop(tmp_path / "gone")
    for path in gone.folder.glob("*.xlsx"):
        path.unlink()
    assert gone.accept().json["total"] == str(accepted(one)[0].agreed.total)


@pytest.mark.parametrize(
    ("words", "places"),
    [
        (("--by", "phone"), ["--who", "--phone", "--note"]),
        (("--by", "phone", "--who", "A", "--note", "yes"), ["--phone"]),
        (("--by", "in-person", "--who", "A", "--phone", "1", "--note", "yes", "--on", "2026-11-23"), ["--at"]),
        (("--by", "message", "--who", "A", "--phone", "1"), ["--note"]),
        (("--by", "in-person", "--note", "yes", "--who", "  "), ["--who", "--phone"]),
        (("--by", "phone", "--who", "A", "--phone", "none given", "--note", "yes"), ["--phone"]),
        ((), ["--by", "--who", "--phone", "--note"]),
    ],
)
def test_what_is_missing_is_said_each_by_itself(words: tuple[str, ...], places: list[str], shop: Shop) -> None:
    """A missing field is a problem with its option, not wrong usage; nothing is recorded."""
    ran = shop.run(*QUICK, *words)
    assert (ran.code, ran.codes) == (1, ["consent-incomplete"] * len(places))
    assert [problem["place"] for problem in ran.json["problems"]] == places
    assert ran.json["recorded"] is False and accepted(shop) == []


@pytest.mark.parametrize("by", ["in-person", "message"])
def test_a_number_is_needed_however_it_was_said(by: str, shop: Shop) -> None:
    """At the counter too: it is the number at which the customer is called when something more is found."""
    assert shop.accept("--by", by, "--phone", "").codes == ["consent-incomplete"]
    assert accepted(shop) == []


@pytest.mark.parametrize(
    ("changes", "code", "said_at"),
    [
        (("--at", "9:30"), "", "2026-11-23 09:30"),
        (("--at", "2026-11-23 09:30"), "", "2026-11-23 09:30"),
        (("--at", "2026-11-22 09:30"), "time-unclear", ""),
        (("--at", "25:00"), "time-unclear", ""),
        (("--at", "noon"), "time-unclear", ""),
        (("--at", ""), "time-unclear", ""),
        (("--at", "2026-11-23 09:30 sharp"), "time-unclear", ""),
        (("--on", "2096-01-01"), "time-unclear", ""),
    ],
)
def test_when_it_was_said(changes: tuple[str, ...], code: str, said_at: str, shop: Shop) -> None:
    """A day and an hour that are there, not to come, and not two different ones."""
    ran = shop.accept(*changes)
    assert (ran.code, code in ran.codes or not code) == (int(bool(code)), True)
    assert [yes.said_at for yes in accepted(shop)] == ([said_at] if said_at else [])


def test_a_day_to_come_is_no_day_on_which_it_was_said(shop: Shop) -> None:
    words = ("--by", "phone", "--who", "A", "--phone", "1", "--note", "yes", "--on", "2096-01-01")
    ran = shop.run(*QUICK, *words, "--hold-expired", "a promise")
    assert (ran.code, ran.codes) == (1, ["time-unclear"]) and "2096-01-01 is still to come" in ran.messages


def test_without_a_day_it_is_now(shop: Shop) -> None:
    before = datetime.now().strftime("%Y-%m-%d %H:%M")
    ran = shop.run(
        *QUICK, "--by", "in-person", "--who", "A", "--phone", "1", "--note", "yes", "--hold-expired", "for the test"
    )
    assert ran.code == 0
    assert before <= accepted(shop)[0].said_at <= datetime.now().strftime("%Y-%m-%d %H:%M")


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        (("--tier", "gold"), "unknown-option"),
        (("--tier", ""), "no-option-chosen"),
        (("--extra", "BELT"), "unknown-extra"),
        (("--extra", "SHAFT-TURN"), "extra-not-offered"),
        (("--job", "118"), "unknown-job"),
    ],
)
def test_what_was_not_offered_cannot_be_agreed_to(changes: tuple[str, ...], code: str, shop: Shop) -> None:
    ran = shop.accept(*changes)
    assert (ran.code, ran.codes) == (1, [code])
    assert accepted(shop) == []


def test_an_extra_inside_the_option_adds_nothing(shop: Shop) -> None:
    ran = shop.accept("--tier", "better", "--extra", "BELT-NEW")
    assert (ran.code, ran.codes) == (0, ["nothing-to-add"])
    assert accepted(shop)[0].extras == ()


def test_codes_compare_without_case(shop: Shop) -> None:
    ran = shop.accept("--tier", "GOOD", "--extra", "belt-new; Bushing-Offer @ right")
    assert (ran.code, ran.json["tier"], ran.json["extras"]) == (0, "good", ["BELT-NEW", "BUSHING-OFFER@right"])


@pytest.mark.parametrize(
    ("day", "reason", "code", "held"),
    [
        ("2026-11-27", "", 0, ""),
        ("2026-11-27", "a promise", 0, ""),
    ],
)
def test_a_quote_that_holds_needs_no_holding(day: str, reason: str, code: int, held: str, shop: Shop) -> None:
    """A reason given where none is needed is not kept: nothing had expired."""
    ran = shop.accept("--on", day, "--hold-expired", reason)
    assert (ran.code, accepted(shop)[0].held) == (code, held)


@pytest.mark.parametrize(("day", "code"), [("2026-11-19", 1), ("2026-11-20", 0)])
def test_nobody_says_yes_before_there_is_a_quote(day: str, code: int, shop: Shop) -> None:
    """What is recorded later may be of an earlier day, but not of one before the quote."""
    ran = shop.accept("--on", day)
    assert (ran.code, ran.codes) == (code, ["yes-before-quote"] * code)


def expired_shop(tmp_path: Path) -> Shop:
    """A quote of 2026-11-20 that held for two days."""
    shop = issued_shop(tmp_path)
    shop.write_book(Quote_valid_days=2)
    assert shop.issue().code == 0
    return shop


def test_an_expired_quote_is_refused_unless_held_with_a_reason(tmp_path: Path) -> None:
    shop = expired_shop(tmp_path)
    refused = shop.accept()
    assert (refused.code, refused.codes) == (1, ["quote-expired"])
    assert "2026-11-22" in refused.messages and "--hold-expired" in refused.messages
    assert shop.accept("--on", "2026-11-22").code == 0
    held = shop.accept("--hold-expired", "  snowed in  ", "--note", "later")
    assert (held.code, held.json["held"]) == (0, "snowed in")
    assert [yes.held for yes in accepted(shop)] == ["", "snowed in"]


def test_the_same_yes_twice_is_recorded_once_and_said(shop: Shop) -> None:
    first, again = shop.accept(), shop.accept("--at", "15:00")
    assert (again.code, again.json["recorded"], again.json["entry"]) == (0, False, first.json["entry"])
    assert len(accepted(shop)) == 1
    assert "recorded already, on 2026-11-23" in shop.say(*QUICK, "--by", "phone", "--who", "a. lindqvist", "--phone",
                                                          "555 0100", "--note", "Go  ahead").out  # fmt: skip
    assert len(accepted(shop)) == 1


@pytest.mark.parametrize(
    ("change", "warned"),
    [
        (("--note", "and hurry"), []),
        (("--tier", "better"), ["earlier-yes"]),
        (("--extra", "BELT-NEW"), ["earlier-yes"]),
        (("--by", "in-person"), []),
        (("--who", "B. Lindqvist"), []),
    ],
)
def test_another_yes_is_another_record(change: tuple[str, ...], warned: list[str], shop: Shop) -> None:
    """Another choice takes the place of the first and says so; the same choice said again otherwise is kept too."""
    shop.accept()
    ran = shop.accept(*change)
    assert (ran.code, ran.codes, ran.json["recorded"]) == (0, warned, True)
    assert len(accepted(shop)) == 2


def test_a_yes_after_a_no_is_recorded_anew(shop: Shop) -> None:
    shop.accept()
    assert shop.run("decline", "117", "--reason", "price", "--on", "2026-11-24").code == 0
    again = shop.accept()
    assert (again.code, again.json["recorded"]) == (0, True)
    assert len(accepted(shop)) == 2


def test_a_yes_is_to_the_version_that_holds(shop: Shop) -> None:
    shop.write_book(rate=90)
    assert shop.issue().json["version"] == 2
    ran = shop.accept()
    assert ran.json["version"] == 2
    assert Decimal(ran.json["total"]) > accepted(agreed_shop(shop.folder / "other"))[0].agreed.amounts["labour"]


def test_money_taken_is_part_of_what_is_due(shop: Shop) -> None:
    shop.run("pay", "117", "40", "--on", "2026-11-21")
    told = shop.accept().json
    assert (told["paid"], Decimal(told["due"])) == ("40.00", Decimal(told["total"]) - 40)


def test_a_frozen_total_that_no_longer_comes_out(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """An engine that works out another total than was issued is told, and nothing is agreed at the wrong price."""
    as_it_is = frozen.frozen_quote

    def dearer(version: frozen.Frozen) -> Quote:
        quote = as_it_is(version)
        tiers = tuple(replace(tier, total=tier.total + 1) for tier in quote.tiers)
        return replace(quote, tiers=tiers)

    monkeypatch.setattr(frozen, "frozen_quote", dearer)
    ran = shop.accept()
    assert (ran.code, set(ran.codes)) == (1, {"frozen-total-differs"})
    assert "issued was" in ran.messages and accepted(shop) == []


def test_nothing_given_and_both_given(shop: Shop) -> None:
    assert shop.run("accept").codes == ["nothing-to-accept"]
    assert shop.run("accept", "117-1 quote.xlsx", "--job", "117").codes == ["choice-given-twice"]
    assert shop.run("accept", "117-1 quote.xlsx", "--extra", "X").codes == ["choice-given-twice"]


def test_a_person_reads_what_was_agreed_and_when_to_call(shop: Shop) -> None:
    ran = shop.say(*YES)
    first, second, third = ran.out.splitlines()
    assert first == "Job 117, version 1: A. Lindqvist agreed to Put right [good]."
    assert second.startswith("Total ") and "due" in second
    assert third.startswith("Call before going over ") and third.endswith("(with tax).")
    assert "Nothing was recorded." in shop.say(*QUICK).err


def test_money_taken_before_that_is_more_than_the_total(shop: Shop) -> None:
    shop.run("pay", "117", "1000", "--on", "2026-11-21")
    total = accepted(issued_agreed(shop))[0].agreed.total
    assert f"paid 1000.00; to give back {1000 - total}." in shop.say(*YES).out


def issued_agreed(shop: Shop) -> Shop:
    """The same shop after the yes of YES."""
    assert shop.run(*YES).code == 0
    return shop


def test_who_recorded_it_and_why(shop: Shop) -> None:
    shop.accept("--recorded-by", "Anna", "--because", "the counter was busy")
    (entry,) = shop.entries("accepted")
    assert (entry.who, entry.why) == ("Anna", "the counter was busy")


def test_a_version_issued_while_the_choice_was_priced(shop: Shop) -> None:
    """What was priced ahead, before others had to wait, counts only for the version it was priced for."""
    yes = SaidYes(job="117", version=None, tier="good", extras=(), by="phone")
    facts = Facts(day=date(2026, 11, 23), who="anna", why="")
    who = WhoSaidIt(customer="A", phone="1", note="yes", said_at="2026-11-23 14:05", facts=facts)
    accepting = Accepting(yes, who, [])
    with open_ledger(shop.ledger) as ledger:
        accepting.look_ahead(ledger)
    shop.write_book(rate=164)
    assert shop.issue().json["version"] == 2
    with open_ledger(shop.ledger) as ledger:
        (draft,) = accepting.decide(ledger).drafts
    assert isinstance(draft.body, Accepted) and draft.version == 2
    assert draft.body.agreed.labour[0].rate_per_hour == 164
