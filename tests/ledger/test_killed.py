"""A command killed at any moment: a small run of `python -m tests.ledger.killed`, and each step of issuing once."""

from __future__ import annotations

import hashlib
import os
import signal
import tempfile
from pathlib import Path

import pytest

from quotekit.cli import carry_out, output_files
from quotekit.ledger.ledger import Ledger
from quotekit.model.entries import Issued, Written
from quotekit.model.entries import Paid as PaidBody
from tests.ledger import killed
from tests.ledger.drafts import add, paid


@pytest.fixture
def shop(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> killed.Shop:
    """A shop on either database."""
    made = killed.Shop(address, tmp_path)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    return made


def test_commands_killed_at_random(address: str, tmp_path: Path) -> None:
    """Three of them; with the script 200 were killed on each database (DEVELOPERS.md)."""
    report = killed.kill_many(address, tmp_path, kills=3, seed=7, verbs=("issue", "accept"))
    assert report.wrong == []
    assert report.killed == 3


def issue_stopped_at(shop: killed.Shop, moment: str) -> None:
    """Issue in a child that ends at the moment with all it did left as it is."""
    process = killed.child(shop.words("issue"), lambda: _patch(moment))
    assert killed.ended(process) is False


def _patch(moment: str) -> None:
    def die(*_: object, **__: object) -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    real = os.replace

    def replace(source: Path, target: Path) -> None:
        if target.parent.name == "out" and (moment == "after the entry" or "costing" in target.name):
            die()
        real(source, target)

    if moment == "before the entry":
        carry_out._record = die  # type: ignore[assignment]
    elif moment == "after both documents":
        carry_out._say_written = die  # type: ignore[assignment]
    else:
        output_files.os.replace = replace  # type: ignore[assignment]


@pytest.mark.parametrize(
    ("moment", "kinds", "documents"),
    [
        ("before the entry", [], 0),
        ("after the entry", ["issued"], 0),
        ("after one document", ["issued"], 1),
        ("after both documents", ["issued"], 2),
    ],
)
def test_issuing_killed_at_each_step(shop: killed.Shop, moment: str, kinds: list[str], documents: int) -> None:
    """Run again it finishes what was recorded: one version, one number, two documents, nothing else."""
    issue_stopped_at(shop, moment)
    assert [entry.kind for entry in shop.entries()] == kinds
    assert len(list(shop.out.glob("*.xlsx"))) == documents
    assert len(list(shop.out.glob(".quotekit-*"))) == 1  # the next command clears it away
    assert killed.wrong_after_kill(shop) == []
    assert killed.run(shop.words("issue")) == 0
    entries = shop.entries()
    assert [(entry.kind, entry.version, entry.number) for entry in entries] == [("issued", 1, 1), ("written", 1, None)]
    assert sorted(path.name for path in shop.out.iterdir()) == ["K-1-1 costing.xlsx", "K-1-1 quote.xlsx"]
    assert killed.wrong_after_kill(shop) == []


def test_what_is_finished_is_what_was_recorded(shop: killed.Shop) -> None:
    """The fingerprint that was recorded is that of the quote that was written after all."""
    from quotekit.workbook.read_returned import read_quote

    issue_stopped_at(shop, "after the entry")
    killed.run(shop.words("issue"))
    issued, written = shop.entries()
    returned, problems = read_quote(shop.out / "K-1-1 quote.xlsx")
    assert returned is not None and problems == []
    assert returned.marks[0] == issued.told(Issued).fingerprint
    assert {one.name for one in written.told(Written).documents} == {"K-1-1 quote.xlsx", "K-1-1 costing.xlsx"}


def test_a_changed_job_is_a_new_version(shop: killed.Shop) -> None:
    """What was recorded and never handed over stays recorded; it is not finished with other content."""
    from tests.cli.small_shop import job, write_book

    issue_stopped_at(shop, "after the entry")
    sheets = job([("WORN", "left", 0.761)])
    sheets["Job"][1] = ["Job number", shop.job]
    write_book(shop.workbook, sheets)
    assert killed.run(shop.words("issue")) == 0
    assert [(entry.kind, entry.version) for entry in shop.entries()] == [("issued", 1), ("issued", 2), ("written", 2)]
    assert sorted(path.name for path in shop.out.iterdir()) == ["K-1-2 costing.xlsx", "K-1-2 quote.xlsx"]


def test_money_that_came_in_meanwhile_is_a_new_version(shop: killed.Shop) -> None:
    """The quote would say another sum paid than the one that was recorded: its fingerprint would be another."""
    from quotekit.ledger.open_ledger import open_ledger

    issue_stopped_at(shop, "after the entry")
    with open_ledger(shop.address) as ledger:
        add(ledger, paid("20.00", job=shop.job))
    assert killed.run(shop.words("issue")) == 0
    kinds = [(entry.kind, entry.version) for entry in shop.entries()]
    assert kinds == [("issued", 1), ("paid", None), ("issued", 2), ("written", 2)]
    assert shop.entries()[1].told(PaidBody).amount == 20


def test_the_disks_of_document_and_ledger_agree_after_a_power_cut(
    shop: killed.Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Documents are on the disk before their entry is, and their names before the entry that says they are there."""
    from quotekit.ledger import hidden_folder

    told: list[str] = []
    real_keep, real_writing = hidden_folder.keep_on_disk, Ledger.writing

    def keep(path: Path) -> None:
        told.append("folder" if path.is_dir() else path.suffix)
        real_keep(path)

    def writing(self: Ledger) -> object:
        told.append("entry")
        return real_writing(self)

    monkeypatch.setattr(hidden_folder, "keep_on_disk", keep)
    monkeypatch.setattr(Ledger, "writing", writing)
    assert killed.run(shop.words("issue")) == 0
    assert told == [".xlsx", ".xlsx", "entry", "folder", "entry"]


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda out: (out / "K-9-1 quote.xlsx").write_bytes((out / "K-1-1 quote.xlsx").read_bytes()), "without an"),
        (lambda out: (out / "K-1-1 quote.xlsx").write_bytes(b"PK half"), "is half a document"),
        (lambda out: (out / "K-1-1 quote.xlsx").unlink(), "is missing, though recorded"),
        (
            lambda out: (out / "K-1-1 quote.xlsx").write_bytes((out / "K-1-1 costing.xlsx").read_bytes()),
            "is not what was recorded",
        ),
    ],
)
def test_what_may_not_be_is_found(tmp_path: Path, spoil: object, words: str) -> None:
    """Else a run could not fail."""
    shop = killed.Shop(str(tmp_path / "shop ledger.db"), tmp_path)
    assert killed.run(shop.words("issue")) == 0
    assert killed.wrong_after_kill(shop) == []
    spoil(shop.out)  # type: ignore[operator]
    assert any(words in line for line in killed.wrong_after_kill(shop))


def test_a_command_has_as_many_steps_each_time(tmp_path: Path) -> None:
    """So a step can be drawn: and there are dozens of them."""
    shop = killed.Shop(str(tmp_path / "shop ledger.db"), tmp_path)
    killed.run(shop.words("issue"))
    shop.new_job()
    first = killed.steps_of(shop.words("issue"))
    shop.new_job()
    assert killed.steps_of(shop.words("issue")) == first > 40


def test_the_version_of_the_ledger_is_the_one_in_the_documents(shop: killed.Shop) -> None:
    killed.run(shop.words("issue"))
    killed.run(shop.words("issue"))
    versions = [entry.version for entry in shop.entries() if entry.kind == "issued"]
    assert versions == [1, 2]
    digests = {hashlib.sha256(path.read_bytes()).hexdigest() for path in shop.out.glob("* quote.xlsx")}
    assert len(digests) == 2
