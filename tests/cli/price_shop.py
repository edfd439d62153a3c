"""A small shop with price proposals made by hand, and the commands that change its shop book run in process."""

from __future__ import annotations

import contextlib
import io
import json
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any
from unittest import mock

from quotekit.cli.main import main
from quotekit.ledger.check import check_ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.book_changes import KINDS, BookChange, book_changes
from quotekit.model.entries import Entry
from quotekit.model.proposed_prices import CellValue, ChangedField, PriceProposals, PriceSource, ProposedChange
from quotekit.problems import Place
from tests.cli import small_shop

D = Decimal
DAY = date(2026, 12, 2)
ON = ("--on", DAY.isoformat(), "--recorded-by", "The owner")
KEPT = "shop book before 2026-12-02.xlsx"
NORTH = "Northside"
READER = "quotekit.workbook.read_price_proposals.read_price_proposals"


@dataclass(frozen=True)
class Ran:
    """What a command said."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The one object on stdout."""
        found: dict[str, Any] = json.loads(self.out)
        return found

    @property
    def codes(self) -> list[str]:
        """Codes of its problems."""
        return [problem["code"] for problem in self.json["problems"]]


def change(
    field: ChangedField,
    cell: str,
    old: CellValue,
    new: CellValue,
    *,
    part: str = "BELT",
    sheet: str = "Parts",
    supplier: str = NORTH,
    tick: str = "A5",
    **ticks: bool,
) -> ProposedChange:
    """A ticked cell."""
    given = {"taken": True, **ticks}
    place = Place("proposals.xlsx", "Proposals", tick)
    return ProposedChange(
        sheet=sheet, cell=cell, part=part, supplier=supplier, field=field, old=old, new=new, place=place, **given
    )


DEARER = (change("pack cost", "D3", D("19.5"), D("21.25")),)
"""The belt of the small shop costs more."""


def parts_with_everything() -> small_shop.Sheets:
    """The small shop, its parts with all columns that a list may change, and offers of others."""
    sheets = small_shop.shop_book()
    titles = ["List price each", "Supplier's number", "Replaced by", "Lead days", "Cost date"]
    more = [[9, "00123", None, 4, date(2026, 1, 5)], [None, "B-7", None, None, None], [2, None, None, 0, None]]
    parts = sheets["Parts"]
    sheets["Parts"] = [parts[0] + titles, *(row + extra for row, extra in zip(parts[1:], more, strict=True))]
    sheets["Offers"] = [
        ["Part", "Supplier", "Supplier's number", "Pack quantity", "Pack cost", "Lead days", "Dated"],
        ["BELT", "Southside", "S-1", 1, 18.9, 9, date(2026, 1, 5)],
        ["SEAL", "Southside", "S-2", 20, 28, None, None],
    ]
    return sheets


@dataclass
class Shop:
    """A folder with a shop book, and proposals that the commands read as if they were a workbook."""

    folder: Path
    sheets: Mapping[str, Sequence[Sequence[object]]] = field(default_factory=small_shop.shop_book)
    book: Path = field(init=False)
    proposals: Path = field(init=False)
    made_from: str = field(init=False)

    def __post_init__(self) -> None:
        self.folder.mkdir(exist_ok=True)
        self.book = small_shop.write_book(self.folder / "shop book.xlsx", self.sheets)
        self.proposals = self.folder / "proposals.xlsx"
        self.proposals.write_bytes(b"ticked by hand")
        self.made_from = self.digest()

    def write(self, sheets: Mapping[str, Sequence[Sequence[object]]]) -> None:
        """The owner saves another shop book."""
        small_shop.write_book(self.book, sheets)

    def digest(self) -> str:
        """SHA-256 of the shop book."""
        return sha256(self.book.read_bytes()).hexdigest()

    def ticked(self, changes: Iterable[ProposedChange]) -> PriceProposals:
        """A workbook of proposals as it is read."""
        return PriceProposals(
            book_file=self.book.name,
            book_sha256=self.made_from,
            day=DAY,
            currency="USD",
            sources=(PriceSource(supplier=NORTH, file="north 2027.csv", sha256="ab" * 32),),
            changes=tuple(changes),
        )

    def apply(self, changes: Iterable[ProposedChange] = DEARER, *words: str) -> Ran:
        """`quotekit prices apply` with these ticks."""
        with mock.patch(READER, lambda path: (self.ticked(changes), [])):
            return self.run("prices", "apply", str(self.book), str(self.proposals), *ON, *words)

    def undo(self, *words: str) -> Ran:
        """`quotekit prices undo`."""
        return self.run("prices", "undo", str(self.book), *ON, *words)

    def run(self, *words: str, as_json: bool = True) -> Ran:
        """A command, with --json unless a person is at the screen."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main([*words, *(["--json"] if as_json else [])])
        return Ran(code, out.getvalue(), err.getvalue())

    @property
    def ledger(self) -> Path:
        """The ledger beside the shop book."""
        return self.folder / "shop book ledger.db"

    def entries(self) -> list[Entry]:
        """Everything that is recorded; the ledger holds together."""
        with open_ledger(self.ledger, create=False) as ledger:
            assert check_ledger(ledger).problems == []
            return ledger.entries()

    def changes(self) -> tuple[BookChange, ...]:
        """What became of each change."""
        return book_changes(one for one in self.entries() if one.kind in KINDS)

    def left(self) -> list[str]:
        """Every file of the folder but the ledger's, hidden ones too."""
        return sorted(one.name for one in self.folder.iterdir() if "ledger" not in one.name)

    def cell(self, cell: str, sheet: str = "Parts") -> object:
        """What a cell of the shop book holds, by another library."""
        import openpyxl

        return openpyxl.load_workbook(self.book)[sheet][cell].value


def whole(path: Path) -> bool:
    """True for a zip that is not damaged."""
    with zipfile.ZipFile(path) as package:
        return package.testzip() is None
