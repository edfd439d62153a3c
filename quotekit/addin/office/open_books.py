"""Shop books that are open count as they stand on the screen: a changed price is seen by the cells before it is saved.

A while after the last change to an open shop book the engine is given a copy of it, in the main thread and never
within a recalculation; where that says something new, the engine is asked for the figures of all cells at once, in a
thread, and then the documents that use the functions are calculated again, once nobody is typing in a cell.
Nothing is changed in a document by this: neither its file, nor whether it counts as changed.
"""

from __future__ import annotations

import time
from typing import Any, Dict, List, Optional, Set, Tuple

import unohelper
from com.sun.star.document import XDocumentEventListener
from com.sun.star.lang import DisposedException
from com.sun.star.util import XModifyListener

from .being_typed import is_typing
from .cell_answers import ANSWERS
from .cell_questions import AskedAhead
from .copies import READ_AS_THEY_ARE, Copies, path_of
from .desk import Desk
from .kind_of import BOOK, kind_of
from .pipe import REST_SECONDS, Stopped, Trouble
from .refused_cells import Refused
from .shared_engine import engine
from .timer import after

QUIET_SECONDS, LONGEST_QUIET = 0.5, 10.0
"""How long a document must have been left alone; longer where a copy of it takes long, which holds the office up."""

BOOK_SECONDS = 5.0
"""How long the engine may take to read a copy while the office waits."""

MOST_ROUNDS = 4
"""How often the results of our own recalculation are looked at: then a circle is left alone until somebody types."""

MOST_TRIES = 3
"""How often the engine is told again where it could not be reached."""

_EVENTS = ("OnLoadFinished", "OnLoad", "OnNew", "OnUnload", "OnSaveDone", "OnSaveAsDone")


def document_name(document: Any) -> str:
    """What the engine knows a document by: where it was saved, or else the name it has while it is open."""
    return path_of(document) or f"unsaved:{document.RuntimeUID}"


class OpenBooks:
    """The open documents, once the first cell of one of them asks."""

    def __init__(self) -> None:
        self.desk: Optional[Desk] = None
        self._asking: Set[str] = set()
        self._names: Dict[str, str] = {}
        self._listened: Set[str] = set()
        self._given: Dict[str, Tuple[str, int]] = {}
        self._changed: Set[str] = set()
        self._owed: Set[str] = set()
        self._waiting, self._due = False, 0.0
        self._starts, self._quiet = 0, QUIET_SECONDS
        self._rounds = self._tries = 0
        self._busy = self._others = False
        self._ahead, self._refused = AskedAhead(), Refused(self.calculate_soon)

    def used_by(self, context: Any, document: Any, name: str) -> None:
        """A cell of this document asks. Quick: thousands come one after the other."""
        self._begin(context)
        if name not in self._asking or engine().starts != self._starts:
            self._asking.add(name)
            self._names.setdefault(document.RuntimeUID, name)
            self._starts = engine().starts
            self.look_soon()

    def opened(self, context: Any, document: Any) -> None:
        """A document with cells of ours was opened, and what they show may be old."""
        self._begin(context)
        key = document.RuntimeUID
        self._names.setdefault(key, document_name(document))
        self._owed.add(key)
        self.look_soon()

    def _begin(self, context: Any) -> None:
        if self.desk is None:
            engine().when_ready = self.calculate_soon
            self.desk = Desk(context)
            broadcaster = context.getByName("/singletons/com.sun.star.frame.theGlobalEventBroadcaster")
            broadcaster.addDocumentEventListener(_Opened(self))

    def changed(self, key: str) -> None:
        """Somebody changed a document. What happens to it while we copy or calculate it is no change of theirs."""
        if not self._busy:
            self._changed.add(key)
            self._rounds = 0
            self._refused.new_start()
            self.look_soon(self._quiet)

    def look_soon(self, seconds: float = QUIET_SECONDS) -> None:
        """Look at the open documents once they have been left alone for a while."""
        self._due = time.monotonic() + seconds
        if self.desk is not None and not self._waiting:
            self._waiting = True
            after(self.desk, seconds, self._look_when_quiet)

    def _look_when_quiet(self) -> None:
        rest = self._due - time.monotonic()
        if rest > 0 and self.desk is not None:
            after(self.desk, rest, self._look_when_quiet)
        else:
            self._waiting = False
            self.look()

    def refused(self) -> None:
        """A cell had no answer from the engine: it is asked again when the engine is back."""
        if self.desk is not None:
            self._refused.one(self.desk)

    def calculate_soon(self) -> None:
        """Calculate again, from any thread: cells were refused, and the engine is there now."""
        self._owed.update(self._names)
        self.look_soon()

    def _calculate(self, documents: List[Any]) -> bool:
        """All formulas of the documents that are owed it, and whether there were any; later where somebody types."""
        assert self.desk is not None
        owed = [document for document in documents if document.RuntimeUID in self._owed]
        if owed and any(map(is_typing, documents)):
            self.look_soon()
            return False
        if self._ahead.goes_on or (owed and self._asks_ahead(documents)):
            return False
        self._owed.clear()
        for document in owed:
            ANSWERS.all_ask(document_name(document))
            calculate_again(document)
        return bool(owed)

    def _asks_ahead(self, documents: List[Any]) -> bool:
        """Whether the new figures are asked for first; they are looked at when they are there."""
        assert self.desk is not None
        others, self._others = self._others, False
        ANSWERS.forget([document_name(document) for document in documents])
        return others and self._ahead.begin(self.desk, self.look)

    def look(self) -> None:
        """Give the engine what changed, and recalculate where that matters. In the main thread."""
        assert self.desk is not None
        documents, self._busy = self.desk.documents(), True
        try:
            self._owed |= self._renamed(documents)
            if self._give(documents):
                self._owed.update(self._names)
                self._others = True
            calculated = self._calculate(documents)
        except (Trouble, Stopped, DisposedException):
            self._try_again()
            return
        finally:
            self._busy = False
        self._tries = 0
        if calculated:
            self._look_at_results(documents)

    def _try_again(self) -> None:
        """The engine could not be told, or a document was just closed: a few times more, when cells are heard again."""
        if self._tries < MOST_TRIES:
            self._tries += 1
            self.look_soon(REST_SECONDS + 1)

    def _look_at_results(self, documents: List[Any]) -> None:
        """A shop book may hold cells with the functions: what they came to is new too, and nobody tells of it."""
        own = {document.RuntimeUID for document in documents} & set(self._names)
        again = own & {key for key, _ in self._given.values()}
        if again and self._rounds < MOST_ROUNDS:
            self._rounds += 1
            self._changed |= again
            self.look_soon()

    def _renamed(self, documents: List[Any]) -> Set[str]:
        """Those that have another name than when their cells asked: while a document is loaded it has none yet."""
        found = set()
        for document in documents:
            key, name = document.RuntimeUID, document_name(document)
            if self._names.get(key, name) != name:
                self._names[key] = name
                found.add(key)
        return found

    def _give(self, documents: List[Any]) -> bool:
        news, there = False, set()
        for document in documents:
            key = document.RuntimeUID
            self._listen(document, key)
            if kind_of(document) == BOOK and differs_from_its_file(document):
                name = document_name(document)
                there.add(name)
                if self._given.get(name) != (key, engine().starts) or key in self._changed:
                    news = self._give_copy(document, name) or news
                    self._given[name] = (key, engine().starts)
            self._changed.discard(key)
        for name in set(self._given) - there:
            del self._given[name]
            news = self._ask(name, None) or news
        return news

    def _give_copy(self, document: Any, name: str) -> bool:
        copies, start = Copies(), time.monotonic()
        try:
            copy = copies.of(document)["copy"]
            self._quiet = min(LONGEST_QUIET, max(QUIET_SECONDS, 3 * (time.monotonic() - start)))
            return self._ask(name, copy)
        finally:
            copies.away()

    def _ask(self, name: str, copy: Optional[str]) -> bool:
        words = {"do": "open book", "document": name, "copy": copy}
        answer = engine().ask_quickly(words, BOOK_SECONDS)
        ANSWERS.clear()
        return bool(answer.get("done", {}).get("changed"))

    def _listen(self, document: Any, key: str) -> None:
        if key not in self._listened:
            self._listened.add(key)
            document.addModifyListener(_Changed(self, key))


BOOKS = OpenBooks()
"""Those of this office."""


def differs_from_its_file(document: Any) -> bool:
    """Whether the engine can't read on the disk what is on the screen: changed, never saved, or no .xlsx."""
    return bool(document.isModified()) or not document.getURL().lower().endswith(READ_AS_THEY_ARE)


def calculate_again(document: Any) -> None:
    """All formulas anew; whether the document counts as changed stays."""
    before = document.isModified()
    document.calculateAll()
    if document.isModified() != before:
        document.setModified(before)


class _Changed(unohelper.Base, XModifyListener):
    def __init__(self, books: OpenBooks, key: str) -> None:
        self.books, self.key = books, key

    def modified(self, _: Any) -> None:
        """The document was changed."""
        self.books.changed(self.key)

    def disposing(self, _: Any) -> None:
        """The document is closed."""
        self.books.look_soon()


class _Opened(unohelper.Base, XDocumentEventListener):
    def __init__(self, books: OpenBooks) -> None:
        self.books = books

    def documentEventOccured(self, event: Any) -> None:
        """A document was opened, saved or closed."""
        if event.EventName in _EVENTS:
            self.books.look_soon()

    def disposing(self, _: Any) -> None:
        """The office ends."""
