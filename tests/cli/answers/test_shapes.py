"""Requests whose words are something else than they should be: answered as such, whatever they are."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.addin.office.finding_words import SOMETHING_ELSE
from quotekit.cli.answers import kinds, serve
from quotekit.cli.answers.shapes import SHAPES, is_id, wrong_word

DOCUMENT = {"copy": "/tmp/no such/job.xlsx", "path": "/tmp/no such/job.xlsx"}
GOOD: dict[str, dict[str, Any]] = {
    "check": {"document": DOCUMENT, "book": DOCUMENT},
    "choice": {"document": DOCUMENT, "book": DOCUMENT, "tier": "good", "extras": ["BELT"]},
    "costing": {"document": DOCUMENT, "book": "/tmp/no such/book.xlsx"},
    "explain cell": {"document": DOCUMENT, "book": None, "others": [DOCUMENT], "sheet": "Job", "cell": "B2"},
    "findings": {"document": DOCUMENT, "book": DOCUMENT},
    "function": {"name": "TAX_ON", "arguments": [1, "labour"], "document": "", "book": 5, "day_zero": "1904-01-01"},
    "functions": {"asked": [{}]},
    "lists": {"folder": "/tmp/no such", "book": None, "what": ["jobs"]},
    "measurement": {"finding": {"unit": "mm", "limit": "19.5", "fails_when": "above", "measure": "bore"}},
    "open book": {"document": "Untitled 1", "copy": None},
    "price": {"document": DOCUMENT, "book": DOCUMENT, "token": 1},
    "returned": {"file": "/tmp/no such/quote.xlsx", "jobs": [], "on": "2026-11-28"},
    "run": {"words": ["pay", 117, 60.5], "folder": "/tmp/no such", "book": ""},
}
NOTHING_OF_THE_KIND: dict[str, list[Any]] = {
    "document": [
        5,
        [],
        "x",
        {},
        {"copy": None},
        {"copy": "a\0b"},
        {"copy": "/"},
        {"copy": "a.xlsx", "path": 1},
        "a\0b",
    ],
    "tier": [None, 1, []],
    "extras": ["BELT", [1], {}],
    "others": [1, [1], {}],
    "sheet": [None, 3],
    "cell": [None, {}],
    "arguments": [None, "1", {"a": 1}],
    "day_zero": ["yesterday", 5],
    "asked": [None, [1]],
    "folder": [None, 1, "\ud800"],
    "what": [None, "jobs", [[]]],
    "finding": [None, [], {"limit": "wide"}, {"limit": "NaN"}, {"unit": 1}],
    "token": ["1", [], 1.5],
    "file": [None, "", "/"],
    "on": ["soon", 1],
    "words": [None, "pay", [None], [["pay"]]],
}


def test_every_kind_has_its_shape() -> None:
    assert set(SHAPES) == set(kinds.QUICK | kinds.ACTIONS) == set(GOOD)


@pytest.mark.parametrize("kind", GOOD)
def test_what_the_extension_sends_fits(kind: str) -> None:
    assert wrong_word(kind, GOOD[kind]) is None


def test_the_extensions_own_finding_fits() -> None:
    """Something that is not in the list."""
    assert wrong_word("measurement", {"finding": SOMETHING_ELSE}) is None


def wrong_requests() -> list[tuple[str, str, Any]]:
    """Every kind with each of its words being something else."""
    return [
        (kind, word, value)
        for kind, words in GOOD.items()
        for word in words
        for value in NOTHING_OF_THE_KIND.get(word, [])
        if (kind, word) not in {("function", "document"), ("open book", "document")} or value == "a\0b"
    ]


@pytest.mark.parametrize(("kind", "word", "value"), wrong_requests())
def test_another_is_refused_by_its_word(kind: str, word: str, value: object) -> None:
    """No fault of the program: an extension of another version, so what to do is told."""
    line = json.dumps({"id": 7, "do": kind, **GOOD[kind], word: value}).encode()
    (told,) = answers(line)
    assert told["id"] == 7
    (problem,) = told["problems"]
    assert problem["code"] == "unknown-request" and repr(word) in problem["message"]
    assert "quotekit addin install" in problem["remedy"]


def answers(*requests: bytes) -> list[dict[str, Any]]:
    """What is answered, the greeting left out; each line is JSON as the standard has it."""
    back = io.BytesIO()
    serve.serve(io.BytesIO(b"".join(line + b"\n" for line in requests)), back)
    lines = [json.loads(line, parse_constant=pytest.fail) for line in back.getvalue().splitlines()]
    return [line for line in lines[1:] if "step" not in line]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters(categories=None), max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=120, deadline=None)
@given(kind=st.sampled_from([*kinds.QUICK, "check", "costing", "returned", "dance"]), data=st.data())
def test_whatever_is_asked_is_answered_once(kind: str, data: st.DataObject) -> None:
    """Any JSON under any word, and as the id: one answer, that is JSON itself, and no fault."""
    words = list(GOOD.get(kind, {"a": 1}))
    changed = data.draw(st.dictionaries(st.sampled_from([*words, "id"]), JSON, max_size=3))
    (told,) = answers(json.dumps({"id": 1, "do": kind} | GOOD.get(kind, {}) | changed).encode())
    assert not [one for one in told.get("problems", []) if one["code"] == "quotekit-fault"], told


@pytest.mark.parametrize("kind", ["choice", "findings", "price"])
def test_no_shop_book_where_one_is_needed(kind: str) -> None:
    (told,) = answers(json.dumps({"id": 1, "do": kind} | GOOD[kind] | {"token": None, "book": None}).encode())
    assert [problem["code"] for problem in told["problems"]] == ["unknown-request"]


@pytest.mark.parametrize("named", ["/", ".", "..", "~", "a/b/c", "x" * 300, "C:\\"])
def test_a_cell_that_names_no_shop_book(named: str) -> None:
    """Typed by a person as the last argument of a function: a reason, as for any name that is not there."""
    words = {"name": "TAX_ON", "arguments": [1, "labour"], "document": "/tmp/no such/sheet.xlsx", "book": named}
    (told,) = answers(json.dumps({"id": 1, "do": "function"} | words).encode())
    assert "There is no shop book" in told["done"]["reason"]


@pytest.mark.parametrize(
    ("value", "fits"),
    [(None, True), (5, True), ("a", True), (1.5, True), (float("nan"), False), (float("inf"), False), ([], False)],
)
def test_what_an_answer_can_carry(value: object, fits: bool) -> None:
    assert is_id(value) is fits


def test_an_input_that_is_closed_is_an_end() -> None:
    """Nothing is asked, nothing is answered, nothing is said."""
    command = [sys.executable, "-m", "quotekit", "answer"]
    done = subprocess.run(command, preexec_fn=lambda: os.close(0), capture_output=True, timeout=60)
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")
