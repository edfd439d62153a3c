"""`quotekit compare` from real workbooks: figures checked by hand, causes, and what it refuses."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from shutil import copytree
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from tests.cli.small_shop import Sheets, job, shop_book, write_book
from tests.workbook.typed import Edit, all_of, book_file, job_file, set_cell

Run = Callable[..., tuple[int, str, str]]

DEARER_HOUR = set_cell("Labour rates", 1, 2, 100)
DEARER_BELT = set_cell("Parts", 2, 3, 20)
RATE, BELT = "new.xlsx:Labour rates!C2", "new.xlsx:Parts!D3"


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the command; gives exit code, stdout and stderr."""

    def compare(*options: object) -> tuple[int, str, str]:
        code = main(["compare", *map(str, options)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return compare


def compared(run: Run, *options: object) -> dict[str, Any]:
    code, out, err = run(*options, "--json")
    assert code == 0, err
    found: dict[str, Any] = json.loads(out)
    return found


def figure(found: dict[str, Any], name: str, tier: str | None = None) -> dict[str, Any] | None:
    return next((one for one in found["figures"] if (one["figure"], one["tier"]) == (name, tier)), None)


def on_both(run: Run, folder: Path, edit: Edit, *more: object, base: Sheets | None = None) -> dict[str, Any]:
    """The job priced on the small shop's book and on the edited one."""
    files = book_file(folder, "old", None, base), book_file(folder, "new", edit, base)
    return compared(run, *files, "--job", job_file(folder, "job"), *more)


def change(found: dict[str, Any], name: str, tier: str | None = None) -> tuple[Any, ...] | None:
    one = figure(found, name, tier)
    return None if one is None else (one["old"], one["new"], one["difference"], one["alone"], one["together"])


def test_an_hour_that_costs_more(run: Run, tmp_path: Path) -> None:
    """A bushing takes 0.6 h, billed as the minimum of 1: 90 becomes 100. Part 8.25, tax 0.58 stay: 98.83 to 108.83.

    With the belt it is 1.0 h as well: 90 + 37.50 + 2.63 = 130.13 to 140.13.
    """
    found = on_both(run, tmp_path, DEARER_HOUR)
    assert (found["kind"], [cell["what"] for cell in found["cells"]]) == ("shop books", ["Rate per hour of MAIN"])
    assert change(found, "total", "good") == ("98.83", "108.83", "10.00", {RATE: "10.00"}, "0.00")
    assert change(found, "total", "better") == ("130.13", "140.13", "10.00", {RATE: "10.00"}, "0.00")
    assert change(found, "labour.MAIN.rate_per_hour") == ("90.00", "100.00", "10.00", {RATE: "10.00"}, "0.00")
    assert figure(found, "amounts.parts", "good") is None


def test_a_part_that_costs_more(run: Run, tmp_path: Path) -> None:
    """19.50 sold at 29.25 becomes 20.00 at 30.00: 0.75 and 0.05 tax, only where the belt is done."""
    found = on_both(run, tmp_path, DEARER_BELT)
    assert figure(found, "total", "good") is None
    assert change(found, "total", "better") == ("130.13", "130.93", "0.80", {BELT: "0.80"}, "0.00")
    assert change(found, "parts.BELT.unit_price") == ("29.25", "30.00", "0.75", {BELT: "0.75"}, "0.00")
    assert change(found, "taxes.State.amount", "better") == ("2.63", "2.68", "0.05", {BELT: "0.05"}, "0.00")


def test_two_changes_that_add_up(run: Run, tmp_path: Path) -> None:
    found = on_both(run, tmp_path, all_of(DEARER_HOUR, DEARER_BELT))
    expected = ("130.13", "140.93", "10.80", {RATE: "10.00", BELT: "0.80"}, "0.00")
    assert change(found, "total", "better") == expected
    assert change(found, "total", "good") == ("98.83", "108.83", "10.00", {RATE: "10.00"}, "0.00")


def test_two_changes_that_work_on_each_other(run: Run, tmp_path: Path) -> None:
    """1 h at 90 becomes 2 h at 100: 110 more. Without the rate 20 less, without the minimum 100 less."""
    minimum = "new.xlsx:Shop!B4"
    found = on_both(run, tmp_path, all_of(DEARER_HOUR, set_cell("Shop", 3, 1, 2)))
    expected = ("90.00", "200.00", "110.00", {minimum: "100.00", RATE: "20.00"}, "-10.00")
    assert change(found, "amounts.labour", "good") == expected


def test_two_ends_of_two_bands_cannot_be_put_back_alone(run: Run, tmp_path: Path) -> None:
    """20 becomes 18 on both rows: the belt at 19.50 now takes 35 %, but not below the top of the band: 27.00."""
    edit = all_of(set_cell("Markup", 1, 1, 18), set_cell("Markup", 2, 0, 18))
    found = on_both(run, tmp_path, edit)
    alone = {"new.xlsx:Markup!B2": None, "new.xlsx:Markup!A3": None}
    assert change(found, "parts.BELT.unit_price") == ("29.25", "27.00", "-2.25", alone, "-2.25")


def two_ways() -> Sheets:
    """A frayed belt may be mended for 0.2 h, or changed for 0.4 h and a belt."""
    base = shop_book()
    base["Operations"].append(["MENDING", "Mend the belt", 0.2, "No", None])
    base["Remedies"].append(["MENDBELT", "Mended belt", "repair", "FRAYED", "MENDING", 1])
    base["Shop"].append(["Minimum labour hours", 0])
    base["Shop"].pop(3)
    return base


def test_another_remedy_is_taken(run: Run, tmp_path: Path) -> None:
    """At 3 h mending is dearer than a new belt, so that the new one is taken, and the reason is its hours."""
    hours = "new.xlsx:Operations!C5"
    base = {
        **two_ways(),
        "Tiers": [["Code", "Tier", "Covers", "Aim"], ["all", "All", "safety; needed; advised", "lowest price"]],
    }
    found = on_both(run, tmp_path, set_cell("Operations", 4, 2, 3), base=base)
    items = figure(found, "items", "all")
    assert items is not None
    assert (items["old"], items["new"], items["because"]) == (
        "MENDBELT; NEWBUSH@left",
        "NEWBELT; NEWBUSH@left",
        [hours],
    )
    assert (items["difference"], items["alone"]) == (None, {hours: None})
    total = figure(found, "total", "all")
    assert total is not None and total["alone"] == {hours: total["difference"]}
    assert change(found, "parts.BELT.amount", "all") == (None, "29.25", None, {hours: None}, None)


def test_an_option_that_is_no_longer_offered(run: Run, tmp_path: Path) -> None:
    """Once a frayed belt needs doing, the second option does the same work as the first."""
    severity = "new.xlsx:Findings!C3"
    found = on_both(run, tmp_path, set_cell("Findings", 2, 2, "needed"))
    offered, reason = figure(found, "offered", "better"), figure(found, "reason", "better")
    assert offered is not None and (offered["old"], offered["new"], offered["because"]) == ("yes", "no", [severity])
    assert reason is not None and reason["old"] is None and "same work" in reason["new"]


def test_a_remedy_that_no_longer_fits(run: Run, tmp_path: Path) -> None:
    """The bore measures 0.761; from 0.765 down the limit lets it, from 0.760 no more."""
    base = {**shop_book(), "Fits only if": [["Remedy", "Finding", "From", "To"], ["NEWBUSH", "WORN", None, 0.765]]}
    found = on_both(run, tmp_path, set_cell("Fits only if", 1, 3, 0.760), base=base)
    refused = next(one for one in found["figures"] if one["figure"].startswith("not_permitted.NEWBUSH"))
    assert (refused["old"], refused["because"]) == (None, ["new.xlsx:Fits only if!D2"])


def test_a_limit_of_the_book_moves_what_counts_as_a_fault(run: Run, tmp_path: Path) -> None:
    """The job is read again in the light of the book with the old limit."""
    found = on_both(run, tmp_path, set_cell("Findings", 1, 6, 0.770))
    fixed = figure(found, "fixed", "better")
    assert fixed is not None and (fixed["old"], fixed["new"]) == ("FRAYED; WORN@left", "FRAYED")
    assert fixed["because"] == ["new.xlsx:Findings!G2"]


def test_rows_moved_about_move_no_figure(run: Run, tmp_path: Path) -> None:
    found = on_both(run, tmp_path, lambda sheets: sheets["Parts"].insert(1, sheets["Parts"].pop()))
    assert (found["cells"], found["figures"]) == ([], [])


def test_without_a_job_the_book_speaks(run: Run, tmp_path: Path) -> None:
    """A remedy by itself: minimum 1 h at 90 and a belt at 29.25."""
    files = book_file(tmp_path, "old"), book_file(tmp_path, "new", DEARER_HOUR)
    found = compared(run, *files)
    assert change(found, "remedies.NEWBELT.alone") == ("119.25", "129.25", "10.00", {RATE: "10.00"}, "0.00")
    assert all(one["job"] is None for one in found["figures"])


def test_the_rate_of_another_day(run: Run, tmp_path: Path) -> None:
    from datetime import date

    base = shop_book()
    base["Labour rates"] = [
        ["Code", "Rate per hour", "In force from"], ["MAIN", 90, date(2026, 1, 1)], ["MAIN", 95, date(2027, 1, 1)],
    ]  # fmt: skip
    files = book_file(tmp_path, "old", None, base), book_file(tmp_path, "new", set_cell("Labour rates", 2, 1, 99), base)
    assert figure(compared(run, *files, "--on", "2026-11-28"), "labour.MAIN.rate_per_hour") is None
    later = change(compared(run, *files, "--on", "2027-02-01"), "labour.MAIN.rate_per_hour")
    assert later is not None and later[:3] == ("95.00", "99.00", "4.00")


def test_two_jobs_of_one_book(run: Run, tmp_path: Path) -> None:
    """The belt is no longer found: the better option does what the good one does. Money was paid meanwhile."""
    edit = all_of(lambda sheets: sheets["Findings"].pop(), lambda sheets: sheets["Job"].append(["Paid so far", 20]))
    jobs = job_file(tmp_path, "old"), job_file(tmp_path, "new", edit)
    found = compared(run, *jobs, "--book", book_file(tmp_path, "book"))
    assert found["kind"] == "jobs"
    row = "old.xlsx:Findings!A3 (before)"
    assert change(found, "due", "good") == ("98.83", "78.83", "-20.00", {"new.xlsx:Job!B7": "-20.00"}, "0.00")
    fixed = figure(found, "fixed", "better")
    assert fixed is not None and (fixed["new"], fixed["because"]) == ("WORN@left", [row])


def test_jobs_on_two_books(run: Run, tmp_path: Path) -> None:
    jobs = job_file(tmp_path, "old job"), job_file(tmp_path, "new job", set_cell("Findings", 2, 0, "BRAKE"))
    books = book_file(tmp_path, "old"), book_file(tmp_path, "new", DEARER_HOUR)
    jobs = job_file(tmp_path, "old job"), job_file(tmp_path, "new job", lambda sheets: sheets["Findings"].pop())
    found = compared(run, *jobs, "--old-book", books[0], "--new-book", books[1])
    assert {cell["what"] for cell in found["cells"]} == {"Rate per hour of MAIN", "Findings: FRAYED"}
    assert change(found, "total", "good") == ("98.83", "108.83", "10.00", {RATE: "10.00"}, "0.00")


def quoted(place: Path, edit: Edit | None, base: Sheets | None = None) -> Path:
    """A quote written to a folder of its own, with its JSON in a file beside it."""
    place.mkdir()
    book = book_file(place, "shop book", edit)
    with redirect_stdout(StringIO()) as said:
        assert main(["quote", str(book), str(job_file(place, "job", None, base)), "--json"]) == 0
    (place / "quote.json").write_text(said.getvalue(), encoding="utf-8")
    return place


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two quotes of a job and one of another, each in its folder; written once."""
    folder: Path = tmp_path_factory.mktemp("quotes")
    quoted(folder / "before", None)
    quoted(folder / "after", all_of(DEARER_HOUR, DEARER_BELT))
    quoted(folder / "other", None, _numbered("118"))
    return folder


@pytest.fixture
def quotes(written: Path, tmp_path: Path) -> tuple[Path, Path]:
    """The two quotes of one job, as files that a test may change."""
    for name in ("before", "after"):
        copytree(written / name, tmp_path / name)
    return tmp_path / "before", tmp_path / "after"


@pytest.mark.parametrize(
    ("name", "kind"), [("117-1 quote.xlsx", "quotes"), ("117-1 costing.xlsx", "costings"), ("quote.json", "json")]
)
def test_two_quotes_of_a_job(run: Run, quotes: tuple[Path, Path], name: str, kind: str) -> None:
    """Each says what it holds: amounts of both options, and what each part comes to or costs."""
    found = compared(run, quotes[0] / name, quotes[1] / name)
    assert found["kind"] == kind
    for tier, expected in (("good", ("98.83", "108.83", "10.00")), ("better", ("130.13", "140.93", "10.80"))):
        total = change(found, "total", tier)
        assert total is not None and total[:3] == expected
    labour = change(found, "amounts.labour", "good")
    assert labour is not None and labour[:3] == ("90.00", "100.00", "10.00")


@pytest.mark.parametrize("name", ["117-1 quote.xlsx", "117-1 costing.xlsx", "quote.json"])
def test_with_the_books_and_the_job_the_causes_are_told(run: Run, quotes: tuple[Path, Path], name: str) -> None:
    books = [place / "shop book.xlsx" for place in quotes]
    more = ["--old-book", books[0], "--new-book", books[1], "--job", quotes[0] / "job.xlsx"]
    found = compared(run, quotes[0] / name, quotes[1] / name, *more)
    alone = {"shop book.xlsx:Labour rates!C2": "10.00", "shop book.xlsx:Parts!D3": "0.80"}
    assert change(found, "total", "better") == ("130.13", "140.93", "10.80", alone, "0.00")
    assert found["problems"] == [] and found["notes"] == []


def test_json_alone_cannot_tell_the_causes(run: Run, quotes: tuple[Path, Path]) -> None:
    found = compared(run, *(place / "quote.json" for place in quotes))
    assert found["cells"] == [] and all(one["because"] == [] for one in found["figures"])
    assert len(found["notes"]) == 1 and "--old-book" in found["notes"][0]


def test_costings_tell_which_cells_differ(run: Run, quotes: tuple[Path, Path]) -> None:
    found = compared(run, *(place / "117-1 costing.xlsx" for place in quotes))
    differing = [(cell["what"], cell["old"], cell["new"], cell["place_new"]) for cell in found["cells"]]
    assert ("Rate per hour of Labour rate MAIN", "90", "100", "shop book.xlsx:Labour rates!C2") in differing
    assert ("Pack cost of Drive belt (BELT)", "19.5", "20", "shop book.xlsx:Parts!D3") in differing
    assert len(differing) == 2


def test_a_quote_without_a_costing_beside_it_shows_what_moved(run: Run, quotes: tuple[Path, Path]) -> None:
    for place in quotes:
        (place / "117-1 costing.xlsx").unlink()
    code, out, err = run(*(place / "117-1 quote.xlsx" for place in quotes))
    assert code == 0 and err == ""
    assert "Total to pay: 98.83 -> 108.83 (+10)" in out and "These files do not say which cells" in out


def test_a_quote_that_was_changed_is_told(run: Run, quotes: tuple[Path, Path]) -> None:
    """A figure typed over in the file is not what the shop sent, and is not compared in silence."""
    sent, edited = quotes[0] / "117-1 quote.xlsx", quotes[0] / "edited quote.xlsx"
    workbook = openpyxl.load_workbook(sent)
    cell = next(cell for line in workbook["Quote"].iter_rows() for cell in line if cell.value == 98.83)
    cell.value = 50
    workbook.save(edited)
    code, out, err = run(sent, edited)
    assert code == 0 and "98.83 -> 50" in out
    assert f"edited quote.xlsx: warning: it does not say what was sent: Quote!{cell.coordinate}" in err
    assert run(sent, sent)[2] == ""


def test_the_same_quote_twice_has_nothing_to_say(run: Run, quotes: tuple[Path, Path]) -> None:
    """Not even what costings can't tell about causes: there is no difference."""
    _, out, _ = run(quotes[0] / "117-1 costing.xlsx", quotes[0] / "117-1 costing.xlsx")
    assert out.splitlines()[1:] == ["Nothing changed that counts."]


def test_books_that_give_other_figures_are_told(run: Run, quotes: tuple[Path, Path]) -> None:
    """The old quote is held against the new book: what the files say is shown, with a warning."""
    new = quotes[1] / "shop book.xlsx"
    more = ["--book", new, "--job", quotes[0] / "job.xlsx"]
    found = compared(run, *(place / "quote.json" for place in quotes), *more)
    assert [problem["code"] for problem in found["problems"]] == ["figures-differ"]
    total = change(found, "total", "good")
    assert total is not None and total[:3] == ("98.83", "108.83", "10.00")


def test_nothing_is_written(run: Run, quotes: tuple[Path, Path], tmp_path: Path) -> None:
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in tmp_path.rglob("*") if path.is_file()}
    run(*(place / "quote.json" for place in quotes))
    run(*(place / "shop book.xlsx" for place in quotes), "--job", quotes[0] / "job.xlsx")
    assert {
        path: (path.stat().st_mtime_ns, path.read_bytes()) for path in tmp_path.rglob("*") if path.is_file()
    } == before


def test_the_text_for_a_person(run: Run, tmp_path: Path) -> None:
    files = book_file(tmp_path, "old"), book_file(tmp_path, "new", DEARER_HOUR)
    code, out, err = run(*files, "--job", job_file(tmp_path, "job"))
    assert (code, err) == (0, "")
    assert "  [1] new.xlsx:Labour rates!C2  Rate per hour of MAIN: 90 -> 100\n" in out
    assert "Job 117, option good:\n  Total to pay: $98.83 -> $108.83 (+$10.00)  because of [1]\n" in out


def refused(run: Run, *options: object) -> list[str]:
    code, out, err = run(*options, "--json")
    found = json.loads(out)
    assert code == 1 and found["figures"] == [] and err
    return [problem["code"] for problem in found["problems"]]


def test_a_book_against_a_job(run: Run, tmp_path: Path) -> None:
    assert refused(run, book_file(tmp_path, "book"), job_file(tmp_path, "job")) == ["different-kinds"]


def test_a_book_against_a_quote(run: Run, quotes: tuple[Path, Path]) -> None:
    assert refused(run, quotes[0] / "shop book.xlsx", quotes[1] / "117-1 quote.xlsx") == ["different-kinds"]


def another_job(sheets: Sheets) -> None:
    sheets["Job"][1][1] = "118"


def test_figures_of_two_jobs_are_not_compared(run: Run, tmp_path: Path) -> None:
    jobs = job_file(tmp_path, "old"), job_file(tmp_path, "new", another_job)
    assert refused(run, *jobs, "--book", book_file(tmp_path, "book")) == ["different-jobs"]


@pytest.mark.parametrize("name", ["117-1 quote.xlsx", "117-1 costing.xlsx", "quote.json"])
def test_quotes_of_two_jobs_are_not_compared(run: Run, written: Path, name: str) -> None:
    files = written / "before" / name, written / "other" / name.replace("117", "118")
    assert refused(run, *files) == ["different-jobs"]


def _numbered(number: str) -> Sheets:
    sheets = job()
    sheets["Job"][1][1] = number
    return sheets


def test_two_jobs_without_a_book(run: Run, tmp_path: Path) -> None:
    assert refused(run, job_file(tmp_path, "old"), job_file(tmp_path, "new")) == ["book-needed"]


def test_a_file_that_is_not_there(run: Run, tmp_path: Path) -> None:
    assert refused(run, tmp_path / "no.xlsx", book_file(tmp_path, "book")) == ["missing-file"]


def test_a_workbook_of_something_else(run: Run, tmp_path: Path) -> None:
    other = write_book(tmp_path / "other.xlsx", {"Sheet1": [["Anything"]]})
    assert refused(run, other, book_file(tmp_path, "book")) == ["not-comparable"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("{", "unreadable-json"),
        ("[1]", "not-a-quote"),
        ('{"tiers": []}', "not-a-quote"),
        ('{"job": "117", "tiers": []}', "not-a-quote"),
        ("[" * 100_000, "unreadable-json"),
    ],
)
def test_json_that_is_no_quote(run: Run, quotes: tuple[Path, Path], tmp_path: Path, text: str, code: str) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text(text, encoding="utf-8")
    assert refused(run, quotes[0] / "quote.json", bad) == [code]


def test_a_costing_that_does_not_name_its_job(run: Run, quotes: tuple[Path, Path], tmp_path: Path) -> None:
    import openpyxl

    book = openpyxl.load_workbook(quotes[0] / "117-1 costing.xlsx")
    book["Summary"]["A1"] = "My costing"
    book.save(tmp_path / "bad.xlsx")
    assert refused(run, tmp_path / "bad.xlsx", quotes[1] / "117-1 costing.xlsx") == ["not-a-costing"]


def test_errors_of_a_book_are_told_with_their_cells(run: Run, tmp_path: Path) -> None:
    files = book_file(tmp_path, "old"), book_file(tmp_path, "new", set_cell("Parts", 2, 3, "$12"))
    assert refused(run, *files) == ["text-number"]


def test_files_of_one_name_are_told_apart_by_their_folders(run: Run, tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
    files = book_file(tmp_path / "a", "book"), book_file(tmp_path / "b", "book", set_cell("Parts", 2, 3, "$12"))
    code, _, err = run(*files)
    assert code == 1 and err.startswith(f"{files[1]}:Parts!D3: ")


def test_a_job_with_errors_on_one_book(run: Run, tmp_path: Path) -> None:
    """The finding is gone from the new book: the job can't be priced on it, and its row is named."""
    edit = all_of(lambda sheets: sheets["Findings"].pop(2), lambda sheets: sheets["Remedies"].pop(2))
    files = book_file(tmp_path, "old"), book_file(tmp_path, "new", edit)
    code, out, err = run(*files, "--job", job_file(tmp_path, "job"))
    assert (code, out) == (1, "") and "job.xlsx:Findings!A3" in err


def test_a_day_that_is_none(run: Run, tmp_path: Path) -> None:
    assert run("a.xlsx", "b.xlsx", "--on", "tomorrow")[0] == 2
