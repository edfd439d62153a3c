"""`quotekit prices propose`: the worked example and its supplier's list, by the command that an owner types."""

from __future__ import annotations

import json
import os
import shutil
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from quotekit.workbook.read_price_proposals import read_price_proposals
from quotekit.workbook.returned_cells import read_raw

EXAMPLE = Path(__file__).parents[2] / "examples/worked example"
BOOK, LIST, MAPPING = "shop book.xlsx", "NORTH 2026-11.csv", "NORTH price list.toml"
OUT = "shop book price proposals 2026-11-29.xlsx"
ON = ("--on", "2026-11-29")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the shop book, a price list and its mapping, in which the commands are typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    for name in (BOOK, LIST, MAPPING):
        shutil.copy(EXAMPLE / name, tmp_path / name)
    return tmp_path


def answer(capsys: pytest.CaptureFixture[str], *words: str, on: str = ON[1]) -> tuple[int, dict[str, Any]]:
    """The exit code and the one object on stdout."""
    capsys.readouterr()
    code = main(["prices", "propose", BOOK, *words, "--on", on, "--json"])
    return code, json.loads(capsys.readouterr().out)


def codes(told: dict[str, Any]) -> list[str]:
    return [problem["code"] for problem in told["problems"]]


def of(told: dict[str, Any], part: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in told["proposals"] if one["part"] == part and one["sheet"] == "Parts")
    return found


def test_the_issues_form(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The book alone: the mapping beside it says whose lists there are, and the newest is taken."""
    before = (folder / BOOK).read_bytes()
    assert main(["prices", "propose", BOOK, *ON]) == 0
    said = capsys.readouterr()
    assert "26 rows to tick, 4 of them with a second tick; 4 say what the list says" in said.out
    assert "nothing proposed for 1 row: the list says two things of it" in said.out
    assert said.out.splitlines()[-1] == OUT
    assert "There is no ledger beside the shop book" in said.err
    assert f"quotekit prices apply '{BOOK}' '{OUT}'" in said.err
    assert (folder / BOOK).read_bytes() == before, "the shop book is only read"
    names = openpyxl.load_workbook(folder / OUT).sheetnames
    assert names == [
        "Proposals", "Effect", "Open quotes", "Figures", "Where used", "Not proposed", "Cells", "About", "Working",
    ]  # fmt: skip


def test_every_row_is_accounted_for(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of the list by its fates, of the book by what became of each row."""
    code, told = answer(capsys)
    assert code == 0 and told["problems"] == [] and told["files"] == [OUT]
    (of_list,) = told["lists"]
    assert sum(of_list["fates"].values()) == of_list["rows"] == len((folder / LIST).read_text().splitlines())
    assert len(told["proposals"]) + told["same"] + len(told["not_proposed"]) == of_list["asked"] == 32
    assert of_list["not_in_book"] == 3, "a wiper, the later carburetor kit, and a cable under another spelling"


def test_what_becomes_of_single_parts(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """END-CAP: 162.00 for a hundred, in packs of ten: 16.20. Its old price and the coming one do not count."""
    _, told = answer(capsys)
    cap = of(told, "END-CAP")
    assert [(change["column"], change["old"], change["new"]) for change in cap["changes"]] == [
        ("Pack quantity", "4", "10"),
        ("Pack cost", "6.2", "16.2"),
        ("List price each", "3.95", "4.25"),
        ("Cost date", "2026-07-20", "2026-11-29"),
    ]
    assert (cap["now"]["cost_each"], cap["new"]["cost_each"], cap["cost_change"]) == ("1.55", "1.62", "0.0452")
    ring = of(told, "FRICTION-RING")
    assert [one["code"] for one in ring["second_tick"]] == ["cost change", "price change", "above list"]
    assert of(told, "BELT-DRIVE")["new"]["replaced_by"] == "BELT-DRIVE-LONG"
    assert of(told, "CARB-KIT")["new"]["number"] == "5-0111"
    assert {one["part"]: (one["why"], one["nearest"]) for one in told["not_proposed"]} == {
        "CABLE-AUGER": ("near", ["20420"]), "CABLE-BRAKE": ("contradicted", []),
    }  # fmt: skip
    assert "FRICTION-WHEEL" not in [one["part"] for one in told["proposals"]], "replaced in the book already"


def test_figures_of_the_json_hang_together(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Margins and changes by plain fractions of the printed figures."""
    _, told = answer(capsys)
    for one in told["proposals"]:
        for terms in (one["now"], one["new"]):
            each = Fraction(terms["pack_cost"]) / Fraction(terms["pack_quantity"])
            assert Fraction(terms["cost_each"]) == each
            if terms["price"] is not None:
                assert Fraction(terms["margin"]) == Fraction(terms["price"]) - each
                share = Fraction(terms["margin"]) / Fraction(terms["price"])
                assert abs(Fraction(terms["margin_share"]) - share) <= Fraction(1, 20000)


def test_another_limit(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, told = answer(capsys, "--limit", "1000")
    assert told["limit"] == "10"
    assert [one["code"] for one in of(told, "FRICTION-RING")["second_tick"]] == ["above list"]


def test_jobs_of_a_folder(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The mower's carburetor and blade: priced today, under the new prices, and held."""
    jobs = folder / "jobs"
    jobs.mkdir()
    for path in EXAMPLE.glob("2611-0[46]*.xlsx"):
        shutil.copy(path, jobs / path.name)
    (jobs / "broken.xlsx").write_text("no workbook")
    _, told = answer(capsys, "--jobs", "jobs")
    (quote,) = told["open_quotes"]
    assert (quote["quote"], quote["issued"], quote["parts"]) == ("2611-06-1", False, ["BLADE-21", "CARB-21"])
    first = quote["tiers"][0]
    assert (first["total_now"], first["total_new"], first["margin_held"]) == ("149.67", "150.59", "73.86")
    assert first["would_lose_money"] is False and first["offered_total"] is None
    assert told["open_quotes_not_touched"] == 1
    assert of(told, "CARB-21")["open_quotes"] == ["2611-06-1"]


def test_a_job_that_is_wrong_is_told_and_the_others_are_priced(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = folder / "jobs"
    jobs.mkdir()
    source = next(EXAMPLE.glob("2611-06*.xlsx"))
    shutil.copy(source, jobs / "good.xlsx")
    book = openpyxl.load_workbook(source)
    for line in book["Findings"].iter_rows(min_row=2):
        line[0].value = "NO-SUCH" if line[0].value else None
    book.save(jobs / "bad.xlsx")
    code, told = answer(capsys, "--jobs", "jobs")
    assert code == 0 and set(codes(told)) == {"job-not-priced"}
    assert [quote["quote"] for quote in told["open_quotes"]] == ["2611-06-1"]


def test_a_year_of_the_ledger(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One job agreed and closed, one still open: units, effects, and the open one at its offered price."""
    for name in ("2611-01 snow thrower, worn bushings", "2611-02 snow thrower, worn shaft"):
        shutil.copy(EXAMPLE / f"{name}.xlsx", folder)
        for photo in EXAMPLE.glob("2611-01*.jpg"):
            shutil.copy(photo, folder)
        assert main(["issue", BOOK, f"{name}.xlsx", "--on", "2026-11-26", "--out", "issued"]) in (0, 1)
    assert main(["accept", "--job", "2611-01", "--tier", "best", "--by", "phone", "--who", "M", "--phone", "5",
                 "--at", "10:00", "--note", "yes", "--hold-expired", "a test", "--on", "2026-11-26"]) == 0  # fmt: skip
    assert main(["close", "2611-01", "--on", "2026-11-26"]) == 0
    _, told = answer(capsys, on="2026-11-26")
    assert told["used_from"] == "2025-11-27"
    used = {one["part"]: one["used"] for one in told["proposals"] if one["used"] not in (None, "0")}
    assert used["AUG-BEARING"] == "2" and "BELT-TILLER" not in used
    bearing = of(told, "AUG-BEARING")
    assert bearing["cost_effect"] == "2.60" and bearing["price_effect"] == "4.94"
    assert told["proposals"][0]["part"] in used, "what was used stands above"
    total = sum(Decimal(one["cost_effect"] or 0) for one in told["proposals"])
    assert abs(total - Decimal(told["cost_effect"])) <= Decimal("0.02")
    (open_one,) = told["open_quotes"]
    assert open_one["quote"] == "2611-02-1" and open_one["issued"]
    assert open_one["tiers"][0]["offered_total"] == open_one["tiers"][0]["total_now"]
    _, told = answer(capsys)
    assert told["open_quotes"] == [], "three days later it has run out"


def test_ticks_are_never_written_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prices", "propose", BOOK, *ON]) == 0
    book = openpyxl.load_workbook(folder / OUT)
    book["Proposals"]["A8"].value = "Yes"
    book.save(folder / OUT)
    before = (folder / OUT).read_bytes()
    code, told = answer(capsys)
    assert code == 3 and codes(told) == ["output-exists"] and told["files"] == []
    assert "--replace" in told["problems"][0]["remedy"] and (folder / OUT).read_bytes() == before
    code, told = answer(capsys, "--replace")
    assert code == 0 and (folder / OUT).read_bytes() != before
    code, told = answer(capsys, "--out", "elsewhere.xlsx")
    assert code == 0 and told["files"] == ["elsewhere.xlsx"]


def test_what_is_ticked_can_be_read(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """From the command's own workbook: the first row's cells, exactly."""
    _, told = answer(capsys)
    book = openpyxl.load_workbook(folder / OUT)
    page = book["Proposals"]
    line = next(row[0].row for row in page.iter_rows() if row[2].value == told["proposals"][-1]["part"])
    page[f"A{line}"].value = page[f"B{line}"].value = "Yes"
    book.save(folder / OUT)
    read, problems = read_price_proposals(folder / OUT)
    assert problems == [] and read is not None and read.book_sha256 == told["book_sha256"]
    assert [f"{one.sheet}!{one.cell}" for one in read.accepted] == [
        change["cell"] for change in told["proposals"][-1]["changes"]
    ]


def test_the_list_may_be_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With its supplier, by its supplier's name, with a mapping kept elsewhere, or by its own name alone."""
    _, expected = answer(capsys, "--out", "0.xlsx")
    (folder / "north.toml").write_text((folder / MAPPING).read_text())
    for place, words in enumerate(
        (
            ("--list", LIST, "--supplier", "NORTH"),
            ("--list", LIST, "--supplier", "north county parts", "--mapping", MAPPING),
            ("--list", LIST, "--mapping", "north.toml"),
            ("--list", LIST),
            ("--supplier", "NORTH"),
        ),
        start=1,
    ):
        code, told = answer(capsys, *words, "--out", f"{place}.xlsx")
        assert code == 0 and told["proposals"] == expected["proposals"], words


def test_the_newest_list_is_taken(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By the day on which the file was changed; what quotekit wrote itself is no list."""
    text = (folder / LIST).read_text().replace("12.90", "13.50")
    (folder / "NORTH 2026-12.csv").write_text(text)
    (folder / "NORTH price proposals 2026-12-01.xlsx").write_bytes(b"")
    os.utime(folder / LIST, ns=(10**18, 10**18))
    _, told = answer(capsys)
    assert told["lists"][0]["file"] == "NORTH 2026-12.csv"
    assert of(told, "BELT-AUGER")["new"]["pack_cost"] == "13.5"


def test_two_suppliers_at_once(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "AXLE 2026.csv").write_text("Number,Your cost\nB1375,7.20\nF750,15.90\n")
    text = '[columns]\nnumber = "Number"\ncost = "Your cost"\n'
    (folder / "AXLE price list.toml").write_text(f'supplier = "AXLE"\n{text}')
    _, told = answer(capsys)
    assert [one["supplier"] for one in told["lists"]] == ["AXLE", "NORTH"]
    assert of(told, "BEARING-IN")["new"]["pack_cost"] == "7.2"
    offers = [(one["part"], one["supplier"]) for one in told["proposals"] if one["sheet"] == "Offers"]
    assert ("AUG-BEARING", "AXLE") in offers and ("KIT-HUB", "NORTH") in offers


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--supplier", "SOUTH"), "no-price-list", "none beside the shop book begins like NORTH price list.toml"),
        (("--list", LIST, "--supplier", "SOUTH"), "no-price-mapping", "SOUTH price list.toml"),
        (("--list", LIST, "--supplier", "NORHT", "--mapping", MAPPING), "unknown-supplier", "NORHT"),
        (("--list", LIST, "--list", LIST), "supplier-twice", "NORTH"),
        (("--list", "gone.csv", "--supplier", "NORTH"), "missing-file", "gone.csv"),
    ],
)
def test_refusals(
    folder: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: str, says: str
) -> None:
    exit_code, told = answer(capsys, *words)
    assert exit_code == 1 and code in codes(told)
    problem = next(one for one in told["problems"] if one["code"] == code)
    assert says in f"{problem['place']} {problem['message']}" and problem["remedy"]
    assert told["proposals"] == [] and told["files"] == [] and not (folder / OUT).exists()


def test_nothing_beside_the_book(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / MAPPING).unlink()
    code, told = answer(capsys)
    assert code == 1 and codes(told) == ["no-price-list"]
    assert "no mapping is beside the shop book" in told["problems"][0]["message"]
    assert "quotekit prices map" in told["problems"][0]["remedy"]


def test_a_list_in_another_currency(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Never converted: every row is told, and none is proposed."""
    mapping = folder / MAPPING
    mapping.write_text(mapping.read_text().replace('currency = ""', 'currency = "EUR"'))
    code, told = answer(capsys)
    assert code == 1 and codes(told) == ["no-usable-row"] and told["proposals"] == []


def test_a_book_with_an_error_is_not_compared(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = openpyxl.load_workbook(folder / BOOK)
    book["Parts"]["E2"].value = None
    book.save(folder / BOOK)
    code, told = answer(capsys)
    assert code == 1 and told["proposals"] == []


def test_texts_of_a_list_never_become_formulas(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A number that the list replaces by `=1+1`."""
    text = (folder / LIST).read_text().replace(",2-0312,", ",=HYPERLINK(1),")
    (folder / LIST).write_text(text.replace("2-0312,", "=HYPERLINK(1),", 1))
    _, told = answer(capsys)
    assert of(told, "BELT-DRIVE")["new"]["number"] == "=HYPERLINK(1)"
    raw, _ = read_raw(folder / OUT)
    assert raw is not None
    cells = [cell for of_sheet in raw.sheets.values() for cell in of_sheet.values()]
    assert all(cell.formula is None for cell in cells)
    assert any(cell.value == "=HYPERLINK(1)" for cell in cells)
