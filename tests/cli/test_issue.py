"""`quotekit issue`: a numbered version with all it was made from; nothing issued is altered by what comes later."""

from __future__ import annotations

import hashlib
import io
import json
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Issued, Written
from tests.cli.issued_shop import Shop, field, names_of
from tests.ledger.drafts import paid


def a_picture() -> bytes:
    """A small grey photo."""
    from PIL import Image

    kept = io.BytesIO()
    Image.new("RGB", (60, 40), "grey").save(kept, "JPEG")
    return kept.getvalue()


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shop:
    return Shop(tmp_path, capsys)


def test_documents_and_version_are_made_together(shop: Shop) -> None:
    ran = shop.issue()
    assert ran.code == 0
    assert "Job 117, version 1, is issued; it holds until 2026-04-01." in ran.err
    assert names_of(ran.out.splitlines()) == ["117-1 quote.xlsx", "117-1 costing.xlsx"]
    assert shop.written() == ["117-1 costing.xlsx", "117-1 quote.xlsx"]
    assert [(entry.kind, entry.version, entry.number) for entry in shop.entries()] == [
        ("issued", 1, 1),
        ("written", 1, None),
    ]


def test_everything_it_was_made_from_is_kept(shop: Shop) -> None:
    """The workbooks byte for byte, the whole result, and the digests of what was handed over."""
    shop.issue("--because", "the customer waits")
    issued, written = shop.entries()
    body = issued.told(Issued)
    with open_ledger(shop.ledger) as ledger:
        assert ledger.file(body.book.sha256) == shop.book.read_bytes()
        assert ledger.file(body.job_workbook.sha256) == shop.job.read_bytes()
        results = json.loads(ledger.file(body.results.sha256))
    assert [tier["total"] for tier in results["tiers"] if tier["offered"]] == [str(one.total) for one in body.offered]
    assert (issued.day.isoformat(), issued.who, issued.why) == ("2026-03-03", "Ida", "the customer waits")
    documents = {one.name: one.sha256 for one in written.told(Written).documents}
    assert documents == {name: hashlib.sha256((shop.folder / name).read_bytes()).hexdigest() for name in shop.written()}


def test_what_was_offered_can_be_read_without_the_workbooks(shop: Shop) -> None:
    shop.issue()
    body = shop.entries()[0].told(Issued)
    assert (body.customer, body.currency, body.machine) == ("R. Alder", "USD", "Snow thrower")
    assert (body.quote_date.isoformat(), body.valid_until.isoformat()) == ("2026-03-02", "2026-04-01")
    assert body.offered[0].code == "good"
    assert all(option.subtotal + option.tax == option.total for option in body.offered)
    assert body.declined_total == 0


def test_a_later_change_in_the_shop_book_alters_nothing_issued(shop: Shop) -> None:
    """The price of an hour goes up; version 1 is still what it was, to the cent."""
    from quotekit.cli.frozen import frozen_quote, read_frozen

    shop.issue()
    before = shop.entries()[0].told(Issued)
    shop.change_book(lambda book: book["Labour rates"][1].__setitem__(2, 900))
    with open_ledger(shop.ledger) as ledger:
        issued = ledger.story("117").issued[0]
        again = frozen_quote(read_frozen(ledger, issued))
    assert [(tier.code, tier.total) for tier in again.offered] == [(one.code, one.total) for one in before.offered]


def test_issued_again_it_is_version_2_and_the_first_is_replaced(shop: Shop) -> None:
    shop.issue()
    ran = shop.issue()
    assert "Job 117, version 2, is issued" in ran.err and "It replaces version 1." in ran.err
    first, second = (entry for entry in shop.entries() if entry.kind == "issued")
    assert (first.told(Issued).replaces, second.told(Issued).replaces) == (None, 1)
    assert (second.version, second.number) == (2, 2)
    assert shop.written() == ["117-1 costing.xlsx", "117-1 quote.xlsx", "117-2 costing.xlsx", "117-2 quote.xlsx"]
    assert first.told(Issued).fingerprint != second.told(Issued).fingerprint


def test_each_job_counts_its_own_versions(shop: Shop) -> None:
    shop.issue()
    shop.change_job(lambda sheets: field(sheets, "Job number", "118"))
    assert "Job 118, version 1, is issued" in shop.issue().err
    assert [entry.number for entry in shop.entries() if entry.kind == "issued"] == [1, 2]


def test_the_json_tells_version_number_and_what_it_replaces(shop: Shop) -> None:
    shop.issue()
    told = shop.issue("--json").told
    assert (told["version"], told["number"], told["replaces"], told["entry"]) == (2, 2, 1, 3)
    assert names_of(told["files"]) == ["117-2 quote.xlsx", "117-2 costing.xlsx"]
    assert told["fingerprint"] == shop.entries()[2].told(Issued).fingerprint


def test_into_another_folder(shop: Shop) -> None:
    shop.issue("--out", shop.folder / "handed over")
    assert shop.written() == []
    assert (shop.folder / "handed over" / "117-1 quote.xlsx").is_file()
    assert shop.entries()[1].told(Written).folder == str((shop.folder / "handed over").resolve())


def test_the_page_is_a_document_too(shop: Shop) -> None:
    shop.issue("--page")
    names = [document.name for document in shop.entries()[1].told(Written).documents]
    assert sorted(names) == ["117-1 costing.xlsx", "117-1 quote.html", "117-1 quote.xlsx"]


def test_photos_are_kept(shop: Shop) -> None:
    (shop.folder / "left.jpg").write_bytes(a_picture())

    def with_photo(sheets: dict[str, list[list[object]]]) -> None:
        sheets["Findings"] = [["Finding", "Side", "Measured", "Photo"], ["WORN", "left", 0.761, "left.jpg"]]

    shop.change_job(with_photo)
    assert shop.issue().code == 0
    (photo,) = shop.entries()[0].told(Issued).photos
    with open_ledger(shop.ledger) as ledger:
        assert (photo.name, ledger.file(photo.sha256)) == ("left.jpg", a_picture())


# money


def test_money_of_the_ledger_is_paid_so_far(shop: Shop) -> None:
    """What was taken after version 1 is shown by version 2."""
    shop.issue()
    shop.add(paid("30.00"))
    shop.issue()
    assert (paid_rows(shop, "117-1 quote.xlsx"), paid_rows(shop, "117-2 quote.xlsx")) == ([], [True])


def paid_rows(shop: Shop, name: str) -> list[bool]:
    """Rows of a customer's quote that speak of money paid: whether each says 30."""
    from openpyxl import load_workbook

    sheet = load_workbook(shop.folder / name, data_only=True).worksheets[0]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    return [
        30 in row or -30 in row
        for row in rows
        if any(isinstance(value, str) and value.casefold().startswith(("paid", "less paid")) for value in row)
    ]


def test_typed_money_and_the_ledgers_are_counted_together_and_said(shop: Shop) -> None:
    shop.issue()
    shop.add(paid("30.00"))
    shop.change_job(lambda sheets: field(sheets, "Paid so far", 20))
    ran = shop.issue("--json")
    assert "paid-counted-together" in ran.codes
    (problem,) = [one for one in ran.told["problems"] if one["code"] == "paid-counted-together"]
    assert problem["message"] == "Paid so far (20) and the ledger's payments (30.00) are counted together."
    last = shop.entries()[-2].told(Issued)
    assert last.paid_typed == Decimal(20)


def test_typed_money_alone_is_no_matter(shop: Shop) -> None:
    shop.change_job(lambda sheets: field(sheets, "Paid so far", 20))
    assert "paid-counted-together" not in shop.issue("--json").codes


# versions typed in the job workbook


@pytest.mark.parametrize(("typed", "warned"), [(None, False), (1, False), (2, True), (7, True)])
def test_a_typed_version_gives_way_to_the_ledgers(shop: Shop, typed: int | None, warned: bool) -> None:
    shop.change_job(lambda sheets: field(sheets, "Version", typed))
    ran = shop.issue("--json")
    assert ran.code == 0 and ran.told["version"] == 1
    assert ("version-of-ledger" in ran.codes) is warned


# refused


def test_a_fault_in_a_workbook_issues_nothing(shop: Shop) -> None:
    shop.change_job(lambda sheets: sheets["Findings"].append(["NO SUCH", None, None]))
    ran = shop.issue()
    assert ran.code == 1
    assert "Nothing was issued." in ran.err
    assert (shop.entries(), shop.written(), shop.ledger.exists()) == ([], [], False)


def test_where_nothing_can_be_offered_there_is_nothing_to_issue(shop: Shop) -> None:
    """The brake has no remedy in the book: no option is honest, and a costing alone is no quote."""
    shop.change_job(lambda sheets: sheets["Findings"].append(["BRAKE", None, None]))
    ran = shop.issue("--json")
    assert ran.code == 1
    assert "nothing-to-issue" in ran.codes
    assert (shop.entries(), shop.written()) == ([], [])


def test_a_document_in_the_way_is_never_written_over(shop: Shop) -> None:
    (shop.folder / "117-1 quote.xlsx").write_text("somebody's")
    ran = shop.issue("--json")
    assert (ran.code, "output-exists" in ran.codes) == (3, True)
    assert (shop.folder / "117-1 quote.xlsx").read_text() == "somebody's"
    assert shop.entries() == []


def test_a_workbook_that_changes_meanwhile_is_not_issued(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept must be what was priced: somebody saved the shop book while the quote was worked out."""
    from quotekit.cli import quote

    real = quote.price

    def price(inputs: object) -> object:
        priced = real(inputs)  # type: ignore[arg-type]
        shop.change_book(lambda book: book["Labour rates"][1].__setitem__(2, 900))
        return priced

    monkeypatch.setattr(quote, "price", price)
    ran = shop.issue("--json")
    assert (ran.code, "input-changed" in ran.codes) == (1, True)
    assert (shop.entries(), shop.written()) == ([], [])


def test_the_refusal_as_json_is_the_quotes(shop: Shop) -> None:
    shop.change_job(lambda sheets: sheets["Findings"].append(["NO SUCH", None, None]))
    told = shop.issue("--json").told
    assert told["problems"] and "number" not in told


@pytest.mark.parametrize("words", [["issue"], ["issue", "book.xlsx"], ["issue", "a", "b", "--on", "soon"]])
def test_wrong_usage_ends_with_2(shop: Shop, words: list[str]) -> None:
    assert shop.run(*words).code == 2


@pytest.mark.parametrize(("day", "codes"), [("2026-04-01", []), ("2026-04-02", ["quote-expired"])])
def test_a_quote_that_is_over_when_it_is_issued_is_told(shop: Shop, day: str, codes: list[str]) -> None:
    """Whoever issues an old job again forgets its Quote date, and the customer could never say yes."""
    ran = shop.issue("--on", day, "--json")
    assert (ran.code, [code for code in ran.codes if code == "quote-expired"]) == (0, codes), ran.told["valid_until"]


def test_a_quote_that_was_priced_before_is_written_over_when_asked(shop: Shop) -> None:
    """`quote` and `issue` write the same names: without --replace nothing is issued, with it the issued one stands."""
    assert shop.run("quote", shop.book, shop.job).code == 0
    there = shop.written()
    refused = shop.issue("--json")
    assert (refused.code, "output-exists" in refused.codes, shop.entries()) == (3, True, [])
    assert shop.issue("--replace").code == 0
    assert shop.written() == there and [entry.kind for entry in shop.entries()] == ["issued", "written"]


def test_an_issued_quote_is_never_written_over(shop: Shop) -> None:
    """Each version has names of its own, so --replace can't touch what a customer was handed."""
    assert shop.issue().code == 0
    first = {path: (shop.folder / path).read_bytes() for path in shop.written()}
    assert shop.issue("--replace").code == 0
    assert {path: (shop.folder / path).read_bytes() for path in first} == first
    assert len(shop.written()) == 2 * len(first)
