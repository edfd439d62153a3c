"""The real commands on shop books that are hard to change: nothing but the ticked cells and what hangs on them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from quotekit.model.changed_file import Changed, ChangedFile
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.price_shop import Ran, Shop, change
from tests.conformity.open_xml import errors_in, program_in
from tests.in_place.awkward_shop import all_shops, shop
from tests.in_place.compare import cells_of, collateral, part_names
from tests.in_place.members import parts_of

D = Decimal
NPM = Path(__file__).parents[1] / "node_modules"
NAMES = sorted(all_shops())
TICKS = [
    change("pack cost", "D2", D(22), D("23.75"), part="BUSHING"),
    change("list price each", "F2", D(9), D("9.95"), part="BUSHING"),
    change("supplier's number", "G2", "00123", "00077", part="BUSHING"),
    change("cost date", "J2", date(2026, 1, 5), date(2026, 12, 2), part="BUSHING"),
    change("pack quantity", "C3", D(1), D(2), tick="A6"),
    change("pack cost", "D3", D("19.5"), D("41.25"), tick="A6"),
    change("lead days", "I3", None, D(12), tick="A6"),
    change("pack cost", "E3", D(28), D("27.5"), sheet="Offers", part="SEAL", supplier="Southside", tick="A7"),
]


def a_shop(folder: Path, name: str, data: bytes) -> Shop:
    """A shop with such a book."""
    found = Shop(folder / "shop")
    found.book.unlink()
    found.book = found.folder / name
    found.book.write_bytes(data)
    found.made_from = found.digest()
    return found


def told(of: Shop) -> ChangedFile:
    """What the ledger keeps of the last change."""
    return next(one for one in reversed(_entries(of)) if one.kind == "changed").told(Changed).file


def _entries(of: Shop) -> list[object]:
    from quotekit.ledger.open_ledger import open_ledger

    with open_ledger(of.folder / f"{of.book.stem} ledger.db", create=False) as ledger:
        return ledger.entries()  # type: ignore[return-value]


def beside(before: bytes, after: bytes, file: ChangedFile) -> list[str]:
    """What differs besides what the ledger tells."""
    parts = part_names(before)
    typed = {(parts[one.sheet], one.cell) for one in file.cells}
    worked = {(parts[one.sheet], one.cell) for one in file.calculated}
    return collateral(before, after, typed, worked)


def without_office(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/nowhere")


@pytest.mark.parametrize("name", NAMES)
def test_nothing_beside(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without LibreOffice: the results that hang on the change are gone and named, all else keeps its bytes."""
    without_office(monkeypatch)
    of = a_shop(tmp_path, name, all_shops()[name])
    before = of.book.read_bytes()
    found = of.apply(TICKS)
    assert found.code == 0, found.err
    after, file = of.book.read_bytes(), told(of)
    assert beside(before, after, file) == []
    assert [(one.sheet, one.cell) for one in file.cells] == [(one.sheet, one.cell) for one in TICKS]
    assert _says_what_was_ticked(after) == []
    assert "formulas-to-work-out" in found.codes and "chart-as-before" in found.codes
    assert set(found.json["taken_away"]) >= {
        "Parts!L2", "Parts!L3", "My sums!A3", "My sums!A4", "My sums!A5", "My sums!A6", "My sums!D1",
    }  # fmt: skip
    assert not {"Parts!L4", "My sums!A7"} & set(found.json["taken_away"])
    assert sdk_errors_added(before, after, tmp_path, of.book.suffix) == []
    again = of.undo()
    assert again.code == 0 and of.book.read_bytes() == before


def _says_what_was_ticked(data: bytes) -> Iterator[str] | list[str]:
    """Cells that do not hold what was ticked, read by a reader of our own that knows no rule of the door."""
    parts, wrong = part_names(data), []
    cells = {name: cells_of(parts_of(data)[part]) for name, part in parts.items()}
    first = date(1904, 1, 1) if b'date1904="1"' in parts_of(data)["xl/workbook.xml"] else date(1899, 12, 30)
    for one in TICKS:
        held = cells[one.sheet][one.cell]
        if isinstance(one.new, Decimal):
            right = held.kind == "n" and held.value is not None and Decimal(held.value) == one.new
        elif isinstance(one.new, date):
            right = held.kind == "n" and held.value == str((one.new - first).days)
        else:
            right = (held.kind, held.value) == ("inlineStr", one.new)
        if not right:
            wrong.append(f"{one.cell}: {held}")
    return wrong


def sdk_errors_added(before: bytes, after: bytes, folder: Path, ending: str) -> list[str]:
    """What the Open XML SDK finds now and did not find before."""
    program, found = program_in(NPM), []
    for title, data in (("before", before), ("after", after)):
        path = folder / f"{title}{ending}"
        path.write_bytes(data)
        found.append(sorted(one.partition(": ")[2] for one in errors_in(program, path)))
    return [one for one in found[1] if one not in found[0]]


@pytest.mark.parametrize("name", ["shop.xlsx", "macros.xlsm", "linked.xlsx", "saved by LibreOffice.xlsx"])
def test_with_libreoffice(name: str, tmp_path: Path, soffice: str) -> None:
    """Results are worked out on a copy and stored: the book can be priced with at once, and not a byte more differs."""
    data = all_shops(soffice, tmp_path)[name]
    of = a_shop(tmp_path, name, data)
    found = of.apply(TICKS)
    assert found.code == 0, found.err
    file = told(of)
    assert beside(data, of.book.read_bytes(), file) == []
    worked = {f"{one.sheet}!{one.cell}": one.new.text for one in file.calculated if not one.emptied}
    assert worked["My sums!A3"] == "80" and worked["My sums!A5"] == "160" and worked["My sums!A4"] == "much"
    assert (worked["Parts!L2"], worked["Parts!L3"]) == ("5.9375", "20.625")
    left = set(found.json["taken_away"])
    assert left <= ({"My sums!A60"} if name == "linked.xlsx" else set())  # the other workbook is not there
    if not left:
        book, problems = read_shop_book(of.book)
        assert book is not None and book.parts["BUSHING"].pack_cost == D("23.75")
        assert [one for one in problems if one.severity == "error"] == []
    assert of.undo().code == 0 and of.book.read_bytes() == data


def test_both_ways_say_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, soffice: str) -> None:
    """As a person reads it: worked out again, or taken away and named, with what to do."""
    of = a_shop(tmp_path, "shop.xlsx", shop())
    said = as_read(of)
    assert "My sums!A3, worked out again: 56.5 -> 80" in said.out and "taken away" not in said.out + said.err
    without_office(monkeypatch)
    (tmp_path / "other").mkdir()
    said = as_read(a_shop(tmp_path / "other", "shop.xlsx", shop()))
    assert "results that hang on it were taken away: My sums!A3:A6, My sums!D1:D3, Parts!L2:L3" in said.out
    assert "Open the workbook in your spreadsheet and save it once before you price with it." in said.out
    assert "because LibreOffice, which would work them out, was not found" in said.err


def as_read(of: Shop) -> Ran:
    """The command without --json."""
    from unittest import mock

    from tests.cli.price_shop import READER

    with mock.patch(READER, lambda path: (of.ticked(TICKS), [])):
        return of.run("prices", "apply", str(of.book), str(of.proposals), "--on", "2026-12-02", as_json=False)


def test_a_signed_and_a_shared_workbook(tmp_path: Path) -> None:
    """Refused as a whole, in words."""
    from tests.in_place.members import packed

    for name, code in (("_xmlsignatures/sig1.xml", "workbook-signed"), ("xl/revisions/a.xml", "workbook-shared")):
        folder = tmp_path / code
        folder.mkdir()
        of = a_shop(folder, "shop.xlsx", packed({**parts_of(shop()), name: b"<a/>"}))
        found = of.apply(TICKS)
        assert (found.code, found.codes) == (1, [code])
        assert sha256(of.book.read_bytes()).hexdigest() == of.made_from
