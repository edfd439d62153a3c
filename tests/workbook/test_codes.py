"""Codes compare without case; an unknown one is told with the nearest, quickly even when there are thousands."""

from __future__ import annotations

import pytest

from quotekit.problems import Place
from quotekit.workbook.codes import Codes, codes_of, resolve

PLACE = Place("prices.xlsx", "Parts used", "B2")
PARTS = codes_of("Parts", ["BUSHING", "0417", "Belt-5"])
WORK = codes_of("Operations", ["BUSHING", "TEST"])


@pytest.mark.parametrize(("typed", "found"), [("bushing", "BUSHING"), ("BELT-5", "Belt-5"), ("0417", "0417")])
def test_a_code_takes_the_defining_spelling(typed: str, found: str) -> None:
    assert resolve(typed, [PARTS], PLACE) == (found, None)


@pytest.mark.parametrize(
    ("typed", "among", "code", "remedy"),
    [
        ("417", [PARTS], "lost-leading-zeros", "Format the cell as text and type 0417."),
        ("00417", [PARTS], "lost-leading-zeros", "Format the cell as text and type 0417."),
        ("BUSHIN", [PARTS], "unknown-code", "Did you mean BUSHING?"),
        ("9", [PARTS], "unknown-code", "Use a code of Parts, or add it there."),
        ("bushing", [PARTS, WORK], "ambiguous-code", "Give one of them another code."),
    ],
)
def test_a_code_that_leads_nowhere(typed: str, among: list[Codes], code: str, remedy: str) -> None:
    found, problem = resolve(typed, among, PLACE)
    assert found is None and problem is not None
    assert (problem.code, problem.remedy, problem.text) == (code, remedy, typed)


def test_nothing_is_said_of_a_code_whose_row_has_an_error() -> None:
    assert resolve("belt", [codes_of("Parts", [], lost=frozenset({"belt"}))], PLACE) == (None, None)


def test_free_text_learns_each_spelling() -> None:
    suppliers = Codes(sheet="Suppliers", free=True)
    assert [suppliers.find(name) for name in ("North", "NORTH", "South")] == ["North", "North", "South"]


def test_only_the_first_hundred_unknown_codes_get_a_suggestion() -> None:
    """A wrong column pasted in gives thousands: looking each up among thousands would take minutes."""
    parts = codes_of("Parts", [f"PX-{number}" for number in range(20_000)])
    told = [resolve(f"PX-{number}Z", [parts], PLACE)[1] for number in range(2_000)]
    assert sum("Did you mean" in problem.remedy for problem in told if problem is not None) == 100
