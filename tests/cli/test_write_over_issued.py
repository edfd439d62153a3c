"""`quotekit quote --replace` over a quote that was issued: what the customer has is never lost."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from quotekit.cli.main import main
from tests.cli import consent_shop
from tests.cli.issued_shop import Ran, Shop
from tests.cli.small_shop import Sheets

QUOTE, COSTING, PAGE = "117-1 quote.xlsx", "117-1 costing.xlsx", "117-1 quote.html"


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shop:
    """A shop whose quote 117-1 was issued, and whose prices have risen since."""
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    made = Shop(tmp_path, capsys)
    assert made.issue("--page").code == 0
    return made


def dearer(sheets: Sheets) -> None:
    """Another price of every pack."""
    head, *rows = sheets["Parts"]
    cost = head.index("Pack cost")
    for row in rows:
        row[cost] = float(row[cost]) + 1


def replace(shop: Shop, *more: str | Path) -> Ran:
    """The quote priced again, over what is there."""
    return shop.run("quote", shop.book, shop.job, "--replace", "--json", *more)


def copies(shop: Shop) -> dict[str, bytes]:
    """What was kept, by the name of the file that it was."""
    day = re.compile(r" before \d{4}-\d\d-\d\d(?: \(\d+\))?")
    return {day.sub("", path.name): path.read_bytes() for path in shop.folder.glob("117-* before *")}


def test_what_was_issued_is_kept_beside(shop: Shop) -> None:
    """Quote, page and costing as they stood, under other names, and a warning that names them."""
    before = {name: (shop.folder / name).read_bytes() for name in (QUOTE, COSTING, PAGE)}
    shop.change_book(dearer)
    found = replace(shop, "--page")
    assert (found.code, found.codes.count("issued-kept")) == (0, 1)
    assert copies(shop) == before
    assert {name for name in before if (shop.folder / name).read_bytes() == before[name]} == set()
    (told,) = (one for one in found.told["problems"] if one["code"] == "issued-kept")
    assert (
        "Version 1 of job 117 was issued on 2026-03-03" in told["message"] and "117-1 quote before" in told["message"]
    )
    assert [Path(file).name for file in found.told["files"]] == [QUOTE, PAGE, COSTING]


def test_the_copy_is_what_the_customer_says_yes_to(tmp_path: Path) -> None:
    """A quote with a choice made in it lies where it was issued: the copy is accepted as it came."""
    shop = consent_shop.issued_shop(tmp_path)
    returned = shop.returned(QUOTE, {"chosen_tier": "Put right"}, name=QUOTE)
    chosen = returned.read_bytes()
    shop.write_book(rate=90)
    inputs = [str(shop.folder / name) for name in (consent_shop.BOOK_FILE, consent_shop.JOB_FILE)]
    assert main(["quote", *inputs, "--replace"]) == 0
    (kept,) = returned.parent.glob("117-1 quote before *")
    assert kept.read_bytes() == chosen
    assert shop.run("accept", kept, "--on", "2026-11-24").code == 0


def test_a_choice_made_in_it_is_not_lost(shop: Shop) -> None:
    """A returned quote lies where it was issued: its bytes are other ones, and worth more."""
    returned = (shop.folder / QUOTE).read_bytes() + b"\0"
    (shop.folder / QUOTE).write_bytes(returned)
    assert replace(shop).code == 0
    assert copies(shop)[QUOTE] == returned


def test_one_copy_of_the_same(shop: Shop) -> None:
    """Put back by hand and replaced once more: the copy is there already."""
    issued = (shop.folder / QUOTE).read_bytes()
    shop.change_book(dearer)
    replace(shop)
    (shop.folder / QUOTE).write_bytes(issued)
    assert "issued-kept" not in replace(shop).codes
    assert len(list(shop.folder.glob("117-1 quote before *"))) == 1


def test_the_same_quote_leaves_no_copy(shop: Shop) -> None:
    """The same workbooks give the same bytes: there is nothing to keep."""
    assert replace(shop, "--page").code == 0
    assert copies(shop) == {}


def test_never_issued_is_written_over(shop: Shop) -> None:
    """Another version, another folder, a shop without a ledger: `--replace` leaves one quote, as it says."""
    for folder in ("elsewhere", "elsewhere"):
        assert replace(shop, "--out", shop.folder / folder).code == 0
    shop.ledger.unlink()
    shop.change_book(dearer)
    found = replace(shop)
    assert (found.code, found.codes.count("issued-kept"), copies(shop)) == (0, 0, {})


def test_a_ledger_that_is_not_made_yet_issued_nothing(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The environment names the ledger before the first quote is issued."""
    monkeypatch.setenv("QUOTEKIT_LEDGER", str(shop.folder / "of next year.db"))
    shop.change_book(dearer)
    found = replace(shop)
    assert (found.code, copies(shop)) == (0, {})


def test_a_ledger_that_cant_be_read_keeps_all(shop: Shop) -> None:
    """Nobody knows whether it was issued: the quote is priced, what stood there is kept."""
    shop.ledger.write_bytes(b"no ledger at all" * 300)
    shop.change_book(dearer)
    found = replace(shop)
    assert (found.code, copies(shop).keys()) == (0, {QUOTE, COSTING})
    assert "can't say whether" in next(one["message"] for one in found.told["problems"] if one["code"] == "issued-kept")


def test_a_disk_that_is_full_leaves_all_as_it_was(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Copies and new files together, or none."""
    before = {path.name: path.read_bytes() for path in shop.folder.glob("117-*")}
    shop.change_book(dearer)

    def full(quote: object, path: Path, *_: object, **named: object) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr("quotekit.workbook.write_sheet.write_costing", full)
    assert replace(shop).code == 3
    assert {path.name: path.read_bytes() for path in shop.folder.glob("117-*")} == before
