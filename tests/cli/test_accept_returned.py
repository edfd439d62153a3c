"""`quotekit accept` of what the customer sent back: the choice alone is taken, all else is held against the ledger."""

from __future__ import annotations

import hashlib
import io
import shutil
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotekit.cli.main import main
from quotekit.documents.reply_text import reply_lines
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Accepted, Issued
from tests.cli.consent_shop import JOB_FILE, MORE_WELDING, WELDING, Shop, agreed_shop, issued_shop
from tests.workbook.returned import sent

SENT, BELT = "117-1 quote.xlsx", "extra_BELT_NEW"
CHOSEN: dict[str, object] = {"chosen_tier": "Put right", BELT: "☑"}
ON = ("--on", "2026-11-24")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return issued_shop(tmp_path)


def accepted(shop: Shop) -> list[Accepted]:
    return [entry.told(Accepted) for entry in shop.entries("accepted")]


def reply(shop: Shop, **changed: object) -> str:
    """The reply text of the page, as made from the quote that was issued."""
    mark = shop.entries("issued")[-1].told(Issued).fingerprint
    known = {"job_number": "117", "version": 1, "option": "Put right", "tier": "good", "extras": ("BELT-NEW",)}
    lines = reply_lines(**{**known, "total": "$1.00", "fingerprint": mark, **changed})  # type: ignore[arg-type]
    return "Hello, yes please:\n" + "\n".join(lines)


def test_a_quote_sent_back(shop: Shop) -> None:
    """The choice is read, priced from the frozen version, and the file is kept as it came."""
    path = shop.returned(SENT, CHOSEN)
    ran = shop.run("accept", path, *ON)
    assert (ran.code, ran.codes) == (0, [])
    (yes,) = accepted(shop)
    assert (yes.by, yes.tier, yes.extras, yes.customer) == ("returned quote", "good", ("BELT-NEW",), "A. Lindqvist")
    assert yes.returned is not None
    with open_ledger(shop.ledger) as ledger:
        assert ledger.file(yes.returned.sha256) == path.read_bytes()
    spoken = issued_shop(shop.folder / "spoken").accept("--extra", "BELT-NEW").json
    assert ran.json["total"] == spoken["total"]


def test_a_yes_by_file_needs_no_hour(shop: Shop) -> None:
    """Who wrote the file does not say at what time; the shop may tell it, and who agreed and how."""
    shop.run("accept", shop.returned(SENT, CHOSEN), *ON)
    shop.run("accept", shop.returned(SENT, {"chosen_tier": "Put right"}), *ON, "--at", "8:15", "--who", "B. Other",
             "--phone", "555 0177", "--note", "by mail")  # fmt: skip
    first, second = accepted(shop)
    assert first.said_at == "2026-11-24"
    assert (second.said_at, second.customer, second.phone, second.note) == (
        "2026-11-24 08:15",
        "B. Other",
        "555 0177",
        "by mail",
    )


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({**CHOSEN, "Quote!Z3": "and paint it"}, "quote-changed"),
        ({}, "no-option-chosen"),
        ({"chosen_tier": "Put right and Put right and prevent"}, "two-options-ticked"),
        ({"chosen_tier": "the cheap one"}, "unknown-option"),
        ({**CHOSEN, BELT: "perhaps"}, "unknown-tick"),
    ],
)
def test_what_cannot_be_taken_as_a_yes(typed: dict[str, object], code: str, shop: Shop) -> None:
    ran = shop.run("accept", shop.returned(SENT, typed), *ON)
    assert ran.code == 1 and code in ran.codes
    assert accepted(shop) == []


def test_a_price_that_was_changed_is_named_by_its_cell(shop: Shop) -> None:
    """The customer's file is no source of amounts: who lowers a price in it is found out, and no price is taken."""
    book = load_workbook(shop.folder / SENT)
    cell = next(
        cell
        for row in book["Quote"].iter_rows()
        for cell in row
        if isinstance(cell.value, (int, float)) and cell.value > 50
    )
    where = f"Quote!{cell.coordinate}"
    ran = shop.run("accept", shop.returned(SENT, {**CHOSEN, where: 1.0}), *ON)
    assert (ran.code, ran.codes) == (1, ["quote-changed"])
    assert ran.json["problems"][0]["place"] == f"returned.xlsx:{where}"


def test_a_quote_of_another_shop_with_the_same_number(tmp_path: Path) -> None:
    """Foreign: number and version are known here, the marks are not."""
    shop, other = issued_shop(tmp_path / "here"), issued_shop(tmp_path / "there")
    shutil.rmtree(other.folder)
    other.folder.mkdir()
    other.write_book(rate=140)
    other.change_job()
    assert other.issue().code == 0
    path = other.returned(SENT, CHOSEN)
    ran = shop.run("accept", path, *ON)
    assert (ran.code, ran.codes) == (1, ["quote-changed"])
    assert "marks are others" in ran.messages


def test_a_job_that_this_ledger_does_not_know(shop: Shop) -> None:
    sent(shop.folder, "foreign.xlsx", number="4711")
    ran = shop.run("accept", shop.returned("foreign.xlsx", CHOSEN), *ON)
    assert (ran.code, ran.codes) == (1, ["unknown-job"])
    assert ran.json["problems"][0]["place"].startswith("returned.xlsx:Working!")


def test_a_version_that_was_never_issued(shop: Shop) -> None:
    sent(shop.folder, "draft.xlsx", version=7)
    ran = shop.run("accept", shop.returned("draft.xlsx", CHOSEN), *ON)
    assert (ran.code, ran.codes) == (1, ["not-issued"])


def test_a_version_that_was_replaced(shop: Shop) -> None:
    old = shop.returned(SENT, CHOSEN, "old.xlsx")
    shop.write_book(rate=95)
    assert shop.issue().json["version"] == 2
    ran = shop.run("accept", old, *ON)
    assert (ran.code, ran.codes) == (1, ["version-replaced"])
    assert "version 2" in ran.messages and accepted(shop) == []
    new = shop.returned("117-2 quote.xlsx", CHOSEN, "new.xlsx")
    assert shop.run("accept", new, *ON).json["version"] == 2


def test_an_expired_quote_is_judged_by_the_ledger(shop: Shop) -> None:
    """Held until 2026-12-20: a day later only with a reason. (The clock may not have come so far: the hour is told.)"""
    path = shop.returned(SENT, CHOSEN)
    late = shop.run("accept", path, "--on", "2026-12-21")
    assert (late.code, late.codes) == (1, ["quote-expired"])
    held = shop.run("accept", path, "--on", "2026-12-21", "--hold-expired", "parts were here already")
    assert (held.code, held.json["held"]) == (0, "parts were here already")


def test_the_same_file_twice_is_recorded_once(shop: Shop) -> None:
    """Also after the quote was replaced since: what was agreed is agreed."""
    path = shop.returned(SENT, CHOSEN)
    first = shop.run("accept", path, *ON)
    again = shop.run("accept", path, "--on", "2026-11-26")
    assert (again.code, again.json["recorded"], again.json["entry"]) == (0, False, first.json["entry"])
    shop.write_book(rate=95)
    shop.issue()
    assert shop.run("accept", path, *ON).json["recorded"] is False
    assert len(accepted(shop)) == 1


def test_a_signed_quote_after_the_yes_by_phone_is_kept_too(shop: Shop) -> None:
    shop.accept("--extra", "BELT-NEW")
    ran = shop.run("accept", shop.returned(SENT, CHOSEN), *ON)
    assert (ran.code, ran.codes, len(accepted(shop))) == (0, [], 2)
    assert accepted(shop)[0].agreed.total == accepted(shop)[1].agreed.total


@pytest.mark.parametrize("how", ["file", "option", "standard input"])
def test_a_reply_text(how: str, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the ending of its name, by --text, or from a mail program's pipe."""
    path = shop.folder / ("reply.txt" if how == "file" else "reply")
    path.write_text(reply(shop), encoding="utf-8")
    words: list[str | Path] = [path] if how == "file" else ["--text", path]
    if how == "standard input":
        words = ["-"]
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(reply(shop).encode())))
    ran = shop.run("accept", *words, *ON)
    assert (ran.code, ran.codes, ran.json["tier"], ran.json["extras"]) == (0, [], "good", ["BELT-NEW"])
    (yes,) = accepted(shop)
    assert yes.returned is not None and yes.returned.sha256 == hashlib.sha256(reply(shop).encode()).hexdigest()


@pytest.mark.parametrize(
    ("changed", "code", "cell"),
    [
        ({"fingerprint": "0" * 64}, "quote-changed", "line 6"),
        ({"version": 2}, "not-issued", "line 2"),
        ({"job_number": "118"}, "unknown-job", "line 2"),
        ({"tier": "better", "extras": ()}, "two-options-ticked", "line 3"),
        ({"tier": "gold", "option": "Gold"}, "unknown-option", "line 3"),
        ({"extras": ("BELT",)}, "unknown-extra", "line 3"),
    ],
)
def test_what_is_wrong_with_a_reply(changed: dict[str, object], code: str, cell: str, shop: Shop) -> None:
    path = shop.folder / "reply.txt"
    path.write_text(reply(shop, **changed), encoding="utf-8")
    ran = shop.run("accept", path, *ON)
    assert (ran.code, ran.codes) == (1, [code])
    assert ran.json["problems"][0]["place"] == f"reply.txt!{cell}"


def test_a_reply_without_check_digits_proves_nothing(shop: Shop) -> None:
    path = shop.folder / "reply.txt"
    path.write_text(reply(shop).rpartition("\n")[0], encoding="utf-8")
    assert shop.run("accept", path, *ON).codes == ["quote-changed"]


def test_files_that_are_no_answer(shop: Shop) -> None:
    (shop.folder / "letter.txt").write_text("Yes please, the blue one", encoding="utf-8")
    assert shop.run("accept", shop.folder / "letter.txt").codes == ["not-a-reply"]
    assert shop.run("accept", shop.folder / "none.xlsx").codes == ["missing-file"]
    assert shop.run("accept", shop.folder / "none.txt").codes == ["missing-file"]
    assert shop.run("accept", shop.folder / JOB_FILE).codes == ["not-a-quote"]


def test_the_ledger_is_found_beside_the_file(shop: Shop, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    path = shop.returned(SENT, CHOSEN)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    assert main(["accept", str(path), *ON]) == 0
    assert len(accepted(shop)) == 1


class TestAChange:
    """The customer's sheet for a change, sent back."""

    @pytest.fixture
    def shop(self, tmp_path: Path) -> Shop:
        shop = agreed_shop(tmp_path)
        shop.change_job(WELDING, MORE_WELDING)
        ran = shop.revise()
        assert (ran.code, ran.json["needs_consent"]) == (0, True)
        return shop

    def test_a_yes(self, shop: Shop) -> None:
        path = shop.returned("117-2 change.xlsx", {"chosen_tier": "Yes, do it"})
        ran = shop.run("accept", path, "--on", "2026-11-26")
        assert (ran.code, ran.codes) == (0, [])
        yes = accepted(shop)[-1]
        assert (ran.json["version"], yes.tier, yes.extras) == (2, "good", ("BELT-NEW",))
        assert {"ONEOFF-2", "ONEOFF-3"} <= {item.key for item in yes.agreed.items}
        revision = shop.entries("issued")[-1].told(Issued).revision
        assert revision is not None and yes.agreed == revision.agreed
        assert Decimal(ran.json["authorised"]) == revision.after

    @pytest.mark.parametrize(
        ("typed", "code"),
        [
            ({"chosen_tier": "No, leave it as agreed"}, "work-declined"),
            ({}, "no-option-chosen"),
            ({"chosen_tier": "Yes, do it", "Change!G5": "but cheaper"}, "quote-changed"),
        ],
    )
    def test_anything_else(self, typed: dict[str, object], code: str, shop: Shop) -> None:
        ran = shop.run("accept", shop.returned("117-2 change.xlsx", typed), "--on", "2026-11-26")
        assert ran.code == 1 and code in ran.codes
        assert len(accepted(shop)) == 1

    def test_the_first_quote_no_longer_counts(self, shop: Shop) -> None:
        ran = shop.run("accept", shop.returned(SENT, {"chosen_tier": "Put right and prevent"}), *ON)
        assert ran.codes == ["version-replaced"]
