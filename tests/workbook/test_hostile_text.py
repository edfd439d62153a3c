"""Text never becomes a formula, a link or a command, whatever it says and wherever it stands in a customer's quote."""

from __future__ import annotations

import io
import re
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue, placed
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook.cannot_write import CannotWrite
from quotekit.workbook.lists_sheet import measure_formula
from quotekit.workbook.new_books import write_blank_job
from quotekit.workbook.pdf import write_pdf
from quotekit.workbook.printable import printable
from quotekit.workbook.read_returned import read_returned
from quotekit.workbook.write_sheet import workbook_bytes, write_customer_quote
from tests.conformity.lint import faults
from tests.conformity.package_parts import MAIN, Parts
from tests.conformity.planted import swap
from tests.leaks.planted import picture
from tests.leaks.surfaces import surfaces
from tests.recalculation.office import Office
from tests.workbook.hostile import PROSE, a_job, everywhere, in_field, in_turn
from tests.workbook.hostile_texts import HOSTILE, PORT_WORD


def customer_workbook(quote: Quote, folder: Path) -> bytes:
    """The file as the program writes it."""
    path = folder / "quote.xlsx"
    write_customer_quote(quote, path)
    return path.read_bytes()


def formulas_and_texts(value: WorkbookValue) -> tuple[dict[str, str], dict[str, str]]:
    """Where our own formulas stand, and where texts stand, by `Sheet!A1`."""
    formulas, texts = {}, {}
    for sheet in value.sheets:
        for number, row in enumerate(sheet.rows, start=1):
            for column, cell in placed(row):
                at = f"{sheet.name}!{openpyxl.utils.get_column_letter(column + 1)}{number}"
                if cell.formula:
                    formulas[at] = cell.formula
                elif isinstance(cell.content, str):
                    texts[at] = cell.content
    return formulas, texts


def cells_of(workbook: bytes) -> dict[str, Any]:
    """Every cell that holds something, by `Sheet!A1`, as another library reads it."""
    book = openpyxl.load_workbook(io.BytesIO(workbook))
    return {
        f"{sheet.title}!{cell.coordinate}": cell
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }


def test_every_text_of_the_job_is_tried() -> None:
    """Each kind of text has a field in the job, and what it says comes out in the quote."""
    unused = [name for name in sorted(PROSE) if in_field(name, "Zyxq") == a_job()]
    assert unused == []
    shown = {name for name in PROSE if "Zyxq" in str(lay_out_customer_quote(build_quote(*in_field(name, "Zyxq"))))}
    assert shown >= {
        "shop_name",
        "customer",
        "customers_words",
        "tier",
        "extra",
        "remedy",
        "part",
        "fee",
        "tax",
        "note",
    }
    assert len(shown) > 25


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_it_stays_text_in_the_file(text: str, tmp_path: Path) -> None:
    """As openpyxl reads it, and in the markup itself: a formula is one of ours or it is none, and there is no link."""
    quote = build_quote(*everywhere(text))
    assert quote.offered
    data = customer_workbook(quote, tmp_path)
    formulas, texts = formulas_and_texts(lay_out_customer_quote(quote))
    cells = cells_of(data)
    assert {at: cell.value for at, cell in cells.items() if cell.data_type == "f"} == formulas
    assert {at for at, cell in cells.items() if cell.data_type == "s"} >= texts.keys()
    assert all(cells[at].hyperlink is None for at in cells)
    assert text_cells(data, texts) == {at: ("s", printable(said)) for at, said in texts.items()}
    assert faults(data, shop=printable(text)) == []
    assert linked(data) <= {name for name in ("hyperlink", "external") if name in text.lower()}


def linked(workbook: bytes) -> set[str]:
    """Words of links in any part."""
    everything = b"".join(Parts.of(workbook).data.values()).lower().replace(b"hyperlinkschanged", b"")
    return {word for word in ("hyperlink", "external") if word.encode() in everything}


def text_cells(workbook: bytes, texts: dict[str, str]) -> dict[str, tuple[str, str]]:
    """Type of each cell that holds a text, and what it says; a formula in one of them would be a type of its own."""
    parts, found = Parts.of(workbook), {}
    for name, part in parts.sheets.items():
        for cell in parts.root(part).iter(f"{MAIN}c"):
            if (at := f"{name}!{cell.get('r')}") in texts:
                kind = "formula" if cell.find(f"{MAIN}f") is not None else cell.get("t", "n")
                found[at] = kind, printable(resolved(parts.texts[int(cell.findtext(f"{MAIN}v") or "-1")]))
    return found


def resolved(text: str) -> str:
    """`_x0009_` is a tab: how a spreadsheet keeps what markup cannot hold."""
    return re.sub("_x([0-9A-Fa-f]{4})_", lambda found: chr(int(found[1], 16)), text)


@pytest.mark.parametrize("start", range(0, len(HOSTILE), 4))
def test_it_stays_text_in_the_costing_and_the_next_job(start: int, tmp_path: Path) -> None:
    """The shop's own workbooks hold the same texts side by side, in turn in each field, and names for drop-downs."""
    book, job = in_turn([*HOSTILE.values()], start)
    value = lay_out_costing(build_quote(book, job))
    formulas, _ = formulas_and_texts(value)
    data = workbook_bytes(value)
    assert {at: cell.value for at, cell in cells_of(data).items() if cell.data_type == "f"} == formulas
    assert faults(data, any_function=True) == []
    write_blank_job(tmp_path / "next.xlsx", book)
    blank = (tmp_path / "next.xlsx").read_bytes()
    assert faults(blank, any_function=True) == []
    ours = {f"Findings!C{row}": measure_formula(f"$A{row}") for row in range(3, 43)}
    assert {at: cell.value for at, cell in cells_of(blank).items() if cell.data_type == "f"} == ours


@pytest.mark.parametrize("name", sorted(PROSE))
def test_the_longest_text_a_cell_can_hold_is_written_or_refused(name: str, tmp_path: Path) -> None:
    """32,767 characters may come from any cell of a book; one more only from several joined."""
    for length in (32_767, 32_768):
        quote = build_quote(*in_field(name, ("Zyxq " * 7000)[:length]))
        try:
            data = customer_workbook(quote, tmp_path)
        except CannotWrite as refused:
            assert "!" in str(refused) and len(str(refused)) < 400
            continue
        assert faults(data) == []
        words = [text.count("Zyxq") for text in all_texts(data)]
        assert max(map(len, Parts.of(data).texts)) <= 32_767
        assert sum(words) == 0 or sum(words) >= 6_553, "split over rows, but no word of it lost"


def all_texts(workbook: bytes) -> list[str]:
    """The text of each cell that holds one."""
    parts = Parts.of(workbook)
    roots = [parts.root(part) for part in parts.sheets.values()]
    cells = [cell for root in roots for cell in root.iter(f"{MAIN}c") if cell.get("t") == "s"]
    return [parts.texts[int(cell.findtext(f"{MAIN}v") or "-1")] for cell in cells]


PICKED = {
    "plain": "Put right",
    "a formula": "=1+1",
    "a yes": "TRUE",
    "a number": "1",
    "a fraction": "1/2",
    "a percentage": "50%",
    "commas": "a,b,c",
    "wildcards": "*?~",
    "quotes": "\"a\" 'b'",
    "an error": "#N/A",
    "a quote first": "'x",
    "spaces": "  a   b ",
    "300 characters": "a name " * 43,
    "an option's code": "better",
    "an option's own name": "Option 2",
    "an ampersand": "Fix & go <now>",
    "right to left": "\u05ea\u05d9\u05e7\u05d5\u05df",
    "letters of two planes": "\U0001f527 fix",
    "case alone": "PUT RIGHT 2",
}


@pytest.mark.parametrize("text", PICKED.values(), ids=PICKED)
def test_an_option_of_any_name_can_be_picked(text: str, tmp_path: Path, office: Office) -> None:
    """By the label in the drop-down, LibreOffice shows the total of that option and of no other."""
    quote = build_quote(*in_field("tier", text))
    live = quote.live
    assert live is not None
    path = tmp_path / "quote.xlsx"
    write_customer_quote(quote, path)
    wanted = {option.label: float(tier.total) for option, tier in zip(live.options, quote.offered, strict=True)}
    assert len(wanted) == 2
    with office.opened(path) as opened:
        shown = {label: opened.shown({"chosen_tier": label}, ["total_to_pay"])["total_to_pay"] for label in wanted}
        assert shown == wanted
        nothing = ["", "Zyxq", "*", "?", wanted_prefix(next(iter(wanted)))]
        for typed in nothing:
            assert opened.shown({"chosen_tier": typed}, ["total_to_pay"])["total_to_pay"] == "\u2013", typed


def wanted_prefix(label: str) -> str:
    """Part of a label and a wildcard: no option has that name."""
    return label[: len(label) // 2] + "*~"


class Listener(ThreadingHTTPServer):
    """A server on this machine that counts who asks."""

    asked = 0

    @property
    def address(self) -> str:
        """Host and port."""
        return f"127.0.0.1:{self.server_address[1]}"


@contextmanager
def listening() -> Iterator[Listener]:
    """A listener while it is wanted."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            assert isinstance(self.server, Listener)
            self.server.asked += 1
            self.send_response(404)
            self.end_headers()

        do_HEAD = do_OPTIONS = do_PROPFIND = do_GET

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing."""

    server = Listener(("127.0.0.1", 0), Answer)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()


def through_office(soffice: str, paths: list[Path], folder: Path) -> dict[str, bytes]:
    """Workbooks opened by LibreOffice with a profile of its own and saved again, by name."""
    out = folder / "saved"
    profile = (folder / "profile").as_uri()
    command = [soffice, f"-env:UserInstallation={profile}", "--headless", "--convert-to", "xlsx", "--outdir", str(out)]
    done = subprocess.run([*command, *map(str, paths)], capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return {path.name: (out / path.name).read_bytes() for path in paths}


def test_it_stays_text_in_libreoffice_and_nothing_is_fetched(soffice: str, tmp_path: Path) -> None:
    """Hostile texts side by side, in turn in each field, opened and saved by LibreOffice: still text, nothing asked."""
    with listening() as server:
        texts_in_turn = [text.replace(PORT_WORD, server.address) for text in HOSTILE.values()]
        quotes = {f"{start}.xlsx": build_quote(*in_turn(texts_in_turn, start)) for start in range(0, len(HOSTILE), 7)}
        paths = []
        for name, quote in quotes.items():
            paths.append(tmp_path / name)
            write_customer_quote(quote, paths[-1])
        saved = through_office(soffice, paths, tmp_path)
        assert server.asked == 0
    for name, quote in quotes.items():
        formulas, texts = formulas_and_texts(lay_out_customer_quote(quote))
        cells = cells_of(saved[name])
        assert {at for at, cell in cells.items() if cell.data_type == "f"} <= formulas.keys(), name
        others = {at: (cells[at].data_type if at in cells else None) for at in texts}
        assert {at: kind for at, kind in others.items() if kind != "s"} == {}, (name, texts)
        (tmp_path / name).write_bytes(saved[name])
        choice, _ = read_returned(tmp_path / name, quote.job.quote_date)
        assert choice is not None and choice.unchanged, name


def test_the_listener_hears_what_is_fetched(soffice: str, tmp_path: Path) -> None:
    """A workbook with a linked picture is fetched from, so that silence means something."""
    with listening() as server:
        path = tmp_path / "fetches.xlsx"
        path.write_bytes(with_linked_picture(f"http://{server.address}/a.png"))
        through_office(soffice, [path], tmp_path)
        assert server.asked > 0


def with_linked_picture(address: str) -> bytes:
    """A workbook whose picture is not in it."""
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        book.add_worksheet("Quote").insert_image("B2", "x.png", {"image_data": picture()})
    relations = "xl/drawings/_rels/drawing1.xml.rels"
    linked = swap("xl/drawings/drawing1.xml", "r:embed=", "r:link=")(stream.getvalue())
    return swap(relations, 'Target="../media/image1.png"', f'Target="{address}" TargetMode="External"')(linked)


def test_the_pdf_has_no_link_and_says_nothing_of_this_machine(soffice: str, tmp_path: Path) -> None:
    """An address stays a text on paper; the file names its shop and the program that printed it, and no folder."""
    with listening() as server:
        path = tmp_path / "quote.pdf"
        write_pdf(build_quote(*everywhere(f"http://{server.address}/ mailto:a@b.example")), path)
        assert server.asked == 0
    everything = "\n".join(surface.text for surface in surfaces(path.read_bytes()))
    for word in ("/URI", "/Launch", "/JavaScript", "/EmbeddedFile", "/AcroForm", str(tmp_path), "/tmp/", "quote.xlsx"):
        assert word not in everything


def test_two_workbooks_of_one_hostile_quote_are_equal() -> None:
    """Odd texts bring no chance into the bytes."""
    quote = build_quote(*everywhere(HOSTILE["markup"]))
    assert workbook_bytes(lay_out_customer_quote(quote)) == workbook_bytes(lay_out_customer_quote(quote))
