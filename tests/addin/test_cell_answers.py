"""Answers of cells are kept while the shop book stays the same, and never longer."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.addin.office.cell_answers import HOLDS_SECONDS, MOST, Answers
from quotekit.addin.office.cell_reasons import Call

CALL = Call("SELLING_PRICE", "doc", (6.25,))
OTHER = Call("SELLING_PRICE", "doc", (7.5,))


class Clock:
    now = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def answers(clock: Clock) -> Answers:
    return Answers(clock)


def said(value: str, reading: str | None = "1") -> dict[str, Any]:
    return {"id": 1, "done": {"value": value, **({} if reading is None else {"reading": reading})}}


def test_asked_again_after_a_moment(answers: Answers, clock: Clock) -> None:
    """Within the moment a cell's answer is at hand; after it one cell asks, and then the others' hold again."""
    answers.keep(CALL, said("11.88"))
    assert answers.of(CALL) == said("11.88") and answers.of(OTHER) is None
    clock.now += HOLDS_SECONDS
    assert answers.of(CALL) is None
    answers.keep(OTHER, said("14.25"))
    assert answers.of(CALL) == said("11.88")


def test_another_reading_ends_them(answers: Answers) -> None:
    """The book was saved anew: no answer of the old one is given again."""
    answers.keep(CALL, said("11.88"))
    answers.keep(OTHER, said("15.00", "2"))
    assert answers.of(CALL) is None and answers.of(OTHER) == said("15.00", "2")


def test_without_a_reading_nothing_is_kept(answers: Answers) -> None:
    """No shop book was found, or the request was refused: the next cell asks."""
    answers.keep(CALL, said("11.88"))
    answers.keep(OTHER, {"id": 2, "problems": []})
    assert answers.of(CALL) is None and answers.of(OTHER) is None
    answers.keep(CALL, {"id": 3, "done": {"reason": "no book"}})
    assert answers.of(CALL) is None


def test_documents_and_books_are_kept_apart(answers: Answers) -> None:
    answers.keep(CALL, said("11.88"))
    elsewhere = CALL._replace(document="other")
    assert answers.of(elsewhere) is None and answers.of(CALL._replace(book="b.xlsx")) is None
    answers.keep(elsewhere, said("9.99", "7"))
    assert answers.of(CALL) == said("11.88")


def test_cleared_when_an_open_book_changes(answers: Answers) -> None:
    answers.keep(CALL, said("11.88"))
    answers.clear()
    assert answers.of(CALL) is None


def test_not_too_many(answers: Answers) -> None:
    for number in range(MOST + 5):
        answers.keep(CALL._replace(arguments=(float(number),)), said("1"))
    kept = sum(answers.of(CALL._replace(arguments=(float(number),))) is not None for number in range(MOST + 5))
    assert kept == 5


def test_what_was_asked_is_known_when_the_answers_are_gone(answers: Answers) -> None:
    """Each once, whether it was answered or not: it is asked again together."""
    for call in (CALL, OTHER, CALL):
        answers.of(call)
    answers.keep(CALL, said("11.88"))
    answers.clear()
    assert answers.asked() == [CALL, OTHER] and answers.cleared == 1


def test_what_no_cell_asks_any_more_is_not_asked_again(answers: Answers) -> None:
    """Arguments that were typed over, when all cells were worked out since; documents that were closed."""
    elsewhere = CALL._replace(document="other")
    for call in (CALL, OTHER, elsewhere):
        answers.of(call)
    answers.all_ask("doc")
    answers.of(OTHER)
    assert answers.asked() == [elsewhere, OTHER]
    answers.forget(["doc"])
    assert answers.asked() == [OTHER]
