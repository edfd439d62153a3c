"""A small shop whose commands record in a ledger, run as a person would."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Draft, Entry
from tests.cli.small_shop import Sheets, job, shop_book, write_book


class Ran(NamedTuple):
    """What a command said: exit code, stdout, stderr."""

    code: int
    out: str
    err: str

    @property
    def told(self) -> Any:
        """The JSON object it printed."""
        return json.loads(self.out)

    @property
    def codes(self) -> list[str]:
        """Codes of the problems in its JSON."""
        return [problem["code"] for problem in self.told["problems"]]


class Shop:
    """A shop book, a job 117 and what was written and recorded."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        self.book = write_book(folder / "shop book.xlsx", shop_book())
        self.job = write_book(folder / "job.xlsx", job())
        self.ledger = folder / "shop book ledger.db"

    def run(self, *words: str | Path) -> Ran:
        """A command."""
        self._capsys.readouterr()
        code = main([str(word) for word in words])
        said = self._capsys.readouterr()
        return Ran(code, said.out, said.err)

    def issue(self, *more: str | Path) -> Ran:
        """Issue the job as it stands."""
        return self.run("issue", self.book, self.job, "--on", "2026-03-03", "--recorded-by", "Ida", *more)

    def change_job(self, change: Callable[[Sheets], None]) -> None:
        """Another job workbook in place of the one there is."""
        sheets = job()
        change(sheets)
        write_book(self.job, sheets)

    def change_book(self, change: Callable[[Sheets], None]) -> None:
        """Another shop book in place of the one there is."""
        sheets = shop_book()
        change(sheets)
        write_book(self.book, sheets)

    def entries(self) -> list[Entry]:
        """Everything that is recorded."""
        if not self.ledger.exists():
            return []
        with open_ledger(self.ledger) as ledger:
            return ledger.entries()

    def add(self, *drafts: Draft) -> None:
        """Entries as other commands make them."""
        with open_ledger(self.ledger) as ledger, ledger.writing() as writing:
            for draft in drafts:
                writing.append(draft)

    def written(self) -> list[str]:
        """Names of the documents in the folder."""
        return sorted(path.name for path in self.folder.glob("117-*"))


def field(sheets: Sheets, name: str, value: object) -> None:
    """Set a field of the job."""
    rows = [row for row in sheets["Job"] if row[0] == name]
    if rows:
        rows[0][1] = value
    else:
        sheets["Job"].append([name, value])


def names_of(paths: Sequence[str]) -> list[str]:
    """Names without their folder."""
    return [Path(path).name for path in paths]
