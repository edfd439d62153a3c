"""Request `explain cell`: what a person reads of a cell, and where its list leads."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers.explain_cell import NOTHING, answer
from quotekit.cli.answers.request import Refused
from quotekit.cli.main import main
from tests.cli.small_shop import job, shop_book, write_book

BOOK, JOB = "shop book.xlsx", "job 117.xlsx"


def told(path: Path) -> dict[str, Any]:
    return {"copy": str(path), "path": str(path)}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop book, a job, and the quote and costing made from them."""
    there = tmp_path_factory.mktemp("explain")
    write_book(there / BOOK, shop_book())
    write_book(there / JOB, job())
    assert main(["quote", str(there / BOOK), str(there / JOB)]) == 0
    return there


def explained(folder: Path, name: str, sheet: str, cell: str, **more: Any) -> dict[str, Any]:
    return answer({"document": told(folder / name), "sheet": sheet, "cell": cell, **more})


def test_a_price_in_the_shop_book(folder: Path) -> None:
    """Its column, its value, the figures of the open job that hang on it, and the operations that use the part."""
    done = explained(folder, BOOK, "Parts", "D2", others=[told(folder / JOB)])
    assert done["title"] == "Parts!D2: Pack cost of BUSHING"
    for words in (
        "This row is BUSHING, Bronze bushing.",
        "What belongs here: What a pack costs the shop.",
        "It must be filled in.",
        "quotekit reads: 22.",
        "Of job 117, in USD, this goes into:",
        "Part BUSHING, price each: 8.25 (good), 8.25 (better)",
        "BUSHING is named in:\n  Operations!E2: Parts of BUSH Press in a bushing",
    ):
        assert words in done["text"], done["text"]
    assert [(one["sheet"], one["cell"], one["file"]) for one in done["places"]] == [("Operations", "E2", BOOK)]
    assert done["places"][0]["path"] == str(folder / BOOK)


def test_without_a_job_it_is_said_that_one_may_be_opened(folder: Path) -> None:
    assert "Open a job" in explained(folder, BOOK, "Parts", "D2")["text"]
    assert "Open a job" not in explained(folder, BOOK, "Parts", "D1")["text"]


def test_a_finding_of_a_job(folder: Path) -> None:
    """A measurement goes into no amount; it decides what is taken."""
    done = explained(folder, JOB, "Findings", "C2", book=told(folder / BOOK))
    assert "quotekit reads: 0.761." in done["text"]
    assert "helps decide which work is taken" in done["text"]


def test_a_job_without_its_shop_book(folder: Path) -> None:
    """What belongs in the cell is told all the same."""
    assert "What belongs here" in explained(folder, JOB, "Job", "B2")["text"]


def test_problems_of_the_cell_come_with_what_to_do(tmp_path: Path) -> None:
    sheets = shop_book()
    sheets["Parts"][1][3] = "$22"
    write_book(tmp_path / BOOK, sheets)
    write_book(tmp_path / JOB, job())
    done = explained(tmp_path, BOOK, "Parts", "D2", others=[told(tmp_path / JOB)])
    assert "To mend: Pack cost is wanted" in done["text"] and "Type 22 as a number" in done["text"]
    assert "told when nothing is left to mend" in done["text"]


@pytest.mark.parametrize(
    ("sheet", "cell", "words"),
    [
        ("Parts", "D1", "A column of the sheet Parts: What a pack costs the shop."),
        ("Parts", "Q2", "quotekit does not know this column"),
        ("Shop", "A4", "Minimum labour hours"),
        ("Shop", "B9", "There is no name in this row"),
        ("Elsewhere", "A1", "does not read this sheet"),
    ],
)
def test_headers_settings_and_what_is_the_owners_own(folder: Path, sheet: str, cell: str, words: str) -> None:
    done = explained(folder, BOOK, sheet, cell)
    assert words in f"{done['title']}\n{done['text']}"


def test_the_total_of_a_costing(folder: Path) -> None:
    """The figure as the command explains it, and the cells it is worked out from."""
    from quotekit.workbook.returned_cells import read_raw

    name = "117-1 costing.xlsx"
    raw, _ = read_raw(folder / name)
    assert raw is not None
    row = next(at[0] for at, cell in raw.sheets["Summary"].items() if cell.text == "Total to pay")
    done = explained(folder, name, "Summary", f"B{row}")
    assert done["title"] == f"Summary!B{row}: Put right (good), Total to pay"
    total = f"{raw.sheets['Summary'][row, 2].value:.2f}"
    assert done["text"].startswith(f"Total to pay: {total} USD\n")
    assert "In full:\n\ntotal: " in done["text"] and "Here stands" not in done["text"]
    places = {(one["sheet"], one["cell"], one["file"]) for one in done["places"]}
    assert ("Parts", "D2", BOOK) in places and ("Findings", "C2", JOB) in places
    assert next(one["words"] for one in done["places"] if one["cell"] == "D2") == "Parts!D2: Pack cost of BUSHING: 22"


def test_a_costing_that_is_older_than_the_shop_book(folder: Path, tmp_path: Path) -> None:
    """It is said that another figure stands there than comes out now."""
    sheets = shop_book()
    sheets["Parts"][1][3] = 44
    write_book(tmp_path / BOOK, sheets)
    write_book(tmp_path / JOB, job())
    name = "117-1 costing.xlsx"
    (tmp_path / name).write_bytes((folder / name).read_bytes())
    from quotekit.workbook.returned_cells import read_raw

    raw, _ = read_raw(tmp_path / name)
    assert raw is not None
    row = next(at[0] for at, cell in raw.sheets["Summary"].items() if cell.text == "Total to pay")
    assert "Price the job again" in explained(tmp_path, name, "Summary", f"B{row}")["text"]


def test_a_cell_of_a_costing_that_names_a_cell(folder: Path) -> None:
    """It is told as if that cell had been selected, and leads there."""
    from quotekit.workbook.returned_cells import read_raw

    name = "117-1 costing.xlsx"
    raw, _ = read_raw(folder / name)
    assert raw is not None
    at = next(at for at, cell in raw.sheets["Inputs"].items() if cell.text == "Parts!D2")
    done = explained(folder, name, "Inputs", f"D{at[0]}")
    assert done["title"] == "Parts!D2: Pack cost of BUSHING"
    assert (done["places"][0]["sheet"], done["places"][0]["cell"]) == ("Parts", "D2")


def test_an_amount_of_the_quote_for_a_customer(folder: Path) -> None:
    """The job is found by its number, the shop book as the only one of the folder."""
    from quotekit.workbook.returned_cells import read_raw

    name = "117-1 quote.xlsx"
    raw, _ = read_raw(folder / name)
    assert raw is not None
    sheet = next(iter(raw.sheets))
    row = next(at[0] for at, cell in sorted(raw.sheets[sheet].items()) if "total to pay" in cell.text.casefold())
    column = next(at[1] for at, _ in sorted(raw.sheets[sheet].items()) if at[0] == row and at[1] > 1)
    done = explained(folder, name, sheet, f"{'ABCDEFGH'[column - 1]}{row}")
    assert "Total to pay" in done["title"] and "In full:" in done["text"]


def test_a_quote_whose_job_is_not_there_is_refused(folder: Path, tmp_path: Path) -> None:
    """Nothing is guessed: what to open is said."""
    name = "117-1 quote.xlsx"
    (tmp_path / name).write_bytes((folder / name).read_bytes())
    from quotekit.workbook.returned_cells import read_raw

    raw, _ = read_raw(tmp_path / name)
    assert raw is not None
    sheet = next(iter(raw.sheets))
    row = next(at[0] for at, cell in sorted(raw.sheets[sheet].items()) if "total to pay" in cell.text.casefold())
    column = next(at[1] for at, _ in sorted(raw.sheets[sheet].items()) if at[0] == row and at[1] > 1)
    with pytest.raises(Refused) as refused:
        explained(tmp_path, name, sheet, f"{'ABCDEFGH'[column - 1]}{row}")
    assert [one.code for one in refused.value.problems] == ["inputs-not-found"]
    assert "Open the job" in refused.value.problems[0].remedy


def test_two_shop_books_are_not_chosen_between(folder: Path, tmp_path: Path) -> None:
    """A quote in a folder with two shop books: which one it was priced with is not known."""
    from quotekit.cli.answers.inputs_near import only_book
    from quotekit.cli.answers.request import Document

    for name in ("one.xlsx", "two.xlsx"):
        (tmp_path / name).write_bytes((folder / BOOK).read_bytes())
    with pytest.raises(Refused) as refused:
        only_book(Document(copy=folder / "117-1 quote.xlsx", path=tmp_path / "117-1 quote.xlsx"), [])
    assert [one.code for one in refused.value.problems] == ["which-shop-book"]
    opened = Document(copy=tmp_path / "two.xlsx", path=tmp_path / "two.xlsx")
    assert only_book(Document(copy=folder / "117-1 quote.xlsx"), [opened]) == opened
    (tmp_path / "one.xlsx").rename(tmp_path / "two before 2026-12-01.xlsx")
    beside = only_book(Document(copy=folder / "117-1 quote.xlsx", path=tmp_path / "117-1 quote.xlsx"), [])
    assert beside.copy.name == "two.xlsx", "a copy that was kept is none to choose from"


def test_the_inputs_of_a_costing_that_is_not_beside_them(folder: Path, tmp_path: Path) -> None:
    """Found by their names among what is open; without that it is refused."""
    name = "117-1 costing.xlsx"
    (tmp_path / name).write_bytes((folder / name).read_bytes())
    with pytest.raises(Refused) as refused:
        explained(tmp_path, name, "Summary", "B12")
    assert [one.code for one in refused.value.problems] == ["inputs-not-found"]
    others = [told(folder / BOOK), told(folder / JOB)]
    assert explained(tmp_path, name, "Summary", "A1", others=others)["text"].startswith("No figure stands")


def test_a_workbook_that_is_none_of_ours(tmp_path: Path) -> None:
    path = write_book(tmp_path / "list.xlsx", {"Shopping": [["milk"]]})
    assert answer({"document": told(path), "sheet": "Shopping", "cell": "A1"}) == {
        "title": "Shopping!A1",
        "text": NOTHING,
        "places": [],
    }
