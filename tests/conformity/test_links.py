"""Links of the costing: to one cell of a workbook beside it, in the shop's papers only, under any file name."""

from __future__ import annotations

import re
import subprocess
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import pytest

from quotekit.documents.cell_links import link_to
from quotekit.documents.costing import lay_out_costing
from quotekit.documents.costing_explained import shown
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_quote
from quotekit.workbook.link_addresses import link_addresses
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.lint import faults
from tests.conformity.package_parts import MAIN, RELATION, Parts, formulas_of
from tests.pricing.explain.cases import EXAMPLES, FOLDER, example_quote
from tests.random_jobs import a_random_case
from tests.workbook.hostile import everywhere
from tests.workbook.hostile_texts import HOSTILE

QUOTE = example_quote(EXAMPLES[0])
NAMES = {
    "spaces": "my shop book.xlsx",
    "hash": "book #1.xlsx",
    "percent": "45%20 markup.xlsx",
    "quotes": 'Bob\'s "best".xlsx',
    "not ASCII": "Bücher – 本.xlsx",
    "brackets": "book [old] {1}.xlsx",
    "an address": "http: www.xlsx",
}


def links_of(workbook: bytes) -> set[tuple[str, str]]:
    """Target and place of every link of every sheet."""
    parts = Parts.of(workbook)
    found = set()
    for part in parts.sheets.values():
        relations = parts.relations(part)
        for link in parts.root(part).iter(f"{MAIN}hyperlink"):
            target = relations[link.get(f"{RELATION}id", "")].get("Target", "")
            found.add((target, link.get("location", "")))
    return found


def costing(addresses: dict[str, str]) -> bytes:
    """The costing of the first example with links to these addresses."""
    return workbook_bytes(lay_out_costing(QUOTE, trees=explain_quote(QUOTE, shown), addresses=addresses))


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_any_file_name_comes_back_from_its_link(name: str, tmp_path: Path) -> None:
    """What a spreadsheet program does: the path is read back from its code, and names the file."""
    (tmp_path / "papers").mkdir()
    addresses = link_addresses(tmp_path / "papers", [(QUOTE.book.file, tmp_path / name)])
    found = links_of(costing(addresses))
    assert {unquote(target.replace("\\", "/")) for target, _ in found} == {f"../{name}"}
    assert all(not set(target) & set('"<> #[]{}') for target, _ in found)


def test_each_link_leads_to_a_cell_that_the_books_have() -> None:
    """Links and texts name the same cells, and no link leads to a blank row below the table."""
    addresses = link_addresses(FOLDER, [(QUOTE.book.file, FOLDER / "b.xlsx"), (QUOTE.job.file, FOLDER / "j.xlsx")])
    found = links_of(costing(addresses))
    assert {target for target, _ in found} == {"b.xlsx", "j.xlsx"}
    assert ("b.xlsx", "'Labour rates'!C4") in found
    assert len(found) > 100


def test_the_shops_papers_may_link_and_stay_clean() -> None:
    addresses = link_addresses(FOLDER, [(QUOTE.book.file, FOLDER / "worked example" / "shop book.xlsx")])
    assert faults(costing(addresses), any_function=True) == []
    assert any("a link to the outside" in fault for fault in faults(costing(addresses)))


def test_without_addresses_there_are_no_links() -> None:
    """A costing written by another program that does not say where the books are."""
    assert links_of(costing({})) == set()
    assert links_of(workbook_bytes(lay_out_costing(QUOTE))) == set()


@pytest.mark.parametrize("words", [*HOSTILE.values()][::7], ids=[*HOSTILE][::7])
def test_no_text_of_a_workbook_becomes_a_link_or_a_formula(words: str) -> None:
    """Codes, names and notes that look like addresses, formulas or markup, in every text of the book and the job."""
    quote = build_quote(*everywhere(words))
    trees = explain_quote(quote, shown)
    data = workbook_bytes(lay_out_costing(quote, trees=trees, addresses={"": "b.xlsx", "b.xlsx": "b.xlsx"}))
    assert faults(data, any_function=True) == []
    assert links_of(data) == set()
    assert formulas_of(data) == formulas_of(workbook_bytes(lay_out_costing(quote)))


@pytest.mark.parametrize("seed", range(4))
def test_the_sheet_of_every_number_is_clean_for_random_jobs(seed: int) -> None:
    quote = build_quote(*a_random_case(seed))
    data = workbook_bytes(lay_out_costing(quote, trees=explain_quote(quote, shown)))
    assert faults(data, any_function=True) == []


def test_two_files_of_one_name_have_no_link(tmp_path: Path) -> None:
    """A link could lead to the wrong one."""
    assert link_addresses(tmp_path, [("a.xlsx", tmp_path / "x" / "a.xlsx"), ("a.xlsx", tmp_path / "a.xlsx")]) == {}


def test_a_link_too_long_for_a_program_is_left_out() -> None:
    place = QUOTE.book.parts["AUG-BUSH"].source.place("Pack cost")
    assert link_to(place, {place.file: "d/" * 1200 + "b.xlsx"}) == ""


def test_libreoffice_reads_the_links_as_they_are_meant(soffice: str, tmp_path: Path) -> None:
    """A folder beside, spaces, a hash and letters outside of ASCII: the link it shows is the file and the cell."""
    papers = tmp_path / "papers"
    papers.mkdir()
    book = tmp_path / "Bücher #1" / "my book.xlsx"
    (papers / "costing.xlsx").write_bytes(costing(link_addresses(papers, [(QUOTE.book.file, book)])))
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = [
        soffice,
        profile,
        "--headless",
        "--convert-to",
        "fods",
        "--outdir",
        str(papers),
        str(papers / "costing.xlsx"),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    told = (papers / "costing.fods").read_text(encoding="utf-8")
    links = {unquote(unescape(link)) for link in re.findall(r'xlink:href="([^"]*xlsx#[^"]*)"', told)}
    assert "../Bücher #1/my book.xlsx#'Labour rates'!C4" in links
    assert {link.rpartition("#")[0] for link in links} == {"../Bücher #1/my book.xlsx"}
