"""Menu: the entries that are forms. A form finds the shop book, asks the engine for its lists, is filled in, and runs.

A command runs once for a press of its button: until it has answered the button is off. It acts on saved files, so what
is changed and not saved is asked about first. What it says is shown; where it refuses, the form stays.
"""

from __future__ import annotations

import os
from datetime import datetime
from typing import TYPE_CHECKING, Any, Dict, List, Mapping, Optional

from .copies import path_of
from .form_book import BookAside
from .form_fields import Form, changes_book
from .form_files import files_of, of_document
from .form_lists import lists_for
from .form_results import open_file, show_results
from .form_state import FormState
from .form_table import form_named
from .form_window import FormWindow
from .kind_of import BOOK, JOB, kind_of
from .open_files import close_all, open_at
from .plain_words import in_the_way, open_elsewhere, said_plainly
from .question import Answer, ask
from .shop_book_for import ShopBook, with_shop_book
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

OVER = "--replace"
STOPPED = "It was ended before it could tell how it went."
LOOK_FIRST = "It may be recorded or not: look with “{}” before you do it again."
AGAIN = "Do it again: what was begun is finished, and nothing is recorded twice."


def open_form(desk: Desk, name: str, prefilled: Optional[Mapping[str, str]] = None) -> None:
    """Open the form of a name, some of its fields filled in; one without fields runs at once."""
    form, document = form_named(name), desk.document
    if form.wants == "nothing" or document is None:
        _Filling(desk, form, None, document).begin(prefilled or {})
    elif kind_of(document) == BOOK and path_of(document):
        _Filling(desk, form, ShopBook(path_of(document), document), document).begin(prefilled or {})
    else:
        with_shop_book(desk, document, lambda book: _Filling(desk, form, book, document).begin(prefilled or {}))


_records: Dict[str, str] = {}
"""Who records, as last typed; it stands in the next form until the office ends."""


class _Filling:
    """One form from its opening to what its command said."""

    def __init__(self, desk: Desk, form: Form, book: Optional[ShopBook], document: Optional[Any]) -> None:
        self.desk, self.form, self.book, self.document = desk, form, book, document
        self.state = FormState(form, {}, {})
        self.window: Optional[FormWindow] = None
        self._runs = self._ended = False
        """From the press of the button until the answer; and once it is done. A second press then does nothing, however
        it came: by a button that is off already, or by a question that was left open."""
        self._words: List[str] = []
        self._aside, self._hidden = BookAside(desk), False
        """Hidden: the form was closed with the shop book, on whose window it hung; where it is refused it is back."""

    def begin(self, prefilled: Mapping[str, str]) -> None:
        """Gather what can be picked, then show the form."""
        if self.form.wants == "shop" and (self.book is None or not self.book.path):
            tell(
                self.desk, "The shop book was never saved, so its folder is not known.", "Save it, then do this again."
            )
            return
        wanted = lists_for(self.form)
        if not wanted:
            self._open({}, prefilled)
            return
        words = {"do": "lists", "what": wanted, **self._where()}

        def done(answer: Line) -> None:
            if "done" in answer:
                self._open(answer["done"], prefilled)
            else:
                self._tell("\n\n".join(f"{one['message']} {one['remedy']}" for one in answer["problems"]), 1, [])

        self.desk.ask(words, "Looking into the ledger", done, self.document)

    def _open(self, lists: Mapping[str, Any], prefilled: Mapping[str, str]) -> None:
        folder = self._folder()
        now = datetime.now()
        place = {"folder": folder, "today": now.date().isoformat(), "now": f"{now:%H:%M}"}
        if self.book is not None and self.book.path:
            place["book"] = self.book.path
        self.state = FormState(self.form, {**lists, "files": files_of(self.desk, folder)}, place)
        self.state.begin({**_records, **prefilled}, **(of_document(self.document) if self.document is not None else {}))
        if not self.form.fields:
            self._run(self.state.words())
            return
        self._show_form()

    def _show_form(self) -> None:
        self._hidden = False
        self.window = FormWindow(self.desk, self.form, self.state, self._pressed)
        self.window.show_form()

    def _pressed(self) -> None:
        if self.window is None or self._runs:
            return
        self.state.fill_in(self.window.read())
        self.window.refresh()
        wrong = self.state.wrong()
        self.window.say_wrong(wrong)
        if wrong:
            return
        words = self.state.words()
        if self._aside.unsaved(self._changed_book(words), self._title()):
            return
        unsaved = [one for one in self.desk.documents() if one.isModified() and _is_said(path_of(one), words)]
        if unsaved:
            self._ask_to_save(unsaved, words)
        else:
            self._go_on(words)

    def _go_on(self, words: List[str]) -> None:
        """Run it; a shop book that it changes and that is open here is closed for as long, after a yes."""
        book = self._changed_book(words)
        if not self._aside.opened(book):
            self._run(words)
            return

        def closed(documents: List[Any]) -> None:
            if not self._runs and not self._ended and self._aside.close(book, self._title()):
                self.document = None if self.document in documents else self.document
                self.book = ShopBook(book)
                if self.window is not None:
                    self.window.close()
                self.window, self._hidden = None, True
                self._run(words)

        self._aside.ask_to_close(book, self._title(), closed)

    def _changed_book(self, words: List[str]) -> str:
        """The shop book that a command changes; empty for one that changes none."""
        path = self.book.path if self.book is not None else None
        return path or "" if changes_book(self.form, words) else ""

    def _ask_to_save(self, unsaved: List[Any], words: List[str]) -> None:
        names = " and ".join(os.path.basename(path_of(one) or "") for one in unsaved)
        has = "has changes that are" if len(unsaved) == 1 else "have changes that are"
        message = f"{names} {has} not saved. What is recorded is made from the saved file."

        def save() -> None:
            for one in unsaved:
                one.store()
            self._go_on(words)

        ask(self.desk, self._title(), message, [Answer("Save and go on", save)])

    def _run(self, words: List[str]) -> None:
        if self._runs or self._ended:
            return
        self._runs, self._words = True, words
        if self.window is not None:
            self.window.busy(True, "Being done ...")
        _records["recorded-by"] = self.state.values.get("recorded-by", "") or _records.get("recorded-by", "")
        request = {"do": "run", "words": words, **self._where()}
        self.desk.ask(request, self._title(), self._done, self.document, self._stopped)

    def _stopped(self) -> None:
        self._runs = False
        self._open_again()
        if self.window is not None:
            self.window.busy(False)
        if self._hidden:
            self._show_form()
        remedy = LOOK_FIRST.format(self.form.look) if self.form.look else AGAIN
        tell(self.desk, STOPPED, remedy, self._title())

    def _open_again(self) -> None:
        opened = self._aside.open_again()
        self.document = opened if self.document is None and opened is not None else self.document

    def _done(self, answer: Line) -> None:
        self._open_again()
        if "done" not in answer:
            said = "\n\n".join(f"{one['message']}\n{one['remedy']}" for one in answer["problems"])
            self._tell(said, 1, [])
            return
        done: Dict[str, Any] = answer["done"]
        asks = OVER not in self._words if self.form.over else self.form.opens
        there = in_the_way(done["problems"]) if asks else []
        opened = open_at(self.desk, there)
        if there and done["code"] and len(opened) >= len(open_elsewhere(done["problems"])):
            self._ask_to_write_over(there, opened)
            return
        self._tell(done["said"], int(done["code"]), done["files"], done["problems"])

    def _ask_to_write_over(self, there: List[str], opened: List[Any]) -> None:
        """What is in the way was written before; what of it is open here is closed first."""
        self._runs = False
        if self.window is not None:
            self.window.busy(False)
        names = "\n".join(f"    {os.path.basename(path)}" for path in there)
        words = f"There is already:\n{names}\nWrite over? {self.form.loses}".rstrip()
        changed = [str(one.getTitle()) for one in opened if one.isModified()]
        if changed:
            words += f"\n\n{' and '.join(changed)}: open here, with changes that were not saved. They would be lost."

        def yes() -> None:
            self.document = None if self.document in opened else self.document
            close_all(opened)
            self._run([*self._words, OVER] if self.form.over else self._words)

        ask(self.desk, self._title(), words, [Answer("Write over", yes)])

    def _tell(self, said: str, code: int, files: List[str], problems: Optional[List[Dict[str, str]]] = None) -> None:
        self._runs = False
        if self.form.opens and files:
            code = 0
            open_file(self.desk, files[0])
        if code and self._hidden:
            self._show_form()
        if self.window is not None:
            self.window.busy(False, "Not done: see what is said." if code else "")
            if not code:
                self._ended = True
                self.window.close()
                self.window = None
        listed = problems or []
        more = [("List the problems", lambda: self._list(listed))] if self._can_list(listed) else []
        words = said_plainly(said, self.form, files) or "Nothing to tell."
        show_results(self.desk, f"Not done: {self._title()}" if code else self._title(), words, files, more)

    def _can_list(self, problems: List[Dict[str, str]]) -> bool:
        """Whether cells of the workbook in front, or of its shop book, are among the problems: a list jumps to them."""
        known = [path_of(self.document) if self.document is not None else None, self.book.path if self.book else None]
        names = {os.path.basename(path) for path in known if path}
        front = kind_of(self.document) if self.document is not None else ""
        return front in (BOOK, JOB) and any(one["cell"] and one["file"] in names for one in problems)

    def _list(self, problems: List[Dict[str, str]]) -> None:
        from .show_problems import show_problems

        show_problems(self.desk, self.document, self.book if kind_of(self.document) == JOB else None, problems)

    def _where(self) -> Dict[str, Optional[str]]:
        return {"folder": self._folder(), "book": self.book.path if self.book is not None else None}

    def _folder(self) -> str:
        """The shop's folder: that of its shop book; without one that of the workbook in front, or the person's own."""
        beside = self.book.path if self.book is not None else path_of(self.document) if self.document else None
        folder = os.path.dirname(beside or "")
        return folder if os.path.isdir(folder) else os.path.expanduser("~")

    def _title(self) -> str:
        return self.form.title.rstrip(". ")


def _is_said(path: Optional[str], words: List[str]) -> bool:
    """Whether a file is named by a command."""
    return bool(path) and any(word == path or word.endswith(f"={path}") for word in words)
