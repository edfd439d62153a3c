"""Recording and writing as one step: neither stands without the other, whatever goes wrong between."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.cli import carry_out as module
from quotekit.cli.carry_out import Decision, Outcome, carry_out
from quotekit.cli.output_files import WriteTo, check_targets
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Draft, Written
from quotekit.problems import Place, error, warning
from tests.ledger.drafts import issued, noted, paid
from tests.ledger.test_rows import FILE


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    with open_ledger(tmp_path / "shop ledger.db") as opened:
        yield opened


def write(text: str) -> WriteTo:
    return lambda path: path.write_text(text) and None


def documents(folder: Path) -> Mapping[Path, WriteTo]:
    """Two documents of one folder."""
    return {folder / "a.xlsx": write("A"), folder / "b.xlsx": write("B")}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir()) if folder.exists() else []


def kinds(ledger: Ledger) -> list[str]:
    return [entry.kind for entry in ledger.entries()]


def test_what_has_no_documents_is_recorded(ledger: Ledger) -> None:
    outcome = carry_out(ledger, lambda _: Decision(drafts=[paid(), noted()]))
    assert [entry.kind for entry in outcome.entries] == ["paid", "noted"]
    assert (outcome.files, outcome.already, outcome.refused) == ((), False, False)
    assert kinds(ledger) == ["paid", "noted"]


def test_documents_are_written_and_said_to_be(ledger: Ledger, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    outcome = carry_out(ledger, lambda _: Decision(drafts=[noted()], documents=documents(folder)))
    assert (names(folder), outcome.files) == (["a.xlsx", "b.xlsx"], (folder / "a.xlsx", folder / "b.xlsx"))
    entry, said = ledger.entries()
    assert (said.kind, said.job, said.day, said.who) == ("written", entry.job, entry.day, entry.who)
    body = said.told(Written)
    assert (body.of, body.folder) == (1, str(folder.resolve()))
    assert {one.name: one.sha256 for one in body.documents} == {
        name: hashlib.sha256(text).hexdigest() for name, text in (("a.xlsx", b"A"), ("b.xlsx", b"B"))
    }


def test_files_are_kept_with_the_entry(ledger: Ledger) -> None:
    digest = hashlib.sha256(b"a workbook").hexdigest()
    draft = issued(type(FILE)(name="job.xlsx", sha256=digest))
    carry_out(ledger, lambda _: Decision(drafts=[draft], files=[("job.xlsx", b"a workbook")]))
    assert ledger.file(digest) == b"a workbook"


def test_an_error_stops_everything(ledger: Ledger, tmp_path: Path) -> None:
    problem = error(Place("job.xlsx"), "unknown-job", "No such job.", "Look again.")
    decision = Decision(problems=[problem], drafts=[noted()], documents=documents(tmp_path / "out"))
    outcome = carry_out(ledger, lambda _: decision)
    assert outcome == Outcome(problems=(problem,))
    assert outcome.refused
    assert (kinds(ledger), names(tmp_path / "out")) == ([], [])


def test_a_warning_goes_along(ledger: Ledger) -> None:
    caution = warning(Place("job.xlsx"), "version-of-ledger", "Another version.", "Empty the cell.")
    outcome = carry_out(ledger, lambda _: Decision(problems=[caution], drafts=[noted()]))
    assert (outcome.problems, outcome.refused, kinds(ledger)) == ((caution,), False, ["noted"])


def test_what_is_recorded_already_is_not_recorded_again(ledger: Ledger, tmp_path: Path) -> None:
    (entry,) = carry_out(ledger, lambda _: Decision(drafts=[paid()])).entries
    outcome = carry_out(
        ledger, lambda _: Decision(drafts=[paid()], already=entry, documents=documents(tmp_path / "out"))
    )
    assert (outcome.entries, outcome.already) == ((entry,), True)
    assert (kinds(ledger), names(tmp_path / "out")) == (["paid"], [])


def test_what_was_never_written_out_is_finished(ledger: Ledger, tmp_path: Path) -> None:
    """No second entry, no second number: its documents, and the word that they are there."""
    (entry,) = carry_out(ledger, lambda _: Decision(drafts=[noted()])).entries
    decision = Decision(drafts=[paid()], unfinished=entry, documents=documents(tmp_path / "out"))
    outcome = carry_out(ledger, lambda _: decision)
    assert outcome.entries == (entry,)
    assert (kinds(ledger), names(tmp_path / "out")) == (["noted", "written"], ["a.xlsx", "b.xlsx"])
    assert ledger.entries()[1].told(Written).of == entry.seq


def test_a_document_that_cannot_be_written_leaves_no_entry(ledger: Ledger, tmp_path: Path) -> None:
    def fail(path: Path) -> None:
        path.write_text("half a fi")
        raise OSError(28, "No space left on device", str(path))

    folder = tmp_path / "out"
    with pytest.raises(OSError, match="No space left"):
        carry_out(
            ledger, lambda _: Decision(drafts=[noted()], documents={folder / "a": write("A"), folder / "b": fail})
        )
    assert (kinds(ledger), names(folder)) == ([], [])


def test_an_entry_that_cannot_be_made_leaves_no_document(ledger: Ledger, tmp_path: Path) -> None:
    """A number that is taken: the database refuses the whole step."""
    carry_out(ledger, lambda _: _numbered(tmp_path / "first"))
    with pytest.raises(LedgerFault) as refused:
        carry_out(ledger, lambda _: _numbered(tmp_path / "second"))
    assert refused.value.problem.code == "ledger-refused"
    assert (kinds(ledger), names(tmp_path / "second")) == (["issued", "written"], [])


def _numbered(folder: Path) -> Decision:
    digest = hashlib.sha256(b"a workbook").hexdigest()
    draft = issued(type(FILE)(name="job.xlsx", sha256=digest), number=1)
    return Decision(drafts=[draft], files=[("job.xlsx", b"a workbook")], documents=documents(folder))


def test_documents_that_cannot_take_their_place_are_told_with_what_is_recorded(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(module, "put_in_place", refuse)
    with pytest.raises(LedgerFault) as refused:
        carry_out(ledger, lambda _: Decision(drafts=[noted()], documents=documents(tmp_path / "out")))
    problem = refused.value.problem
    assert (problem.code, str(problem.place)) == ("disk", str(tmp_path / "out"))
    assert "It is recorded" in problem.message and "Permission denied" in problem.message
    assert (kinds(ledger), names(tmp_path / "out")) == (["noted"], [])


def test_it_is_alone_while_it_decides_and_writes(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    """So that what it saw still holds when it writes."""
    monkeypatch.setattr("quotekit.ledger.alone.PATIENCE", 0.1)
    path = ledger.address.path
    assert path is not None

    def decide(_: Ledger) -> Decision:
        with open_ledger(path) as other, pytest.raises(LedgerFault) as refused, other.alone():
            pytest.fail("two decided at once")
        assert refused.value.problem.code == "ledger-busy"
        return Decision(drafts=[noted()])

    carry_out(ledger, decide)
    with open_ledger(path) as other, other.alone():
        assert kinds(other) == ["noted"]


def test_a_decision_that_fails_lets_go(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    def decide(_: Ledger) -> Decision:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        carry_out(ledger, decide)
    monkeypatch.setattr("quotekit.ledger.alone.PATIENCE", 0.1)
    carry_out(ledger, lambda _: Decision(drafts=[noted()]))
    assert kinds(ledger) == ["noted"]


class Ahead:
    """A decision that hangs on the last entry of job 117; it says how often it was made, and who else records."""

    def __init__(self, folder: Path, *, first: Callable[[Ledger], None] | None = None) -> None:
        self.folder, self.first, self.decided = folder, first, 0
        self.written: list[str] = []

    def hangs_on(self, ledger: Ledger) -> int:
        return ledger.last_seq("117")

    def decide(self, ledger: Ledger) -> Decision:
        """Its document tells the last entry that was seen."""
        self.decided += 1
        text = f"after entry {ledger.last_seq('117')}"
        draft = replace(issued(type(FILE)(name="job.xlsx", sha256=DIGEST)), number=None)
        kept = [("job.xlsx", b"a workbook")]
        return Decision(
            drafts=[draft], files=kept, documents={self.folder / "a.xlsx": self._write(text)}, numbered=True
        )

    def _write(self, text: str) -> WriteTo:
        def write_to(path: Path) -> None:
            self.written.append(text)
            path.write_text(text)
            if self.decided == 1 and self.first is not None:
                with open_ledger(self.folder.parent / "shop ledger.db") as other:
                    self.first(other)

        return write_to


DIGEST = hashlib.sha256(b"a workbook").hexdigest()


def test_documents_are_laid_out_before_others_have_to_wait(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another command gets its turn while they are written; the decision is made once."""
    monkeypatch.setattr("quotekit.ledger.alone.PATIENCE", 0.1)
    ahead = Ahead(tmp_path / "out", first=lambda other: record(other, noted(job="118")))
    outcome = carry_out(ledger, ahead.decide, hangs_on=ahead.hangs_on)
    assert (ahead.decided, ahead.written, outcome.entries[0].number) == (1, ["after entry 0"], 1)
    assert kinds(ledger) == ["noted", "issued", "written"]


def test_what_was_recorded_meanwhile_is_decided_again(ledger: Ledger, tmp_path: Path) -> None:
    """The first documents are never seen, and nothing of them is left."""
    ahead = Ahead(tmp_path / "out", first=lambda other: record(other, noted(job="117")))
    carry_out(ledger, ahead.decide, hangs_on=ahead.hangs_on)
    assert (ahead.decided, ahead.written) == (2, ["after entry 0", "after entry 1"])
    assert names(tmp_path / "out") == ["a.xlsx"]
    assert (tmp_path / "out" / "a.xlsx").read_text() == "after entry 1"
    assert kinds(ledger) == ["noted", "issued", "written"]


def test_a_number_is_given_as_it_is_recorded(ledger: Ledger, tmp_path: Path) -> None:
    """So that a quote of another job, issued meanwhile, takes no number away and leaves no gap."""

    def issue_another(other: Ledger) -> None:
        draft = issued(type(FILE)(name="job.xlsx", sha256=DIGEST), job="118", number=1)
        carry_out(other, lambda _: Decision(drafts=[draft], files=[("job.xlsx", b"a workbook")]))

    ahead = Ahead(tmp_path / "out", first=issue_another)
    (entry,) = carry_out(ledger, ahead.decide, hangs_on=ahead.hangs_on).entries
    assert (ahead.decided, entry.number) == (1, 2)
    assert [one.number for one in ledger.entries(kinds=("issued",))] == [1, 2]


def test_a_file_that_came_into_the_place_meanwhile_is_seen(ledger: Ledger, tmp_path: Path) -> None:
    """It is decided again, and the decision says what is in the way."""
    target = tmp_path / "out" / "a.xlsx"

    def put_there(_: Ledger) -> None:
        target.write_text("the owner's")

    ahead = Ahead(tmp_path / "out", first=put_there)

    def decide(held: Ledger) -> Decision:
        decision = ahead.decide(held)
        found = check_targets(decision.documents, [], replace=False)
        return replace(decision, problems=found)

    outcome = carry_out(ledger, decide, hangs_on=ahead.hangs_on)
    assert [problem.code for problem in outcome.problems] == ["output-exists"]
    assert (kinds(ledger), target.read_text()) == ([], "the owner's")


@pytest.mark.parametrize(
    "decision",
    [
        Decision(problems=[error(Place("job.xlsx"), "unknown-job", "No such job.", "Look again.")]),
        Decision(drafts=[noted()]),
    ],
    ids=["refused", "without documents"],
)
def test_without_documents_it_is_decided_once(ledger: Ledger, decision: Decision) -> None:
    decided: list[int] = []

    def decide(held: Ledger) -> Decision:
        decided.append(held.last_seq())
        return decision

    outcome = carry_out(ledger, decide, hangs_on=Ledger.last_seq)
    assert (decided, outcome.problems, kinds(ledger)) == (
        [0],
        tuple(decision.problems),
        ["noted"] * bool(decision.drafts),
    )


def record(ledger: Ledger, draft: Draft) -> None:
    """Another command's entry."""
    carry_out(ledger, lambda _: Decision(drafts=[draft]))
