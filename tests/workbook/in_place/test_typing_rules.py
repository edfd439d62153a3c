"""A cell's own rule for typing, judged without working anything out: yes, no, or not to be told."""

from __future__ import annotations

import pytest

from quotekit.workbook.in_place.contents import CellKind, Content
from quotekit.workbook.in_place.typing_rules import allowed


def said(rule: str, formulas: list[str], kind: CellKind, text: str) -> bool | None:
    """What a rule says; `decimal greaterThan` is its type and operator."""
    of, _, operator = rule.partition(" ")
    about = {"type": of} | ({"operator": operator} if operator else {})
    return allowed(about, formulas, Content(kind=kind, text=text))


@pytest.mark.parametrize(
    ("operator", "below", "at", "above"),
    [
        ("equal", False, True, False),
        ("notEqual", True, False, True),
        ("lessThan", True, False, False),
        ("lessThanOrEqual", True, True, False),
        ("greaterThan", False, False, True),
        ("greaterThanOrEqual", False, True, True),
    ],
)
@pytest.mark.parametrize("kind", ["whole", "decimal", "date", "time"])
def test_one_limit(kind: str, operator: str, below: bool, at: bool, above: bool) -> None:
    assert [said(f"{kind} {operator}", ["5"], "number", text) for text in "456"] == [below, at, above]


@pytest.mark.parametrize(("operator", "within"), [("between", True), ("notBetween", False), ("", True)])
def test_two_limits(operator: str, within: bool) -> None:
    """Both ends belong to what lies between; without a word it is between."""
    found = [said(f"decimal {operator}".strip(), ["2", "4"], "number", text) for text in ("1", "2", "3", "4", "5")]
    assert found == [not within, within, within, within, not within]


@pytest.mark.parametrize(
    ("rule", "formulas", "kind", "text", "expected"),
    [
        ("whole", ["1", "9"], "number", "2.5", False),
        ("whole", ["1", "9"], "text", "2", False),
        ("decimal", ["1", "9"], "boolean", "1", False),
        ("decimal", ["A1", "9"], "number", "2", None),
        ("decimal", ["1", "MAX(B1:B3)"], "number", "2", None),
        ("decimal", [], "number", "2", None),
        ("decimal", ["1", "NaN"], "number", "2", None),
        ("textLength lessThan", ["3"], "text", "ab", True),
        ("textLength lessThan", ["3"], "text", "abc", False),
        ("list", ['"a,b c,1.50"'], "text", "b c", True),
        ("list", ['"a,b c,1.50"'], "number", "1.5", True),
        ("list", ['"a,b c,1.50"'], "number", "1.6", False),
        ("list", ['"a,b c"'], "text", "B C", False),
        ("list", ['"say ""x"",b"'], "text", 'say "x"', True),
        ("list", ['"TRUE,FALSE"'], "boolean", "1", True),
        ("list", ['"Yes,No"'], "boolean", "1", False),
        ("list", ["$A$1:$A$4"], "text", "a", None),
        ("list", ["Codes"], "text", "a", None),
        ("list", ['"'], "text", "a", None),
        ("list", [], "text", "a", None),
        ("custom", ["A1>3"], "number", "1", None),
        ("none", [], "number", "1", None),
        ("later", ["1"], "number", "1", None),
        ("decimal strange", ["1"], "number", "1", True),
    ],
)
def test_rules(rule: str, formulas: list[str], kind: CellKind, text: str, expected: bool | None) -> None:
    assert said(rule, formulas, kind, text) is expected
