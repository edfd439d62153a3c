"""`quotekit review` end to end: a ledger in, two workbooks, JSON and lines out."""

from __future__ import annotations

import contextlib
import io
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from quotekit.cli.review import span_of
from quotekit.cli.review_kept import kept_within
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Comeback, Draft, Ordered
from quotekit.model.review import Span
from quotekit.model.story import Told
from tests.cli.consent_shop import agreed_shop
from tests.cli.season_shop import BOOK, DAYS, LEDGER, PROPOSALS, REVIEW, a_shop, run
from tests.pricing.review.stories import a_job, an_order, numbered, told
from tests.review.in_ledger import write_ledger
from tests.review.season import YEAR

D = Decimal


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Made once: no test changes it but by writing to folders of its own."""
    return a_shop(tmp_path_factory.mktemp("shop"))


def test_it_writes_the_review_and_the_proposed_times(shop: Path, tmp_path: Path) -> None:
    """The belt took half as long again; the seal is as timed."""
    found = run(shop, "review", *DAYS, "--book", shop / BOOK, "--out", tmp_path)
    assert found.code == 0, found.err
    assert [Path(name).name for name in found.json["files"]] == [REVIEW, PROPOSALS]
    assert [(one["code"], one["in_force"], one["jobs"]) for one in found.json["proposals"]] == [("BELTING", "0.4", 12)]
    assert D(found.json["proposals"][0]["new"]) == pytest.approx(D("0.59"), abs=D("0.03"))
    rows = openpyxl.load_workbook(tmp_path / PROPOSALS)["Proposals"].iter_rows(values_only=True)
    assert [row[1:5] for row in rows if row[2] == "BELTING"] == [("Operations", "BELTING", "Net hours", 0.4)]
    names = openpyxl.load_workbook(tmp_path / REVIEW).sheetnames
    assert names == ["Review", "Jobs", "Variances", "Times", "Quotes", "Parts"]


def test_figures_are_decimal_strings(shop: Path, tmp_path: Path) -> None:
    """No float is anywhere in the JSON."""
    found = run(shop, "review", *DAYS, "--out", tmp_path).json

    def floats(value: Any) -> bool:
        if isinstance(value, dict):
            return any(map(floats, value.values()))
        return any(map(floats, value)) if isinstance(value, list) else isinstance(value, float)

    assert not floats(found)
    assert found["totals"]["profit"] == "408.00"  # 12 x 70.00, less 10.8 h at 40.00
    assert found["totals"]["variances"]["labour_time"] == {"amount": "96.00", "sign": "U"}
    assert found["jobs"][0]["variances"]["labour_time"] == {"amount": "6.00", "sign": "U"}
    assert (found["span"]["first"], found["currency"]) == (YEAR.first.isoformat(), "USD")


def test_without_a_readable_book_no_cell_is_proposed(shop: Path, tmp_path: Path) -> None:
    """The newest quote's book is no workbook here: the ratio is told, the proposals are not written."""
    found = run(shop, "review", *DAYS, "--out", tmp_path)
    assert [Path(name).name for name in found.json["files"]] == [REVIEW]
    assert [one["changes"] for one in found.json["proposals"]] == [[]]
    assert "Without a shop book" in found.err


def test_a_person_reads_lines(shop: Path, tmp_path: Path) -> None:
    """The figures that matter, then the files."""
    out, err = io.StringIO(), io.StringIO()
    words = ["review", *DAYS, "--book", str(shop / BOOK), "--out", str(tmp_path), "--ledger", str(shop / LEDGER)]
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        assert main(words) == 0
    said = out.getvalue()
    assert "Jobs closed: 12, profit known of 12" in said
    assert "BELTING Change the belt" not in said and "BELTING Belting: 0.4 h now" in said
    assert said.rstrip().endswith(str(tmp_path / PROPOSALS))
    assert "then: quotekit take-over " in err.getvalue() and PROPOSALS in err.getvalue()


def test_it_stands_beside_the_ledger_by_default(tmp_path: Path) -> None:
    """Where the owner keeps the ledger."""
    shop = a_shop(tmp_path)
    assert run(shop, "review", *DAYS).code == 0
    assert (shop / REVIEW).is_file()


def test_the_same_again_is_done_already(shop: Path, tmp_path: Path) -> None:
    """A file that says the same is left as it is; another one is kept unless --replace is given."""
    assert run(shop, "review", *DAYS, "--out", tmp_path).code == 0
    assert run(shop, "review", *DAYS, "--out", tmp_path).code == 0
    (tmp_path / REVIEW).write_bytes(b"the owner's notes")
    refused = run(shop, "review", *DAYS, "--out", tmp_path)
    assert (refused.code, refused.codes) == (3, ["output-exists"])
    assert "--replace" in refused.json["problems"][0]["remedy"]
    assert (tmp_path / REVIEW).read_bytes() == b"the owner's notes"
    assert run(shop, "review", *DAYS, "--out", tmp_path, "--replace").code == 0
    assert (tmp_path / REVIEW).read_bytes() != b"the owner's notes"


def test_it_changes_nothing_in_the_ledger(tmp_path: Path) -> None:
    """It only reads."""
    shop = a_shop(tmp_path)
    before = (shop / LEDGER).read_bytes()
    run(shop, "review", *DAYS, "--book", shop / BOOK)
    assert (shop / LEDGER).read_bytes() == before


def test_no_ledger(tmp_path: Path) -> None:
    """It makes none."""
    found = run(tmp_path, "review", *DAYS)
    assert found.code == 3 and not (tmp_path / LEDGER).exists()


def test_a_book_with_errors(shop: Path, tmp_path: Path) -> None:
    """Nothing is written from a shop book that can't be read."""
    (tmp_path / "bad.xlsx").write_bytes(b"no workbook")
    found = run(shop, "review", *DAYS, "--book", tmp_path / "bad.xlsx", "--out", tmp_path)
    assert (found.code, found.codes[:1]) == (1, ["not-a-workbook"])
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.xlsx"]


@pytest.mark.parametrize(
    ("words", "code"), [(("--from", "2026-05-01", "--to", "2026-04-01"), 2), (("--from", "spring"), 2)]
)
def test_wrong_days(shop: Path, words: tuple[str, ...], code: int) -> None:
    """Wrong usage."""
    assert run(shop, "review", *words).code == code


def test_a_year_by_default() -> None:
    """The 365 days that end with the last one."""
    span = span_of(None, date(2026, 11, 28))
    assert span is not None and (span.first, span.days) == (date(2025, 11, 29), 365)


def test_an_unwritable_folder(shop: Path, tmp_path: Path) -> None:
    """A file stands where the folder should be."""
    (tmp_path / "out").write_text("x", encoding="utf-8")
    found = run(shop, "review", *DAYS, "--out", tmp_path / "out")
    assert (found.code, found.codes) == (3, ["disk"])


def test_jobs_that_began_before_the_days(tmp_path: Path) -> None:
    """Issued and agreed last year, closed in the days: the whole story is read."""
    old = YEAR.first - timedelta(days=30)
    job = a_job("J1", issued_on=old, accepted_on=old, closed_on=YEAR.first)
    silent = a_job("J2", hours=None, accepted_on=None, issued_on=old)
    path = write_ledger(tmp_path / LEDGER, numbered([job, silent]))
    with open_ledger(path) as ledger:
        kept = kept_within(ledger, YEAR)
    assert [story.job for story in kept.stories] == ["J1"]
    assert (len(kept.stories[0].issued), len(kept.stories[0].accepted)) == (1, 1)
    found = run(tmp_path, "review", *DAYS).json
    assert ([job["job"] for job in found["jobs"]], found["quotes"]) == (["J1"], 0)


def test_comebacks_and_orders_are_read(tmp_path: Path) -> None:
    """A comeback is charged to the job before the days; orders of before count."""
    old = YEAR.first - timedelta(days=30)
    back = Comeback(first_job="J1", cause="part", charged=D(0))
    jobs = [
        a_job("J1", issued_on=old, accepted_on=old, closed_on=old),
        a_job("C1", invoiced=None, comeback=back, parts="SEAL 2 at 4 for 7"),
    ]
    order = Draft(kind="ordered", job="", body=an_order("SEAL 6 for C1 2").body, day=old, who="Test", number=1)
    write_ledger(tmp_path / LEDGER, numbered(jobs), [order])
    found = run(tmp_path, "review", *DAYS).json
    assert [(one["job"], one["first_job"]) for one in found["comebacks"]] == [("C1", "J1")]
    assert found["jobs"][0]["parts"] == "12.00"


def test_orders_long_before_are_not_looked_for(tmp_path: Path) -> None:
    """A year before the first day at the most."""
    long_ago = YEAR.first - timedelta(days=500)
    order = Draft(kind="ordered", job="", body=an_order("SEAL 6 for J1 2").body, day=long_ago, who="Test", number=1)
    path = write_ledger(tmp_path / LEDGER, [told(a_job("J1"))], [order])
    with open_ledger(path) as ledger:
        assert kept_within(ledger, YEAR).ordered == ()
        seen = kept_within(ledger, Span(first=long_ago, last=YEAR.last)).ordered
    assert [type(one.body) for one in seen] == [Ordered] and isinstance(seen[0], Told)


def test_the_book_of_the_newest_quote(tmp_path: Path) -> None:
    """Where no book is given it is read from what the ledger keeps, with the job it was issued with."""
    shop = agreed_shop(tmp_path)
    found = shop.run("review", "--from", "2026-11-01", "--to", "2026-11-30", "--out", tmp_path / "out")
    assert found.code == 0, found.err
    assert (found.json["quotes"], found.json["wins"][0]["chosen"]) == (1, 1)
    assert found.json["shop_name"] != ""
