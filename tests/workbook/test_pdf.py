"""The customer's quote as a PDF: what it shows, what it doesn't, and that making it fetches nothing."""

from __future__ import annotations

import re
import subprocess
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

import pytest
import xlsxwriter

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.fingerprint import fingerprint_of
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook import pdf
from quotekit.workbook.cannot_write import NoPdf
from quotekit.workbook.pdf import office_missing, print_workbook, write_pdf
from quotekit.workbook.photos import read_photos, shrink
from quotekit.workbook.write_sheet import write_costing, write_customer_quote
from tests.conformity.written import JOBS
from tests.documents import quotes
from tests.leaks.same_prices import disguised, secrets_in
from tests.leaks.secrets_of import leaks
from tests.leaks.test_other_costs_same_bytes import charging_freight, example
from tests.workbook.pictures import a_photo
from tests.workbook.stand_ins import SLEEPS, StandIn
from tests.workbook.test_printed_pages import planned_pages


@pytest.fixture
def poppler(soffice: str, pdftoppm: str) -> str:
    """Both LibreOffice and the programs that read a PDF."""
    return pdftoppm


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> StandIn:
    return StandIn(tmp_path, monkeypatch)


def text_of(path: Path) -> str:
    return subprocess.run(["pdftotext", "-layout", str(path), "-"], check=True, capture_output=True, text=True).stdout


def facts_of(path: Path) -> dict[str, str]:
    shown = subprocess.run(["pdfinfo", str(path)], check=True, capture_output=True, text=True).stdout
    return {name: value.strip() for name, _, value in (line.partition(":") for line in shown.splitlines())}


@pytest.mark.parametrize("path", JOBS[:2], ids=lambda path: path.stem)
def test_an_example_prints_every_total_on_the_pages_planned(path: Path, poppler: str, tmp_path: Path) -> None:
    """The shop's name is all its properties say, besides the program that made it and when; tagged, so that it can be
    read aloud in order."""
    book, job = example(path)
    quote, photos = build_quote(book, job), read_photos(job, path.parent)[0]
    write_pdf(quote, tmp_path / "quote.pdf", photos)
    facts, text = facts_of(tmp_path / "quote.pdf"), text_of(tmp_path / "quote.pdf")
    assert int(facts["Pages"]) == planned_pages(lay_out_customer_quote(quote, photos)) <= 2
    assert quote.offered and all(f"${tier.total:,.2f}" in text for tier in quote.offered)
    assert [path.name for path in tmp_path.iterdir()] == ["quote.pdf"]
    assert (facts["Author"], facts["Tagged"]) == (book.settings.shop_name, "yes")
    assert not {"Title", "Subject", "Keywords"} & facts.keys()
    assert (facts["JavaScript"], facts["Custom Metadata"]) == ("no", "no")


def test_amounts_are_shown_as_the_quotes_language_does(poppler: str, tmp_path: Path) -> None:
    """Not as the computer's own settings do, which may be another language."""
    quote = quotes.quote(language="de_DE", currency="EUR")
    write_pdf(quote, tmp_path / "quote.pdf")
    text = text_of(tmp_path / "quote.pdf")
    assert german(quote) and all(amount in text for amount in german(quote))


def german(quote: Quote) -> list[str]:
    """Totals with a decimal comma."""
    return [f"{tier.total:,.2f}".translate(str.maketrans(",.", ".,")) for tier in quote.offered]


def test_no_cost_or_supplier_can_be_read_from_it(poppler: str, tmp_path: Path) -> None:
    """Neither in the file's bytes, nor in the text that a reader of PDF makes of them; the hidden sheet stays out."""
    book, job = example(JOBS[0])
    book, job = disguised(charging_freight(book, "none"), job)
    quote, secrets = build_quote(book, job), [*secrets_in(book, job)]
    write_pdf(quote, tmp_path / "quote.pdf")
    text = text_of(tmp_path / "quote.pdf")
    assert leaks((tmp_path / "quote.pdf").read_bytes(), secrets) == leaks(text.encode(), secrets) == []
    assert fingerprint_of(lay_out_customer_quote(quote))[:16] not in text


def test_the_search_reads_what_libreoffice_prints(poppler: str, tmp_path: Path) -> None:
    """A costing printed the same way is full of costs, and they are found."""
    book, job = example(JOBS[0])
    book, job = disguised(charging_freight(book, "none"), job)
    write_costing(build_quote(book, job), tmp_path / "costing.xlsx")
    print_workbook(tmp_path / "costing.xlsx", tmp_path / "costing.pdf", language="en_US")
    assert leaks(text_of(tmp_path / "costing.pdf").encode(), [*secrets_in(book, job)])


class Asked(BaseHTTPRequestHandler):
    """Notes every request."""

    paths: ClassVar[list[str]] = []

    def do_GET(self) -> None:
        self.paths.append(self.path)
        self.send_error(404)

    do_HEAD = do_OPTIONS = do_PROPFIND = do_CONNECT = do_GET

    def log_message(self, format: str, *values: object) -> None:
        """Say nothing."""


@contextmanager
def a_server() -> Iterator[str]:
    """The address of a server on this computer that notes what it is asked."""
    Asked.paths.clear()
    with ThreadingHTTPServer(("127.0.0.1", 0), Asked) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def with_linked_picture(path: Path, address: str) -> Path:
    """A quote whose photo is not in it, but said to be found at an address."""
    write_customer_quote(quotes.three(), path, {"bushing.jpg": shrink(a_photo(80, 60))})
    with zipfile.ZipFile(path) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    linked = f'Target="{address}/photo.jpg" TargetMode="External"'.encode()
    with zipfile.ZipFile(path, "w") as package:
        for name, data in parts.items():
            if name.startswith("xl/drawings/"):
                data = re.sub(rb'Target="[^"]*/media/[^"]*"', linked, data).replace(b"r:embed=", b"r:link=")
            package.writestr(name, data)
    return path


def test_a_linked_picture_is_not_fetched(soffice: str, tmp_path: Path) -> None:
    """Nobody learns from their server that a quote was printed. LibreOffice left to itself does ask."""
    with a_server() as address:
        workbook = with_linked_picture(tmp_path / "quote.xlsx", address)
        print_workbook(workbook, tmp_path / "quote.pdf", language="en_US")
        assert Asked.paths == []
        profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
        command = [
            soffice,
            profile,
            "--headless",
            "--convert-to",
            "pdf",
            "--outdir",
            str(tmp_path / "out"),
            str(workbook),
        ]
        subprocess.run(command, check=True, capture_output=True)
        assert "/photo.jpg" in Asked.paths


def test_formulas_are_worked_out_anew(poppler: str, tmp_path: Path) -> None:
    """A result that some program has stored wrongly is not what is printed."""
    with xlsxwriter.Workbook(tmp_path / "sum.xlsx") as book:
        book.add_worksheet().write_formula("A1", "=200+40", None, 999)
    print_workbook(tmp_path / "sum.xlsx", tmp_path / "sum.pdf", language="en_US")
    assert text_of(tmp_path / "sum.pdf").split()[0] == "240"


def refusal(path: Path) -> tuple[str, str, str]:
    """Place, code and text of the problem that stands in the way of a PDF."""
    with pytest.raises(NoPdf) as refused:
        write_pdf(quotes.one(), path)
    problem = refused.value.problem
    assert not path.exists() and problem.remedy.endswith(".")
    return str(problem.place), problem.code, problem.text


def test_time_out_failure_and_nothing_made_are_told_apart(stand_in: StandIn, monkeypatch: pytest.MonkeyPatch) -> None:
    path = stand_in.notes / "quote.pdf"
    stand_in.does("echo no room; exit 3")
    assert refusal(path) == ("quote.pdf", "pdf-failed", "no room")
    stand_in.does("exit 0")
    assert refusal(path) == ("quote.pdf", "pdf-failed", "It made no file, and said nothing.")
    stand_in.does('while [ "$1" != --outdir ]; do shift; done; echo half of > "$2/quote.pdf"')
    assert refusal(path)[1] == "pdf-failed"
    monkeypatch.setattr(pdf, "SECONDS", 1)
    stand_in.does(SLEEPS)
    assert refusal(path)[1] == "pdf-time-out"
    assert (stand_in.still_runs(), stand_in.left_behind()) == ([], [])


def test_no_libreoffice_is_a_problem_that_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUOTEKIT_SOFFICE", str(tmp_path / "none"))
    assert refusal(tmp_path / "quote.pdf")[1] == "no-libreoffice"
    (problem,) = office_missing(tmp_path / "quote.pdf")
    assert "Install it" in problem.remedy and "QUOTEKIT_SOFFICE" in problem.remedy


def test_odd_names_and_folders(soffice: str, tmp_path: Path) -> None:
    """LibreOffice takes a file as an address: spaces, signs and letters of other scripts must come through."""
    folder = tmp_path / "Größe #1 50% & more"
    folder.mkdir()
    write_customer_quote(quotes.one(), folder / "-x 水 ?1;.xlsx")
    print_workbook(folder / "-x 水 ?1;.xlsx", folder / "-x 水.pdf", language="en_US")
    assert (folder / "-x 水.pdf").read_bytes().startswith(b"%PDF")
