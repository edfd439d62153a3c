"""Everything in a ledger as plain files: JSON and CSV of the entries, and each kept file under its own name.

The owner's data are the owner's: nothing of quotekit is needed to read them.
No spreadsheet takes a cell of the tables for a formula: a text that begins as one gets an apostrophe in front, and so
does a text that begins with an apostrophe. Taking one apostrophe off the front of each cell gives the exact text.
"""

from __future__ import annotations

import csv
import json
import os
import re
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.ledger.export_lines import OF_ENTRY, lines_of
from quotekit.ledger.fault import disk_fault, fault
from quotekit.ledger.hidden_folder import hidden_folder
from quotekit.ledger.rows import unpacked
from quotekit.ledger.tables import ENTRIES, ENTRY_FILES, FILES

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger

_COLUMNS = ("seq", "at", "day", "who", "why", "kind", "job", "version", "number", "before", "hash")

_HALF_LETTERS = "backslashreplace"
"""Of a file name in another coding: as JSON spells them."""

README = """\
entries.json   every entry of the ledger in order, one object each, exact
entries.csv    the same without what each tells
KIND.csv       the entries of one kind with what they tell, a column a field; lists and groups stand as JSON
KIND FIELD.csv the lists within, a row a record: the work and the parts agreed, the lines of an order, of a bill;
               `line` is the place in the list, 2.1 the first within the second
files.csv      every file the ledger keeps: its SHA-256, its name, its size, the entries that name it, and where it is
files/         those files: the first digits of the SHA-256, then the name; "changed since" before the name marks one
               whose bytes are no longer what was kept

In the tables (CSV, UTF-8) a cell that begins with an apostrophe has it so that no spreadsheet takes the text for a
formula: without that one apostrophe it is exact. An empty cell is nothing or an empty text; entries.json tells which.
"""

_LONGEST = 180
"""Bytes of a file's name: with what is put before it, a name that any disk takes."""

_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20", "'")
"""How a text begins that a spreadsheet may take for a formula, full-width signs too; and the apostrophe itself."""


def export_ledger(ledger: Ledger, folder: Path) -> list[Path]:
    """Write everything to a new folder, which appears when it is whole. Raises LedgerFault where it exists."""
    if folder.exists():
        raise fault(str(folder), "output-exists", "The folder exists already.", "Give the name of a new one.")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with hidden_folder(folder.parent) as hidden, ledger.snapshot():
            whole = hidden / folder.name
            whole.mkdir()
            _write_all(ledger, whole)
            os.replace(whole, folder)
    except OSError as raised:
        raise disk_fault(str(folder), raised) from raised
    return sorted(path for path in folder.rglob("*") if path.is_file())


def _write_all(ledger: Ledger, folder: Path) -> None:
    (folder / "README.txt").write_text(README, encoding="utf-8")
    _write_entries(ledger, folder)
    for kind in [row["kind"] for row in ledger.each_row(_kinds())]:
        _write_kind(ledger, folder / f"{kind}.csv", kind)
        _write_lines(ledger, folder, kind)
    _write_files(ledger, folder)


def _write_files(ledger: Ledger, folder: Path) -> None:
    """Each kept file, and a table of them all."""
    (folder / "files").mkdir()
    named: dict[str, list[int]] = {}
    for tie in ledger.each_row(ENTRY_FILES.select().order_by(ENTRY_FILES.c.seq)):
        named.setdefault(tie["sha256"], []).append(tie["seq"])
    with _table(folder / "files.csv") as table:
        table.writerow(("sha256", "name", "size", "entries", "file"))
        for row in ledger.each_row(FILES.select().order_by(FILES.c.sha256)):
            data, digest = unpacked(row["packed"], row["sha256"]), row["sha256"]
            lost = "" if data is not None else "changed since - "
            place = f"files/{digest[:12]} {lost}{_plain_name(row['name'])}"
            (folder / place).write_bytes(row["packed"] if data is None else data)
            told = (digest, row["name"], row["size"], " ".join(map(str, named.get(digest, ()))), place)
            table.writerow([safe_cell(value) for value in told])


@contextmanager
def _table(path: Path) -> Iterator[Any]:
    with path.open("w", encoding="utf-8", errors=_HALF_LETTERS, newline="") as file:
        yield csv.writer(file)


def _kinds() -> Any:
    from sqlalchemy import select

    return select(ENTRIES.c.kind).distinct().order_by(ENTRIES.c.kind)


def _write_entries(ledger: Ledger, folder: Path) -> None:
    with (
        (folder / "entries.json").open("w", encoding="utf-8", errors=_HALF_LETTERS) as as_json,
        _table(folder / "entries.csv") as table,
    ):
        table.writerow(_COLUMNS)
        as_json.write("[")
        for place, row in enumerate(ledger.each_row(ENTRIES.select().order_by(ENTRIES.c.seq))):
            table.writerow([safe_cell(row[name]) for name in _COLUMNS])
            told = {**{name: row[name] for name in _COLUMNS}, "body": json.loads(row["body"])}
            as_json.write(("\n" if place == 0 else ",\n") + json.dumps(told, ensure_ascii=False))
        as_json.write("\n]\n")


def _write_kind(ledger: Ledger, path: Path, kind: str) -> None:
    """Two passes: a kind may have gained fields over the years."""
    fields = list(dict.fromkeys(name for row in _of_kind(ledger, kind) for name in json.loads(row["body"])))
    with _table(path) as table:
        table.writerow([*_COLUMNS, *fields])
        for row in _of_kind(ledger, kind):
            body = json.loads(row["body"])
            table.writerow([safe_cell(row[name]) for name in _COLUMNS] + [safe_cell(body.get(name)) for name in fields])


def _write_lines(ledger: Ledger, folder: Path, kind: str) -> None:
    """Lists of records in tables of their own; two passes, since any entry may add a column."""
    columns: dict[str, dict[str, None]] = {}
    for row in _of_kind(ledger, kind):
        for line in lines_of(json.loads(row["body"])):
            columns.setdefault(line.path, {}).update(dict.fromkeys(line.fields))
    with ExitStack() as stack:
        tables = {path: stack.enter_context(_table(folder / _plain_name(f"{kind} {path}.csv"))) for path in columns}
        for path, table in tables.items():
            table.writerow([*OF_ENTRY, *columns[path]])
        for row in _of_kind(ledger, kind):
            for line in lines_of(json.loads(row["body"])):
                of_entry = [*(row[name] for name in OF_ENTRY[:-1]), line.place]
                values = [*of_entry, *(line.fields.get(name) for name in columns[line.path])]
                tables[line.path].writerow([safe_cell(value) for value in values])


def _of_kind(ledger: Ledger, kind: str) -> Iterator[dict[str, Any]]:
    return ledger.each_row(ENTRIES.select().where(ENTRIES.c.kind == kind).order_by(ENTRIES.c.seq))


def safe_cell(value: Any) -> str:
    """A value as the text of a cell that no spreadsheet takes for a formula.

    >>> safe_cell("=1+1"), safe_cell(None), safe_cell(["A"]), safe_cell("-12.50")
    ("'=1+1", '', '["A"]', '-12.50')
    """
    if value is None:
        return ""
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return f"'{text}" if text.startswith(_AS_FORMULA) and not _NUMBER.fullmatch(text) else text


def _plain_name(name: str) -> str:
    """A name without letters that a disk refuses, its end kept where it is too long."""
    plain = "".join("-" if letter in '<>:"/\\|?*' or ord(letter) < 32 else letter for letter in name)
    return plain.encode(errors=_HALF_LETTERS)[-_LONGEST:].decode(errors="ignore") or "file"
