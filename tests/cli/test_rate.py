"""`quotekit rate`: from a real workbook, however the owner arranges the rows; what it writes, and what it refuses."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from quotekit.cli.rate import hours_listed
from tests.rate_rows import COSTS, HOURS, PARTS, PROFIT, TRADE, Typed, without, write_book

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Writes a book of these rows and runs the command on it; gives exit code, stdout and stderr."""

    def rate(rows: Sequence[Typed], *options: str, **book: Any) -> tuple[int, str, str]:
        path = write_book(tmp_path / "book.xlsx", rows, **book)
        code = main(["rate", str(path), "--on", "2026-11-28", *options])
        said = capsys.readouterr()
        return code, said.out, said.err

    return rate


def figures(run: Run, rows: Sequence[Typed], *options: str, code: int = 0, **book: Any) -> Any:
    """The JSON object."""
    ended, out, _ = run(rows, "--json", *options, **book)
    assert ended == code
    return json.loads(out)


def said_as(owner: str, employee: str) -> tuple[Typed, ...]:
    """The worked example with other words in Line; `{}` stands for the kind."""
    words = {"Owner": owner, "Employee": employee}
    return tuple((words.get(line, line).format(kind), amount, kind) for line, amount, kind in TRADE)


def as_text(rows: Sequence[Typed]) -> list[Typed]:
    """Percentages as text in place of formatted numbers."""
    return [(line, f"'{amount}" if str(amount).endswith("%") else amount, kind) for line, amount, kind in rows]


def as_fractions(rows: Sequence[Typed]) -> list[Typed]:
    """Percentages as plain numbers up to 1."""
    return [
        (line, float(str(amount)[:-1]) / 100 if str(amount).endswith("%") else amount, kind)
        for line, amount, kind in rows
    ]


ARRANGEMENTS: dict[str, Sequence[Typed]] = {
    "one name a person": TRADE,
    "names with kinds": said_as("Owner {}", "Employee {}"),
    "kinds with names": said_as("{} of owner", "{}, employee"),
    "possessives": said_as("Owner's {}", "Employees' {}"),
    "backwards": TRADE[::-1],
    "percentages as text": as_text(TRADE),
    "percentages as numbers": as_fractions(TRADE),
    "burden as money": (
        *without(COSTS, "burden"), ("Owner", 9300, "burden"), ("Employee", 3420, "burden"), *HOURS, *PARTS, *PROFIT,
    ),
    "overhead in one": (*COSTS[:4], ("Overhead", 42300, "overhead"), *HOURS, *PARTS, *PROFIT),
    "sales and margin": (
        *COSTS, *HOURS, ("Parts sales", 95000, "parts contribution"), ("Parts margin", "40%", "parts contribution"),
        *PROFIT,
    ),
    "sales and what they leave": (
        *COSTS, *HOURS, ("Parts sales", 95000, "parts contribution"),
        ("Parts contribution", 38000, "parts contribution"), *PROFIT,
    ),
    "the lines of a table": (
        ("Owner 62,000 + 15 % burden", 62000, "pay"),
        ("Owner 15 % burden", "15%", "burden"),
        ("Employee 1,000 h x 19 + 18 % burden", 19000, "pay"),
        ("Employee 18 % burden", "18%", "burden"),
        ("Overhead", 42300, "overhead"),
        ("Owner 48 wk x 42 h", 2016, "clock hours"),
        ("Owner 60 % bench", "60%", "share at the bench"),
        ("Owner 95 % efficient", "95%", "efficiency"),
        ("Employee 1,000 h", 1000, "clock hours"),
        ("Employee 70 %", "70%", "share at the bench"),
        ("Employee 80 %", "80%", "efficiency"),
        ("Parts 95,000 at 40 % margin contribute", 38000, "parts contribution"),
        ("Profit 10 % of total sales", "10%", "profit share"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("rows", ARRANGEMENTS.values(), ids=ARRANGEMENTS.keys())
def test_the_worked_example_however_it_is_typed(run: Run, rows: Sequence[Typed]) -> None:
    """TRADE.md section 5, to the cent."""
    found = figures(run, rows, "--sold-hours", "1400")
    assert (found["cost_to_cover"], found["sold_hours"]) == ("136020.00", "1709.12")
    assert (found["break_even_rate"], found["rate_for_profit"]) == ("57.35", "69.90")
    assert found["labour_sales"] == "119466.67" and found["table"][0]["for_profit"] == "85.33"
    assert found["without_parts"]["rate_for_profit"] == "88.43"
    assert [problem["code"] for problem in found["problems"]] in ([], ["sales-in-the-line"])


def test_what_a_person_reads(run: Run) -> None:
    code, out, err = run(TRADE)
    assert code == 0 and err == ""
    assert "$57.35" in out and "$69.90" in out and out.endswith("shop rate.xlsx\n")


def test_the_workbook_stands_beside_the_book_with_a_chart(run: Run, tmp_path: Path) -> None:
    code, _, _ = run(TRADE)
    assert code == 0
    sheet = openpyxl.load_workbook(tmp_path / "shop rate.xlsx").active
    assert sheet is not None and len(sheet._charts) == 1
    values = {cell.value for row in sheet.iter_rows() for cell in row}
    assert {57.35, 69.9, 88.43, 136020, "Owner"} <= values


def test_an_earlier_workbook_that_says_the_same_is_left_and_named(run: Run, tmp_path: Path) -> None:
    """Running it twice is no fault."""
    first = figures(run, TRADE)
    before = (tmp_path / "shop rate.xlsx").stat().st_mtime_ns
    assert figures(run, TRADE) == first and first["files"] == [str(tmp_path / "shop rate.xlsx")]
    assert (tmp_path / "shop rate.xlsx").stat().st_mtime_ns == before


def test_an_earlier_workbook_that_says_something_else_is_kept_with_a_warning(run: Run, tmp_path: Path) -> None:
    run(TRADE)
    before = (tmp_path / "shop rate.xlsx").read_bytes()
    found = figures(run, without(TRADE, "profit share"))
    assert (found["files"], found["break_even_rate"]) == ([], "57.35")
    assert [(problem["code"], problem["severity"]) for problem in found["problems"]] == [("output-exists", "warning")]
    assert (tmp_path / "shop rate.xlsx").read_bytes() == before


def test_replace_writes_over_it(run: Run, tmp_path: Path) -> None:
    run(TRADE)
    before = (tmp_path / "shop rate.xlsx").read_bytes()
    assert figures(run, without(TRADE, "profit share"), "--replace")["files"]
    assert (tmp_path / "shop rate.xlsx").read_bytes() != before


def test_a_folder_that_is_asked_for_is_made_and_minded(run: Run, tmp_path: Path) -> None:
    """Where a place was named, a file in the way is an error: nobody should take the old one for the new."""
    folder = tmp_path / "rates"
    assert run(TRADE, "--out", str(folder))[0] == 0
    assert [path.name for path in folder.iterdir()] == ["shop rate.xlsx"]
    assert not (tmp_path / "shop rate.xlsx").exists()
    code, out, err = run(without(TRADE, "profit share"), "--out", str(folder))
    assert code == 3 and out == "" and "Add --replace" in err


def test_a_folder_that_cannot_be_made(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    code, _, err = run(TRADE, "--out", str(tmp_path / "file" / "rates"))
    assert code == 3 and "The disk said" in err


def test_a_figure_that_no_workbook_holds(run: Run, tmp_path: Path) -> None:
    """More than fifteen digits: the rate is told all the same, and nothing is written."""
    rows: tuple[Typed, ...] = (*TRADE, ("Rent", 12_345_678_901_234, "overhead"))
    found = figures(run, rows)
    assert ("figure-too-large", "warning") in {(problem["code"], problem["severity"]) for problem in found["problems"]}
    assert found["cost_to_cover"] == "12345679037254.00" and found["files"] == []
    assert not (tmp_path / "shop rate.xlsx").exists()
    assert figures(run, rows, "--out", str(tmp_path / "rates"), code=3)["cost_to_cover"] is None


@pytest.mark.parametrize(("rate", "below"), [(57.34, True), (57.35, False), (90, False)])
def test_a_rate_in_force_below_break_even_is_warned_about(run: Run, rate: float, below: bool) -> None:
    found = figures(run, TRADE, rate=rate)
    assert found["rates_in_force"][0]["below_break_even"] is below
    places = [problem["place"] for problem in found["problems"] if problem["code"] == "rate-below-break-even"]
    assert places == (["book.xlsx:Labour rates!B2"] if below else [])


def test_check_gives_the_same_warning(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_book(tmp_path / "book.xlsx", TRADE, rate=50)
    assert main(["check", str(path)]) == 0
    assert "book.xlsx:Labour rates!B2: warning: MAIN sells at 50, below the break-even rate of 57.35" in (
        capsys.readouterr().err
    )
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(("quoted", "below"), [("2025-12-31", True), ("2026-01-01", False)])
def test_check_with_a_job_looks_at_its_quote_date(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], quoted: str, below: bool
) -> None:
    """An old quote keeps its rate; with a job, it is that rate which is below or not."""
    from tests.cli.small_shop import job
    from tests.cli.small_shop import write_book as write_job

    rates = [["Code", "Rate per hour", "In force from"], ["MAIN", 50, "2025-01-01"], ["MAIN", 60, "2026-01-01"]]
    sheets = job()
    sheets["Job"] = [
        [name, date.fromisoformat(quoted) if name == "Quote date" else value] for name, value in sheets["Job"]
    ]
    book = write_book(tmp_path / "book.xlsx", TRADE, **{"Labour rates": rates})
    assert main(["check", str(book), str(write_job(tmp_path / "job.xlsx", sheets))]) == 0
    assert ("below the break-even rate" in capsys.readouterr().err) is below


@pytest.mark.parametrize(("on", "rate"), [("2025-06-01", "50.00"), ("2026-06-01", "60.00")])
def test_rates_of_another_day(tmp_path: Path, capsys: pytest.CaptureFixture[str], on: str, rate: str) -> None:
    rates = [["Code", "Rate per hour", "In force from"], ["MAIN", 50, "2025-01-01"], ["MAIN", 60, "2026-01-01"]]
    book = write_book(tmp_path / "book.xlsx", TRADE, **{"Labour rates": rates})
    assert main(["rate", str(book), "--on", on, "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["rates_in_force"]
    assert (found["rate"], found["below_break_even"]) == (rate, rate == "50.00")


def test_without_a_day_it_is_today(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A rate that starts in the far future is not in force; one without a date is."""
    rates = [["Code", "Rate per hour", "In force from"], ["MAIN", 80, None], ["MAIN", 60, "2999-01-01"]]
    book = write_book(tmp_path / "book.xlsx", TRADE, **{"Labour rates": rates})
    assert main(["rate", str(book), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["on"] == date.today().isoformat()
    assert [each["rate"] for each in found["rates_in_force"]] == ["80.00"]


def test_check_asks_what_the_rate_would_ask(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_book(tmp_path / "book.xlsx", without(TRADE, "efficiency"))
    assert main(["check", str(path)]) == 1
    assert "Owner has clock hours and no efficiency" in capsys.readouterr().err


def test_a_quote_does_not_hang_on_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the sheet, even one that must be asked about, a quote is what it was; only the book's digest differs."""
    from tests.cli.small_shop import job
    from tests.cli.small_shop import write_book as write_job

    asked = write_job(tmp_path / "job.xlsx", job())
    quotes = []
    for name, rows in (("plain", ()), ("with", TRADE), ("unclear", without(TRADE, "efficiency"))):
        (tmp_path / name).mkdir()
        book = write_book(tmp_path / name / "book.xlsx", rows, rate=50)
        assert main(["quote", str(book), str(asked), "--json", "--out", str(tmp_path / name)]) == 0
        found = json.loads(capsys.readouterr().out)
        quotes.append({key: value for key, value in found.items() if key not in ("book_sha256", "files")})
    assert quotes[0] == quotes[1] == quotes[2]


@pytest.mark.parametrize(
    ("rows", "code", "place"),
    [
        ((), "no-rate-builder", "book.xlsx:Rate builder"),
        ((*TRADE, ("Rent", 100, "overheads")), "not-a-word", "book.xlsx:Rate builder!C25"),
        ((*TRADE, ("Rent", "$1,200", "overhead")), "text-number", "book.xlsx:Rate builder!B25"),
        ((*TRADE, ("Rent", -5, "overhead")), "negative", "book.xlsx:Rate builder!B25"),
        ((*TRADE, ("Rent", "120%", "overhead")), "not-an-amount", "book.xlsx:Rate builder!B25"),
        ((*TRADE, ("Rent", "220%", "overhead")), "percent-too-big", "book.xlsx:Rate builder!B25"),
        ((*TRADE, ("", 100, "overhead")), "blank-required", "book.xlsx:Rate builder!A25"),
        (without(TRADE, "clock hours"), "no-clock-hours", "book.xlsx:Rate builder"),
        ((*without(TRADE, "profit share"), ("Profit", "100%", "profit share")), "profit-too-big",
         "book.xlsx:Rate builder!B24"),
    ],
    ids=["no row", "unknown kind", "money as text", "below zero", "a percentage of what", "over 200 %", "no line",
         "no hours", "all profit"],
)  # fmt: skip
def test_what_is_refused(run: Run, tmp_path: Path, rows: Sequence[Typed], code: str, place: str) -> None:
    found = figures(run, rows, code=1)
    assert (code, place) in {(problem["code"], problem["place"]) for problem in found["problems"]}
    assert found["break_even_rate"] is None and found["table"] == []
    assert not (tmp_path / "shop rate.xlsx").exists()


def test_the_nearest_kind_is_named(run: Run) -> None:
    assert "Did you mean overhead?" in run((*TRADE, ("Rent", 100, "overheads")))[2]


def test_a_book_without_the_sheet_says_which_to_add(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from tests.cli.small_shop import shop_book
    from tests.cli.small_shop import write_book as write_any

    path = write_any(tmp_path / "book.xlsx", shop_book())
    assert main(["rate", str(path)]) == 1
    err = capsys.readouterr().err
    assert "there is no sheet Rate builder" in err and "Line, Amount and Kind" in err


def test_a_sheet_whose_name_nearly_matches_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from tests.cli.small_shop import shop_book
    from tests.cli.small_shop import write_book as write_any

    sheets = shop_book() | {"Rate bulder": [["Line", "Amount", "Kind"], ["Rent", 14400, "overhead"]]}
    assert main(["rate", str(write_any(tmp_path / "book.xlsx", sheets))]) == 1
    err = capsys.readouterr().err
    assert "there is no sheet Rate builder" in err and "rename it to Rate builder" in err


def test_errors_of_other_sheets_do_not_stop_a_rate(run: Run) -> None:
    """No rate hangs on a part's cost; check tells of it."""
    parts = [["Code", "Part", "Pack quantity", "Pack cost", "Supplier"], ["BELT", "Belt", 1, "$12", "Northside"]]
    code, out, err = run(TRADE, Parts=parts)
    assert code == 0 and "$57.35" in out
    assert "Other sheets have problems" in err and "Pack cost" not in err


def test_errors_of_the_rates_do(run: Run) -> None:
    found = figures(run, TRADE, code=1, rate="$90")
    assert [problem["place"] for problem in found["problems"]][:1] == ["book.xlsx:Labour rates!B2"]


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["rate", str(tmp_path / "none.xlsx"), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["problems"][0]["code"] == "missing-file"


@pytest.mark.parametrize(
    ("text", "hours"),
    [("1400", ["1400"]), ("1400;1600", ["1400", "1600"]), ("1400, 1600", ["1400", "1600"]), ("1,5", ["1", "5"]),
     (" 1400.5 ; ", ["1400.5"])],
)  # fmt: skip
def test_hours_on_the_command_line(text: str, hours: list[str]) -> None:
    assert [str(each) for each in hours_listed(text)] == hours


@pytest.mark.parametrize("text", ["1,400", "1,400; 1,600", "abc", "0", "-5", "", ";", "1e3", "; ".join(["7"] * 41)])
def test_hours_that_are_wrong_use(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """1,400 could be one number or two, so it is neither."""
    assert main(["rate", str(tmp_path / "book.xlsx"), f"--sold-hours={text}"]) == 2
    assert "--sold-hours" in capsys.readouterr().err


@pytest.mark.parametrize("text", ["28.11.2026", "2026-13-01", "today"])
def test_a_date_that_is_wrong_use(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rate", str(tmp_path / "book.xlsx"), "--on", text]) == 2
    assert "type it like 2026-11-25" in capsys.readouterr().err
