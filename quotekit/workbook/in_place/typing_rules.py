"""A cell's own rule for typing (data validation), as far as it can be judged without working anything out."""

from __future__ import annotations

from decimal import Decimal

from quotekit.workbook.in_place.contents import Content
from quotekit.workbook.xml_parts import Attributes

_QUANTITIES = ("whole", "decimal", "date", "time", "textLength")


def allowed(about: Attributes, formulas: list[str], content: Content) -> bool | None:
    """Whether a rule lets a value through; None where that would have to be worked out.

    >>> rule = {"type": "decimal", "operator": "greaterThan"}
    >>> allowed(rule, ["0"], Content(kind="number", text="-1")), allowed(rule, ["A1"], Content(kind="number", text="1"))
    (False, None)
    >>> allowed({"type": "list"}, ['"Yes,No"'], Content(kind="text", text="perhaps"))
    False
    """
    kind = about.get("type", "none")
    if kind == "list":
        return _listed(formulas[0], content) if formulas else None
    if kind not in _QUANTITIES:
        return None
    number = _measured(kind, content)
    limits = [_number(one) for one in formulas]
    if number is None:
        return False
    if kind == "whole" and number != number.to_integral_value():
        return False
    known = [one for one in limits if one is not None]
    if not limits or len(known) < len(limits):
        return None
    return _within(about.get("operator", "between"), number, known[0], known[-1])


def _listed(formula: str, content: Content) -> bool | None:
    if not (formula.startswith('"') and formula.endswith('"')) or len(formula) < 2:
        return None
    words = [word.strip() for word in formula[1:-1].replace('""', '"').split(",")]
    numbers = {_number(word) for word in words} - {None}
    return str(content) in words or (content.kind == "number" and _number(content.text) in numbers)


def _measured(kind: str, content: Content) -> Decimal | None:
    if kind == "textLength":
        return Decimal(len(content.text))
    return _number(content.text) if content.kind == "number" else None


def _number(text: str) -> Decimal | None:
    try:
        found = Decimal(text.strip())
    except ArithmeticError:
        return None
    return found if found.is_finite() else None


def _within(operator: str, number: Decimal, low: Decimal, high: Decimal) -> bool:
    return {
        "between": low <= number <= high,
        "notBetween": not low <= number <= high,
        "equal": number == low,
        "notEqual": number != low,
        "lessThan": number < low,
        "lessThanOrEqual": number <= low,
        "greaterThan": number > low,
        "greaterThanOrEqual": number >= low,
    }.get(operator, True)
