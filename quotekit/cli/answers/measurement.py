"""Request `measurement`: what a measurement says, while it is typed: on its limit it passes (DESIGN.md 5.1)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from quotekit.cli.answers.request import Words

_NUMBER = re.compile(r"[-+]?[0-9]{1,12}(?:[.,][0-9]{1,12})?")
_COULD_BE_THOUSANDS = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")


def answer(words: Words) -> dict[str, Any]:
    """`{"measured", "unit", "finding": {...}}`, all texts, gives the number, whether it passes, and that in words.

    The finding is as `findings` gives it. `number` is null where none is typed, or where what is typed is no number.
    """
    typed, unit, finding = str(words.get("measured", "")).strip(), str(words.get("unit", "")).strip(), words["finding"]
    if not typed:
        return _said(None, None, _unmeasured(finding))
    number = typed_number(typed)
    if number is None:
        return _said(None, None, f"{typed[:40]} is no plain number. {_suggestion(typed)}".strip(), bad=True)
    try:
        return _judged(number, unit, finding)
    except ValueError as fault:
        wanted = finding["unit"]
        return _said(number, None, f"{unit} can't be converted to {wanted}, the unit of the limit ({fault}).", bad=True)


def typed_number(text: str) -> Decimal | None:
    """A number as a person types it, with a point or a comma; one that could be thousands is none.

    >>> typed_number("0.742"), typed_number("18,9"), typed_number("1,250"), typed_number("3/4")
    (Decimal('0.742'), Decimal('18.9'), None, None)
    """
    plain = text.strip()
    if _NUMBER.fullmatch(plain) is None or _COULD_BE_THOUSANDS.fullmatch(plain):
        return None
    return Decimal(plain.replace(",", "."))


def _suggestion(typed: str) -> str:
    from quotekit.workbook.number_text import suggest_number

    return suggest_number(typed, "number")


def _judged(number: Decimal, unit: str, finding: Mapping[str, str]) -> dict[str, Any]:
    from quotekit.workbook.measurement import far_off, in_unit, judge

    wanted = finding["unit"] or unit
    limit = in_unit(Decimal(finding["limit"]), wanted, wanted) if finding["limit"] else None
    measured = in_unit(number, unit or wanted, wanted)
    fails_when: Any = finding["fails_when"] or None
    passes = judge(measured, limit, fails_when)
    said = _verdict(passes, finding)
    if far_off(measured, limit):
        said += " That is more than ten times off: check the number and its unit."
    return _said(number, passes, said)


def _verdict(passes: bool | None, finding: Mapping[str, str]) -> str:
    limit = f"{finding['limit']} {finding['unit']}".strip()
    if passes is None:
        return "The shop book has no limit for it: it counts as a fault, by eye."
    if passes:
        return f"Passes: the limit is {limit}. It is listed to watch and not priced."
    return f"Fails: it is {finding['fails_when']} {limit}."


def _unmeasured(finding: Mapping[str, str]) -> str:
    if not finding["measure"]:
        return "Nothing is measured: it counts as a fault, by eye."
    return "Not measured yet: it counts as a fault, by eye."


def _said(number: Decimal | None, passes: bool | None, said: str, *, bad: bool = False) -> dict[str, Any]:
    return {"number": None if number is None else f"{number:f}", "passes": passes, "said": said, "bad": bad}
