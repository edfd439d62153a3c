"""A ledger made anew from an export alone, and what the export's tables say recounted against its JSON.

    python -m tests.ledger.from_export LEDGER

exports a ledger, makes another from the files, and compares: the check of the new one ends with the same last hash,
`quotekit jobs --json` gives the same text, and every cell of every table, its apostrophe taken off, is what the JSON
says. So nothing that was recorded is missing from what the owner takes away. It prints what differs and ends with 1.
"""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
import json
import sys
import tempfile
import zlib
from pathlib import Path
from typing import Any

from quotekit.cli.main import main as quotekit
from quotekit.ledger.check import check_ledger
from quotekit.ledger.connect import adding
from quotekit.ledger.export import export_ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.ledger.tables import ENTRIES, ENTRY_FILES, FILES
from quotekit.model.story import job_key

SEALED = ("seq", "at", "day", "who", "why", "kind", "job", "version", "number", "before", "hash")


def entries_of(folder: Path) -> list[dict[str, Any]]:
    """Every entry of an export, as its JSON has it."""
    told: list[dict[str, Any]] = json.loads((folder / "entries.json").read_text(encoding="utf-8"))
    return told


def table_of(path: Path) -> list[dict[str, str]]:
    """A table of an export with the exact texts."""
    with path.open(encoding="utf-8", newline="") as file:
        return [{name: exact(cell) for name, cell in row.items()} for row in csv.DictReader(file)]


def exact(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from taking it for a formula."""
    return cell.removeprefix("'")


def make_anew(folder: Path, target: Path) -> None:
    """A ledger of what an export holds, by nothing but its files."""
    with open_ledger(target) as ledger, adding(ledger.raw_connection()) as connection:
        for entry in entries_of(folder):
            body = json.dumps(entry["body"], ensure_ascii=False, sort_keys=True, separators=(",", ":"))
            row = {**{name: entry[name] for name in SEALED}, "body": body, "job_key": job_key(entry["job"])}
            connection.execute(ENTRIES.insert().values(row))
        for kept in table_of(folder / "files.csv"):
            data = (folder / kept["file"]).read_bytes()
            row = {"sha256": kept["sha256"], "name": kept["name"], "size": len(data), "packed": zlib.compress(data)}
            connection.execute(FILES.insert().values(row))
            for seq in kept["entries"].split():
                connection.execute(ENTRY_FILES.insert().values(seq=int(seq), sha256=kept["sha256"]))


def differences(folder: Path) -> list[str]:
    """Cells of the tables that do not say what the JSON says, and files that are not what the tables say."""
    told = entries_of(folder)
    wrong = _of_table(folder / "entries.csv", told, SEALED)
    for kind in sorted({entry["kind"] for entry in told}):
        some = [{**entry, **entry["body"]} for entry in told if entry["kind"] == kind]
        names = [*SEALED, *dict.fromkeys(name for entry in told if entry["kind"] == kind for name in entry["body"])]
        wrong += _of_table(folder / f"{kind}.csv", some, names)
    for kept in table_of(folder / "files.csv"):
        data = (folder / kept["file"]).read_bytes()
        if (hashlib.sha256(data).hexdigest(), str(len(data))) != (kept["sha256"], kept["size"]):
            wrong.append(f"{kept['file']} is not what files.csv says")
    return wrong


def _of_table(path: Path, told: list[dict[str, Any]], names: Any) -> list[str]:
    rows = table_of(path)
    if [list(row) for row in rows[:1]] != [list(names)] or len(rows) != len(told):
        return [f"{path.name} has other columns or rows"]
    return [
        f"{path.name}, entry {entry['seq']}, {name}: {row[name]!r}"
        for row, entry in zip(rows, told, strict=True)
        for name in names
        if row[name] != _text(entry.get(name))
    ]


def _text(value: Any) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    return json.dumps(value, ensure_ascii=False)


def wrong_after(ledger: str, folder: Path) -> list[str]:
    """Export a ledger and make it anew: what is not the same."""
    with open_ledger(ledger, create=False) as old:
        export_ledger(old, folder / "everything")
        before = check_ledger(old)
    make_anew(folder / "everything", folder / "anew.db")
    with open_ledger(folder / "anew.db") as new:
        after = check_ledger(new)
    wrong = differences(folder / "everything") + [problem.message for problem in after.problems]
    if (before.entries, before.files, before.last_hash) != (after.entries, after.files, after.last_hash):
        wrong.append("the ledger made anew ends with another hash, or holds another number of entries or files")
    if jobs(ledger) != jobs(str(folder / "anew.db")):
        wrong.append("the jobs stand otherwise")
    return wrong


def jobs(ledger: str) -> str:
    """Where each job stands, as `quotekit jobs` prints it."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        quotekit(["jobs", "--json", "--ledger", ledger])
    return said.getvalue()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        found = wrong_after(sys.argv[1], Path(place))
    print("\n".join(found) or "the ledger made anew from its export is the same")
    sys.exit(1 if found else 0)
