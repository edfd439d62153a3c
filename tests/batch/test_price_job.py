"""One workbook to its outcome: what is a job, and that its line is the object of `quote --json`."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from quotekit.batch.outcome import Outcome, pack, unpack
from quotekit.batch.price_job import BookRead, broken_off, machine_of, price_file, refused
from quotekit.cli.main import main
from quotekit.problems import Place, error
from tests import build
from tests.batch.small_folder import BAD_NAMES, Folder, read_of, small_folder, with_bad_jobs, write_job
from tests.cli.quote_contract import check_contract
from tests.cli.small_shop import job, write_book


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return with_bad_jobs(small_folder(tmp_path_factory.mktemp("shop"), 2))


def priced(folder: Folder, name: str) -> Outcome:
    return price_file(read_of(folder.book), name, (folder.jobs / name).read_bytes())


def quoted(folder: Folder, name: str, out: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What `quotekit quote --json` prints for a job, without the files it wrote."""
    capsys.readouterr()
    main(["quote", str(folder.book), str(folder.jobs / name), "--json", "--out", str(out)])
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told | {"files": []}


@pytest.mark.parametrize("name", ["job 001.xlsx", *BAD_NAMES])
def test_a_line_is_what_quote_prints(
    folder: Folder, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """To the last byte, for good jobs and bad ones, so that whoever reads one reads the other."""
    line = priced(folder, name).line
    assert line == json.dumps(quoted(folder, name, tmp_path, capsys))
    assert "\n" not in line
    check_contract(json.loads(line))


def test_a_job_with_errors_has_no_tiers(folder: Folder) -> None:
    value = json.loads(priced(folder, "job 004 a code nobody knows.xlsx").line)
    assert value["tiers"] == [] and value["job"] == "117"
    assert {problem["code"] for problem in value["problems"] if problem["severity"] == "error"} == {"unknown-code"}


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("job 002 locked by a password.xlsx", "encrypted"),
        ("job 002 no workbook.xlsx", "not-a-workbook"),
        ("Übung, leer.xlsx", "not-a-workbook"),
        ("job 003 error in a cell.xlsx", "error-cell"),
    ],
)
def test_what_cannot_be_opened_is_told_as_a_job(folder: Folder, name: str, code: str) -> None:
    """Somebody may wait for it: passed over in silence it would be missed by nobody."""
    outcome = priced(folder, name)
    assert outcome.kind == "job"
    assert code in {problem["code"] for problem in json.loads(outcome.line)["problems"]}


def test_other_workbooks_are_passed_over(folder: Folder, tmp_path: Path) -> None:
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path)])
    write_book(tmp_path / "prices.xlsx", {"Prices": [["A", "B"], [1, 2]]})
    read = read_of(folder.book)
    kinds = {path.name: price_file(read, path.name, path.read_bytes()) for path in tmp_path.glob("*.xlsx")}
    kinds["shop book.xlsx"] = price_file(read, "shop book.xlsx", folder.book.read_bytes())
    assert {name: outcome.kind for name, outcome in kinds.items()} == {
        "1-1 quote.xlsx": "quote",
        "1-1 costing.xlsx": "costing",
        "prices.xlsx": "other",
        "shop book.xlsx": "shop book",
    }
    assert {outcome.line for outcome in kinds.values()} == {""}


def test_a_costing_is_read_where_it_is_asked_for(folder: Folder, tmp_path: Path) -> None:
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path)])
    data = (tmp_path / "1-1 costing.xlsx").read_bytes()
    assert price_file(read_of(folder.book), "1-1 costing.xlsx", data).figures == ""
    assert price_file(read_of(folder.book, costings=True), "1-1 costing.xlsx", data).figures != ""


def test_without_a_shop_book_every_job_is_refused(folder: Folder) -> None:
    missing = error(Place("book.xlsx"), "missing-file", "there is no file book.xlsx", "Check the name.")
    read = BookRead(book=None, problems=(missing,), sha256=None)
    outcome = price_file(read, "job 001.xlsx", (folder.jobs / "job 001.xlsx").read_bytes())
    value = json.loads(outcome.line)
    assert [problem["code"] for problem in value["problems"]] == ["missing-file"]
    assert (value["book_sha256"], value["tiers"]) == (None, [])


def test_the_outcome_does_not_hang_on_where_the_files_are(folder: Folder, tmp_path: Path) -> None:
    """No path of a machine is in it: the same bytes elsewhere give the same line."""
    book = Path(shutil.copy(folder.book, tmp_path))
    line = price_file(read_of(book), "job 001.xlsx", (folder.jobs / "job 001.xlsx").read_bytes()).line
    assert line == priced(folder, "job 001.xlsx").line
    assert str(tmp_path) not in line


def test_customer_machine_and_photos_travel_with_the_line(folder: Folder, tmp_path: Path) -> None:
    sheets = job([("WORN", "left", 0.761)])
    sheets["Findings"][0].append("Photo")
    sheets["Findings"][1].append("left.jpg")
    sheets["Job"].append(["Make", "Example"])
    path = write_book(tmp_path / "with photo.xlsx", sheets)
    outcome = price_file(read_of(folder.book), path.name, path.read_bytes())
    assert (outcome.customer, outcome.machine) == ("R. Alder", "Example")
    assert outcome.photos == (("left.jpg", Place("with photo.xlsx", "Findings", "D2")),)
    assert unpack(pack(outcome)) == outcome


def test_no_photo_is_looked_for_where_no_quote_is_given(folder: Folder, tmp_path: Path) -> None:
    """`quote` looks at photos when it writes the customer's quote, and here there is none."""
    sheets = job([("WORN", "left", 0.7)])
    sheets["Findings"][0].append("Photo")
    sheets["Findings"][1].append("left.jpg")
    path = write_book(tmp_path / "nothing to do.xlsx", sheets)
    assert price_file(read_of(folder.book), path.name, path.read_bytes()).photos == ()


def test_what_cannot_be_read_is_told_with_the_books_problems(folder: Folder) -> None:
    gone = error(Place("a.xlsx"), "missing-file", "there is no file a.xlsx", "Check the name and the folder.")
    value = json.loads(refused(read_of(folder.book), "a.xlsx", [gone], sha256=None).line)
    assert [problem["code"] for problem in value["problems"]] == ["missing-file"]
    assert (value["job_sha256"], value["currency"]) == (None, "USD")


def test_a_job_that_broke_off_has_that_problem_alone() -> None:
    problem = error(Place("a.xlsx"), "worker-ended", "It ended.", "Try it alone.")
    value = json.loads(broken_off("a.xlsx", problem).line)
    check_contract(value)
    assert [told["code"] for told in value["problems"]] == ["worker-ended"]


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ({"make": "Example", "model": "22-T"}, "Example 22-T"),
        ({"make": "", "model": "", "machine_class_name": "Snow thrower"}, "Snow thrower"),
        ({"machine_class_name": "", "machine_class": "BLOWER"}, "BLOWER"),
    ],
)
def test_a_machine_in_words(about: dict[str, str], words: str) -> None:
    assert machine_of(build.a_job(**about)) == words


def test_one_finding_more_changes_the_line(folder: Folder, tmp_path: Path) -> None:
    """So that equal lines above mean equal prices, not a line that never changes."""
    one = write_job(tmp_path / "job 001.xlsx", 1, findings=1)
    assert price_file(read_of(folder.book), one.name, one.read_bytes()).line != priced(folder, "job 001.xlsx").line
