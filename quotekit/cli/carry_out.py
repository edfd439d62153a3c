"""Records something and writes its documents, so that neither stands without the other.

One command at a time: it holds the ledger while it looks at what is there, decides, and writes. Documents are first
written to a hidden folder; then the entry is made in one transaction; then the documents are renamed into their place,
and a second entry, `written`, says so. Killed before the first entry, nothing happened. Killed after it, the same
command finds an entry without `written` and finishes it, with no second number.

Laying out documents takes the longest, and others wait meanwhile. So a command that can say which entries its decision
hangs on decides and lays out before it holds the ledger; once it holds it, it looks whether those entries are still
the last ones, and only where they are not decides again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.output_files import put_in_place, staged_together
from quotekit.problems import has_errors
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.output_files import WriteTo
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Document, Draft, Entry
    from quotekit.problems import Problem


@record
class Decision:
    """What is to be recorded and written, decided while nobody else can record.

    With an error among the problems nothing is. The documents, all in one folder, are those of the first draft, or of
    `unfinished`: an entry made before whose documents never came into their place; then no new entry is made.
    """

    problems: Sequence[Problem] = ()
    drafts: Sequence[Draft] = ()
    files: Sequence[tuple[str, bytes]] = ()
    """Names and bytes of files the ledger keeps; the drafts name them by digest."""
    documents: Mapping[Path, WriteTo] = field(default_factory=dict)
    unfinished: Entry | None = None
    already: Entry | None = None
    """An entry that says the same already, documents and all: nothing is done."""
    numbered: bool = False
    """The drafts take the next running numbers of their kind as they are recorded; no document says them."""


@record
class Outcome:
    """What was recorded and written."""

    problems: tuple[Problem, ...]
    entries: tuple[Entry, ...] = ()
    """Those made now; or the one that was finished, or that was there already."""
    files: tuple[Path, ...] = ()
    already: bool = False

    @property
    def refused(self) -> bool:
        """True where nothing was recorded."""
        return has_errors(self.problems)


def carry_out(
    ledger: Ledger, decide: Callable[[Ledger], Decision], *, hangs_on: Callable[[Ledger], Hashable] | None = None
) -> Outcome:
    """Decide, record, write. Raises LedgerFault or OSError; what was recorded by then is finished by the next run.

    `hangs_on` tells what the decision hangs on in the ledger; with it, `decide` may be called twice.
    """
    if hangs_on is None:
        with ledger.alone():
            return _settle(ledger, decide(ledger))
    with ledger.snapshot():
        seen, ahead = hangs_on(ledger), decide(ledger)
    if not _is_to_be_written(ahead):
        with ledger.alone():
            return _settle(ledger, ahead if hangs_on(ledger) == seen else decide(ledger))
    there = _there(ahead)
    with _staged(ahead) as staged, ledger.alone():
        if (hangs_on(ledger), _there(ahead)) == (seen, there):
            return _record_and_place(ledger, ahead, staged)
        return _settle(ledger, decide(ledger))


def _settle(ledger: Ledger, decision: Decision) -> Outcome:
    """What was decided while nobody else could record."""
    if _is_to_be_written(decision):
        with _staged(decision) as staged:
            return _record_and_place(ledger, decision, staged)
    problems = tuple(decision.problems)
    if has_errors(problems):
        return Outcome(problems=problems)
    if decision.already is not None:
        return Outcome(problems=problems, entries=(decision.already,), already=True)
    return Outcome(problems=problems, entries=_record(ledger, decision))


def _is_to_be_written(decision: Decision) -> bool:
    return bool(decision.documents) and decision.already is None and not has_errors(decision.problems)


def _there(decision: Decision) -> tuple[bool, ...]:
    """Which documents have something in their place."""
    return tuple(target.exists() for target in decision.documents)


@contextmanager
def _staged(decision: Decision) -> Iterator[Mapping[Path, Path]]:
    with staged_together(decision.documents) as staged:
        _on_disk(staged.values())
        yield staged


def _record_and_place(ledger: Ledger, decision: Decision, staged: Mapping[Path, Path]) -> Outcome:
    documents = _digests(staged)
    entries = _record(ledger, decision)
    _put_in_place(staged)
    folder = next(iter(staged)).parent
    _on_disk([folder])
    _say_written(ledger, entries[0], folder, documents)
    return Outcome(problems=tuple(decision.problems), entries=entries, files=tuple(staged))


def _record(ledger: Ledger, decision: Decision) -> tuple[Entry, ...]:
    if decision.unfinished is not None:
        return (decision.unfinished,)
    with ledger.writing() as writing:
        for name, data in decision.files:
            writing.keep_file(name, data)
        return tuple(writing.append(_numbered(ledger, draft, decision)) for draft in decision.drafts)


def _numbered(ledger: Ledger, draft: Draft, decision: Decision) -> Draft:
    return replace(draft, number=ledger.next_number(draft.kind)) if decision.numbered else draft


def _digests(staged: Mapping[Path, Path]) -> tuple[Document, ...]:
    from quotekit.model.entries import Document

    return tuple(
        Document(name=target.name, sha256=hashlib.sha256(finished.read_bytes()).hexdigest())
        for target, finished in staged.items()
    )


def _on_disk(paths: Iterable[Path]) -> None:
    """The ledger's word outlives a power cut, so what it speaks of must be on the disk before."""
    from quotekit.ledger.hidden_folder import keep_on_disk

    for path in paths:
        keep_on_disk(path)


def _put_in_place(staged: Mapping[Path, Path]) -> None:
    """A disk that refuses now is told with what is recorded already."""
    try:
        put_in_place(staged)
    except OSError as raised:
        from quotekit.ledger.fault import fault

        said = raised.strerror or type(raised).__name__
        message = f"It is recorded, but its documents could not take their place. The disk said: {said}."
        remedy = "Make room or change the permission, then run the same command again: no second one is recorded."
        raise fault(str(next(iter(staged)).parent), "disk", message, remedy) from raised


def _say_written(ledger: Ledger, entry: Entry, folder: Path, documents: tuple[Document, ...]) -> None:
    from quotekit.model.entries import Draft, Written

    body = Written(of=entry.seq, folder=str(folder.resolve()), documents=documents)
    draft = Draft(kind="written", job=entry.job, body=body, day=entry.day, who=entry.who, version=entry.version)
    with ledger.writing() as writing:
        writing.append(draft)
