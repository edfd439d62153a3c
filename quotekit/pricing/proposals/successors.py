"""Which number of a list takes the place of another: superseded numbers followed to the end of the line.

A number is superseded where the row that counts says so, or, where none counts, where all its rows that have no cost or
have ended name the same one. The line is followed as long as the list knows the next number; a line that comes back to
itself has no end, and then nothing is followed. Source: shop policy.

Worked example: 100 says 100-A, and 100-A says 100-B: the end of 100 is 100-B. 7 says 8 and 8 says 7: none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from quotekit.model.price_list import Fate, FoundPrice

Found = Mapping[str, FoundPrice]

_SPEAKS: frozenset[Fate] = frozenset({"no cost", "zero cost", "ended"})
"""Fates of rows that do not count and still may say what takes the number's place."""


def next_number(found: FoundPrice | None) -> str:
    """The number that takes the place of one; empty where none does."""
    if found is None or found.how not in ("exact", "no price"):
        return ""
    if found.price is not None:
        return found.price.superseded_by.strip()
    named = {row.superseded_by.strip() for row in found.rows if row.fate in _SPEAKS}
    return named.pop() if len(named) == 1 else ""


def not_looked_up(found: Found) -> list[str]:
    """Numbers that take the place of others and were not asked for yet; ask until there are none."""
    named = dict.fromkeys(next_number(each) for each in found.values())
    return [number for number in named if number and number not in found]


def end_of_line(number: str, found: Found) -> str | None:
    """The last number of the line, which may be the number itself; None where it goes in a circle."""
    passed = {number}
    while following := next_number(found.get(number)):
        if following in passed:
            return None
        passed.add(following)
        number = following
    return number


def leads_to(code: str, target: str, replaced_by: Mapping[str, str | None]) -> bool:
    """True where the shop book's own line of `Replaced by` from a code comes to the target.

    >>> leads_to("A", "C", {"A": "B", "B": "C", "C": None}), leads_to("C", "A", {"A": "B", "B": "C", "C": None})
    (True, False)
    """
    at: str | None = code
    passed: set[str] = set()
    while at is not None and at not in passed:
        if at == target:
            return True
        passed.add(at)
        at = replaced_by.get(at)
    return False


def only_once(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Codes by number, without numbers that stand beside several codes: those mean no part for sure.

    >>> only_once([("7", "A"), ("8", "B"), ("8", "C")])
    {'7': 'A'}
    """
    found: dict[str, set[str]] = {}
    for number, code in pairs:
        found.setdefault(number, set()).add(code)
    return {number: codes.copy().pop() for number, codes in found.items() if number and len(codes) == 1}


def kit_in_kit(
    code: str, target: str, contents: Mapping[str, Iterable[str]], replaced_by: Mapping[str, str | None]
) -> bool:
    """True where the target, or what takes its place in turn, is a kit, and a kit contains what the code stands for.

    What a kit within a kit holds could not be taken off a quote, and the shop book refuses it.

    Parameters
    ----------
    contents
        What each kit contains, by its code; parts that are no kits are not there.
    replaced_by
        The shop book's own line of `Replaced by`.

    >>> kit_in_kit("SEAL", "SEAL-KIT", {"HUB-KIT": ["SEAL"], "SEAL-KIT": ["O-RING"]}, {"SEAL": None, "SEAL-KIT": None})
    True
    """
    held = {part for parts in contents.values() for part in parts}
    if not any(leads_to(part, code, replaced_by) for part in held):
        return False
    return any(leads_to(target, kit, replaced_by) for kit in contents)
