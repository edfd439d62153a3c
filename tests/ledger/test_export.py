"""Everything as plain files: what is written can be read without quotekit, and nothing is missing."""

from __future__ import annotations

import csv
import hashlib
import json
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.ledger.chain import Sealed, canonical_json, hash_of
from quotekit.ledger.export import export_ledger, safe_cell
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.by_hand import changing
from tests.ledger.drafts import add, add_issued, issued, noted, season
from tests.ledger.from_export import exact, wrong_after


@pytest.fixture
def folder(ledger: Ledger, tmp_path: Path) -> Path:
    """The export of seven entries."""
    season(ledger)
    export_ledger(ledger, tmp_path / "everything")
    return tmp_path / "everything"


def rows(path: Path) -> list[dict[str, str]]:
    """A CSV file as a spreadsheet reads it."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_files_and_what_they_are(ledger: Ledger, tmp_path: Path) -> None:
    season(ledger)
    written = export_ledger(ledger, tmp_path / "everything")
    names = [path.relative_to(tmp_path / "everything").as_posix() for path in written]
    digests = sorted(hashlib.sha256(data).hexdigest()[:12] for data in (b"the first workbook", b"another workbook"))
    assert sorted(names) == sorted(
        ["README.txt", "entries.csv", "entries.json", "files.csv"]
        + ["issued.csv", "issued offered.csv", "noted.csv", "paid.csv", "written.csv"]
        + [f"files/{digest} job.xlsx" for digest in digests]
    )
    assert sorted(path.name for path in tmp_path.iterdir() if "ledger" not in path.name) == ["everything"]


def test_the_json_is_enough_to_check_the_chain(ledger: Ledger, folder: Path) -> None:
    """By whoever can read JSON: every entry, whole."""
    told = json.loads((folder / "entries.json").read_text(encoding="utf-8"))
    assert [entry["hash"] for entry in told] == [entry.hash for entry in ledger.entries()]
    for entry in told:
        fields = {name: entry[name] for name in Sealed._fields if name != "body"}
        assert hash_of(Sealed(**fields, body=canonical_json(entry["body"]))) == entry["hash"]


def test_a_table_of_all_entries(ledger: Ledger, folder: Path) -> None:
    table = rows(folder / "entries.csv")
    assert [int(row["seq"]) for row in table] == [1, 2, 3, 4, 5, 6, 7]
    assert [row["kind"] for row in table] == [entry.kind for entry in ledger.entries()]
    assert (table[0]["version"], table[4]["version"]) == ("1", "")


def test_a_table_a_kind_with_what_it_tells(folder: Path) -> None:
    """Amounts with every digit, as text that a spreadsheet reads as a number; groups as JSON."""
    assert [row["amount"] for row in rows(folder / "paid.csv")] == ["60.00", "-10.00"]
    first = rows(folder / "issued.csv")[0]
    assert first["customer"] == "R. Alder"
    assert json.loads(first["offered"])[0]["total"] == "107.00"


def test_files_come_out_as_they_went_in(folder: Path) -> None:
    for path in (folder / "files").iterdir():
        assert path.name.startswith(hashlib.sha256(path.read_bytes()).hexdigest()[:12])


def test_a_kept_file_that_was_changed_is_marked(address: str, tmp_path: Path) -> None:
    """Everything else still comes out: a damaged file must not hold the owner's data back."""
    with open_ledger(address) as ledger:
        season(ledger)
        with changing(address) as execute:
            execute("UPDATE files SET packed = ? WHERE size = 18", (b"rubbish",))
        export_ledger(ledger, tmp_path / "everything")
    names = sorted(path.name[13:] for path in (tmp_path / "everything" / "files").iterdir())
    assert names == ["changed since - job.xlsx", "job.xlsx"]
    assert len(json.loads((tmp_path / "everything" / "entries.json").read_text(encoding="utf-8"))) == 7


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("=1+1", "'=1+1"),
        ("+49 30", "'+49 30"),
        ("@A1", "'@A1"),
        ("\t=1", "'\t=1"),
        ("-12.50", "-12.50"),
        ("-cmd", "'-cmd"),
        ("--5", "'--5"),
        ("-5-1", "'-5-1"),
        ("-", "'-"),
        ("\n=1", "'\n=1"),
        ("\uff1d1+1", "'\uff1d1+1"),
        ("'=1+1", "''=1+1"),
        ("'tis", "''tis"),
        ("60.00", "60.00"),
        ("R. Alder", "R. Alder"),
        ("", ""),
        (None, ""),
        (7, "7"),
        (-7, "-7"),
        (True, "true"),
        (["A", "B"], '["A", "B"]'),
        ({"a": "ä"}, '{"a": "ä"}'),
    ],
)
def test_no_cell_is_taken_for_a_formula(value: object, expected: str) -> None:
    assert safe_cell(value) == expected


def test_a_formula_in_a_note_stays_text(ledger: Ledger, tmp_path: Path) -> None:
    add(ledger, noted('=HYPERLINK("http://x")'))
    export_ledger(ledger, tmp_path / "everything")
    assert rows(tmp_path / "everything" / "noted.csv")[0]["text"].startswith("'=")


@given(st.text(max_size=30))
def test_every_text_is_safe_and_exact(text: str) -> None:
    """What the README says to do with an apostrophe gives the text back; what has none is no formula."""
    cell = safe_cell(text)
    assert exact(cell) == text
    assert cell[:1] not in ("=", "+", "@", "\t", "\r", "\n") and (cell[:1] != "-" or Decimal(cell) <= 0)


def test_a_list_within_is_a_table_of_its_own(folder: Path) -> None:
    """What was offered, a row an option, with the entry it is of: a cell can't hold a large list."""
    offered = rows(folder / "issued offered.csv")
    assert [(row["seq"], row["job"], row["line"], row["code"], row["total"]) for row in offered] == [
        ("1", "117", "1", "good", "107.00"),
        ("4", "118", "1", "good", "107.00"),
    ]
    assert json.loads(offered[0]["extras"]) == ["BELT"]


def test_a_table_of_the_files(folder: Path) -> None:
    """Which entries name each, and where its bytes are."""
    kept = {row["sha256"]: row for row in rows(folder / "files.csv")}
    row = kept[hashlib.sha256(b"the first workbook").hexdigest()]
    assert (row["name"], row["size"], row["entries"]) == ("job.xlsx", "18", "1")
    assert (folder / row["file"]).read_bytes() == b"the first workbook"


def test_a_ledger_made_anew_from_its_export(address: str, tmp_path: Path) -> None:
    """Nothing is missing: the chain ends with the same hash and every job stands the same."""
    with open_ledger(address) as ledger:
        season(ledger)
        add(ledger, noted("=1+1; 'quoted', \n ünd \u2028 so on"), noted("'"), noted(""))
        add_issued(ledger, b"'third", job="'=job 3 \u00e4")
    assert wrong_after(address, tmp_path) == []


@pytest.mark.parametrize("name", ["\u7dda" * 84, "\U0001f527" * 63, "\u00e4" * 120 + ".xlsx"])
def test_names_as_long_as_a_disk_bears(ledger: Ledger, tmp_path: Path, name: str) -> None:
    """Its own digits come before the name: a name of 255 bytes would be one too long."""
    with ledger.writing() as writing:
        writing.append(issued(writing.keep_file(name, b"bytes")))
    export_ledger(ledger, tmp_path / "everything")
    (row,) = rows(tmp_path / "everything" / "files.csv")
    assert row["name"] == name
    assert (tmp_path / "everything" / row["file"]).read_bytes() == b"bytes"


@pytest.mark.parametrize("name", ["../../out.xlsx", "a/b\\c:d.xlsx", "photo \udce4.jpg", "x" * 400, "..", "\n"])
def test_no_name_leaves_the_folder(ledger: Ledger, tmp_path: Path, name: str) -> None:
    with ledger.writing() as writing:
        writing.append(issued(writing.keep_file(name, b"bytes")))
    export_ledger(ledger, tmp_path / "here" / "everything")
    (file,) = (tmp_path / "here" / "everything" / "files").iterdir()
    assert file.read_bytes() == b"bytes"
    assert [path.name for path in (tmp_path / "here").iterdir()] == ["everything"]


def test_never_into_a_folder_that_is_there(ledger: Ledger, tmp_path: Path) -> None:
    (tmp_path / "everything").mkdir()
    with pytest.raises(LedgerFault) as refused:
        export_ledger(ledger, tmp_path / "everything")
    assert refused.value.problem.code == "output-exists"
    assert list((tmp_path / "everything").iterdir()) == []


def test_a_disk_that_fills_up_leaves_no_half_export(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    season(ledger)

    def full(*_: object, **__: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(LedgerFault) as refused:
        export_ledger(ledger, tmp_path / "out" / "everything")
    assert refused.value.problem.code == "ledger-disk"
    assert list((tmp_path / "out").iterdir()) == []


def test_all_files_are_of_one_moment(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry that comes while it is written is in none of the tables, or in all."""
    import quotekit.ledger.export as module

    real = module._write_kind

    def write_kind(ledger: Ledger, path: Path, kind: str) -> None:
        with open_ledger(address) as other:
            add_issued(other, job="121")
        real(ledger, path, kind)

    with open_ledger(address) as ledger:
        season(ledger)
        monkeypatch.setattr(module, "_write_kind", write_kind)
        export_ledger(ledger, tmp_path / "everything")
    told = json.loads((tmp_path / "everything" / "entries.json").read_text(encoding="utf-8"))
    kinds = [entry["kind"] for entry in told]
    for kind in set(kinds):
        assert len(rows(tmp_path / "everything" / f"{kind}.csv")) == kinds.count(kind)
