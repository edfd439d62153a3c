"""What a cell asks: a shop book, a day and arguments by name; each is taken as what it must be, or refused.

A blank cell and an argument that was left out are the same, None, and never zero. A number typed as text is refused,
as in the shop book itself: nothing is guessed about money.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from datetime import date
from decimal import Decimal
from difflib import get_close_matches

from quotekit.model.shop_book import ShopBook
from quotekit.record import record

Cell = Decimal | str | bool | date | None
Given = Cell | tuple[tuple[Cell, ...], ...]
"""One cell, or the rows of a range."""

TOO_LARGE = Decimal(10) ** 15
"""A spreadsheet keeps 15 digits: from here on it no longer tells one unit from the next."""

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_YES = frozenset({"yes", "true", "1", "☑"})
_NO = frozenset({"no", "false", "0", "☐"})


@record
class Reason:
    """Why there is no figure, and what to do: two sentences."""

    why: str
    advice: str

    def __str__(self) -> str:
        return f"{self.why} {self.advice}"


class Refused(Exception):
    """Raised inside a function for what a person asked; the door of the functions makes it a value."""

    def __init__(self, why: str, advice: str) -> None:
        self.reason = Reason(why=why, advice=advice)
        super().__init__(why)


@record
class Asked:
    """The arguments of one cell. `day` is today, which the caller gives."""

    book: ShopBook
    day: date
    given: Mapping[str, Given]

    def cell(self, name: str) -> Cell:
        """An argument of one cell; the only cell of a range counts."""
        value = self.given.get(name)
        if isinstance(value, tuple):
            cells = [cell for row in value for cell in row]
            if len(cells) != 1:
                raise Refused(f"The {name} is a range of {len(cells)} cells.", "Give one cell.")
            value = cells[0]
        return None if isinstance(value, str) and not value.strip() else value

    def number(self, name: str, *, above: Decimal | None = None) -> Decimal:
        """A number that must be there, not negative, and above a bound where one is given."""
        value = self.cell(name)
        if value is None:
            raise Refused(f"The {name} is blank.", "A blank is not zero: fill it in.")
        return _within(name, _number(name, value), above)

    def number_or_none(self, name: str, *, above: Decimal | None = None) -> Decimal | None:
        """A number that may be left blank."""
        return None if self.cell(name) is None else self.number(name, above=above)

    def text(self, name: str) -> str:
        """Words as typed, empty where blank; a code typed as a number is read as its digits."""
        return words_of(name, self.cell(name))

    def texts(self, name: str) -> list[str]:
        """The entries of a range, or of a list in one cell separated by `;`; blank ones are left out."""
        value = self.given.get(name)
        cells = [cell for row in value for cell in row] if isinstance(value, tuple) else [value]
        return [entry.strip() for cell in cells for entry in words_of(name, cell).split(";") if entry.strip()]

    def yes(self, name: str) -> bool:
        """Yes or No; blank is No."""
        value = self.cell(name)
        if isinstance(value, bool):
            return value
        word = words_of(name, value).casefold()
        if word not in _YES | _NO | {""}:
            raise Refused(f"{word} is neither Yes nor No.", f"Type Yes or No for {name}.")
        return word in _YES

    def on_day(self, name: str) -> date:
        """A date; blank is today."""
        value = self.cell(name)
        if value is None:
            return self.day
        if isinstance(value, date):
            return value
        words = words_of(name, value)
        if isinstance(value, str) and _DAY.fullmatch(words):
            try:
                return date.fromisoformat(words)
            except ValueError:  # the 31st of a shorter month
                pass
        advice = "Use a cell formatted as a date, or a text like 2026-03-31."
        raise Refused(f"{words} is not a date that can be read one way only.", advice)


def words_of(name: str, value: Cell) -> str:
    """A cell as words; a whole number as its digits."""
    if isinstance(value, Decimal):
        return f"{value.normalize():f}" if abs(value) < TOO_LARGE else f"{value:e}"
    if isinstance(value, bool | date):
        kind = "yes or no" if isinstance(value, bool) else "a date"
        raise Refused(f"What is given as {name} is {kind}.", "Text is wanted here.")
    return "" if value is None else value.strip()


def find_code(word: str, known: Iterable[str], sheet: str) -> str:
    """A code as its own row spells it; Refused, with the nearest, for one that is not there."""
    by_key = {code.casefold(): code for code in known}
    found = by_key.get(word.casefold())
    if found is None:
        raise Refused(
            f"{word} is not a code of {sheet}.", did_you_mean(word, by_key.values()) or f"Use one of {sheet}."
        )
    return found


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A question with the most alike, or empty.

    >>> did_you_mean("BUSHNG", ["BUSHING", "BELT"])
    'Did you mean BUSHING?'
    """
    by_key = {each.casefold(): each for each in known}
    found = get_close_matches(word.casefold(), by_key, n=1)
    return f"Did you mean {by_key[found[0]]}?" if found else ""


def listed(words: Collection[str]) -> str:
    """Words for a sentence, at most eight of them.

    >>> listed(["labour", "parts"])
    'labour; parts'
    """
    return "; ".join(list(words)[:8]) + ("; ..." if len(words) > 8 else "")


def _number(name: str, value: Cell) -> Decimal:
    if isinstance(value, Decimal):
        return value
    if isinstance(value, str):
        looks = value.strip().lstrip("$€£+-").replace(",", "").replace(".", "").strip().isdigit()
        advice = "Format the cell as a number and type it again." if looks else "Type a plain number."
        raise Refused(f"The {name} is text{' that looks like a number' if looks else ''}: {value.strip()}.", advice)
    raise Refused(f"The {name} is {'yes or no' if isinstance(value, bool) else 'a date'}.", "A number is wanted here.")


def _within(name: str, value: Decimal, above: Decimal | None) -> Decimal:
    if abs(value) >= TOO_LARGE:
        raise Refused(f"The {name} has more than 15 digits.", "Check the number.")
    if value < 0:
        raise Refused(f"The {name} is negative.", "Check the number.")
    if above is not None and value <= above:
        raise Refused(f"The {name} is {value.normalize():f}, or its cell is blank.", f"It must be above {above:f}.")
    return value
