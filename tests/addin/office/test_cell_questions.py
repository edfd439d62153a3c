"""What cells ask, asked together: in messages of a size, kept where the shop book is still the same."""

from __future__ import annotations

import threading
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from quotekit.addin.office import cell_questions
from quotekit.addin.office.cell_answers import Answers
from quotekit.addin.office.cell_questions import FEW, TOGETHER, AskedAhead, question, question_in
from quotekit.addin.office.cell_reasons import Call


class Engine:
    """Answers with the first argument; from the message `ends` on it is gone."""

    def __init__(self) -> None:
        self.messages: list[int] = []
        self.ends = 1000

    def ask_quickly(self, words: dict[str, Any], seconds: float) -> dict[str, Any]:
        assert words["do"] == "functions" and seconds > 1
        self.messages.append(len(words["asked"]))
        if len(self.messages) > self.ends:
            raise OSError("it ended")
        return {"done": {"answers": [{"value": str(one["arguments"][0]), "reading": "2"} for one in words["asked"]]}}


class Desk:
    """What is for the main thread is done when the test says so."""

    def __init__(self) -> None:
        self.come = threading.Event()

    def later(self, work: Callable[[], None]) -> None:
        self.work = work
        self.come.set()

    def do(self) -> None:
        assert self.come.wait(10)
        self.work()


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Engine:
    one = Engine()
    monkeypatch.setattr(cell_questions, "engine", lambda: one)
    return one


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Answers:
    one = Answers()
    monkeypatch.setattr(cell_questions, "ANSWERS", one)
    return one


def calls(answers: Answers, count: int) -> list[Call]:
    """So many cells, each of which has asked."""
    found = [Call("SELLING_PRICE", "doc", (float(number),)) for number in range(count)]
    for call in found:
        answers.of(call)
    return found


def asked(count: int, answers: Answers, meanwhile: Callable[[], None] = lambda: None) -> list[int]:
    """Ask ahead; the cells whose answer is at hand then."""
    desk, ended, ahead = Desk(), threading.Event(), AskedAhead()
    found = calls(answers, count)
    assert ahead.begin(desk, ended.set) and ahead.goes_on  # type: ignore[arg-type]
    meanwhile()
    desk.do()
    assert ended.is_set() and not ahead.goes_on
    told = [answers.of(call) for call in found]
    assert all(one is None or one["done"]["value"] == str(float(at)) for at, one in enumerate(told))
    return [at for at, one in enumerate(told) if one is not None]


def test_all_are_at_hand_after_a_few_messages(engine: Engine, answers: Answers) -> None:
    count = 2 * TOGETHER + 7
    assert asked(count, answers) == list(range(count))
    assert engine.messages == [TOGETHER, TOGETHER, 7]


def test_an_engine_that_ends_meanwhile_leaves_the_rest_to_the_cells(engine: Engine, answers: Answers) -> None:
    engine.ends = 1
    assert asked(3 * TOGETHER, answers) == list(range(TOGETHER))


def test_answers_of_a_book_that_was_changed_again_are_dropped(engine: Engine, answers: Answers) -> None:
    """What came while another copy was given is of the old one."""
    assert asked(TOGETHER, answers, meanwhile=answers.clear) == []


def test_a_few_cells_ask_by_themselves(engine: Engine, answers: Answers) -> None:
    calls(answers, FEW)
    desk: Any = Desk()
    assert not AskedAhead().begin(desk, lambda: None) and engine.messages == []


def test_the_day_that_dates_count_from_goes_with_each_question() -> None:
    """A document says it once; then it is known where there is no document at hand."""
    document = SimpleNamespace(getPropertyValue=lambda name: SimpleNamespace(Year=1904, Month=1, Day=1))
    call = Call("TAX_ON", "of 1904", (100.0, "parts", 44000.0))
    assert question_in(document, call)["day_zero"] == question(call)["day_zero"] == "1904-01-01"
    assert "day_zero" not in question(Call("SELLING_PRICE", "of 1904", (5.5,)))
