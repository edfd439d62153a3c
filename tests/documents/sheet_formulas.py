"""A small spreadsheet of our own: exact numbers, and only what the quotes' formulas use.

Numbers are Fractions, so nothing is lost and a half is a half. A comparison is made as spreadsheets make it: texts
without case, a blank equals "" and 0, a truth value is neither 1 nor a text. Anything unknown is an error, not a guess.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from quotekit.documents.sheet import Cell, WorkbookValue, placed

Value = Fraction | str | bool | None
Lookup = Callable[[str], list[Value]]

_TOKEN = re.compile(
    r'\s*("(?:[^"]|"")*"|\d+(?:\.\d+)?|(?:\w+!)?\$?[A-Z]{1,3}\$?\d+(?::\$?[A-Z]{1,3}\$?\d+)?(?![\w(.])|[A-Za-z_][\w.]*'
    r"|>=|<=|<>|[-+*/(),=<>&])"
)


class CellError(Exception):
    """What a cell shows as #VALUE! or #NAME?."""


def calculated(formula: str, lookup: Lookup) -> Value:
    """The value of a formula with its leading `=`; `lookup` gives the values behind a reference or a name."""
    tokens = list(_tokens(formula.removeprefix("=")))
    parser = _Parser(tokens, lookup)
    value = parser.comparison()
    if parser.tokens:
        raise CellError(f"{parser.tokens} after the end of {formula}")
    return value


class Recalculated:
    """A workbook value with some cells filled in by hand; every other cell is worked out when it is asked for."""

    def __init__(self, workbook: WorkbookValue, **typed: Value) -> None:
        self.cells: dict[str, Cell] = {}
        self.names: dict[str, str] = {}
        self.known: dict[str, Value] = {}
        for sheet in workbook.sheets:
            for line, row in enumerate(sheet.rows, start=1):
                for column, cell in placed(row):
                    address = f"{sheet.name}!{_letters(column)}{line}"
                    self.cells[address] = cell
                    if cell.name:
                        self.names[cell.name] = address
        self.known |= {self.names[name]: value for name, value in typed.items()}

    def at(self, name: str) -> Value:
        """The value of a named cell, or of an address as `Working!B7`."""
        return self.value(self.names.get(name, name))

    def value(self, address: str) -> Value:
        """The value of a cell, by `Sheet!A1`."""
        if address not in self.known:
            self.known[address] = self._worked(address)
        return self.known[address]

    def _worked(self, address: str) -> Value:
        cell = self.cells.get(address)
        if cell is None or (cell.content is None and not cell.formula):
            return None
        sheet = address.partition("!")[0]
        if cell.formula:
            return calculated(cell.formula, lambda reference: list(self._behind(reference, sheet)))
        return cell.content if isinstance(cell.content, str) else Fraction(str(cell.content))

    def _behind(self, reference: str, sheet: str) -> Iterator[Value]:
        if reference in self.names:
            yield self.value(self.names[reference])
            return
        for address in addresses(reference, sheet):
            yield self.value(address)


def addresses(reference: str, sheet: str) -> Iterator[str]:
    """Each cell of a reference: `B4`, `$B$4:$B$6` or `Working!$B$4`.

    >>> list(addresses("Working!$B$4:$B$5", "Quote"))
    ['Working!B4', 'Working!B5']
    """
    of, _, area = reference.rpartition("!")
    first, _, last = area.replace("$", "").partition(":")
    found = [re.fullmatch(r"([A-Z]+)(\d+)", end) for end in (first, last or first)]
    if None in found:
        raise CellError(f"#NAME? {reference}")
    (left, top), (right, bottom) = (match.groups() for match in found if match)
    if left != right:
        raise CellError(f"{reference} is more than a column wide")
    for line in range(int(top), int(bottom) + 1):
        yield f"{of or sheet}!{left}{line}"


def _letters(column: int) -> str:
    return chr(65 + column)


def _tokens(formula: str) -> Iterator[str]:
    at = 0
    while at < len(formula):
        match = _TOKEN.match(formula, at)
        if match is None:
            raise CellError(f"{formula[at:]!r} in {formula}")
        yield match.group(1)
        at = match.end()


class _Parser:
    """Comparison, sum, product, sign, part: each calls the next that binds tighter."""

    def __init__(self, tokens: list[str], lookup: Lookup) -> None:
        self.tokens, self.lookup = tokens, lookup

    def comparison(self) -> Value:
        value = self._sum()
        while self._next() in (">", ">=", "="):
            sign, other = self.tokens.pop(0), self._sum()
            value = _same(value, other) if sign == "=" else _compared(sign, value, other)
        return value

    def _sum(self) -> Value:
        value = self._product()
        while self._next() in ("+", "-"):
            sign, other = self.tokens.pop(0), number(self._product())
            value = number(value) + (other if sign == "+" else -other)
        return value

    def _product(self) -> Value:
        value = self._signed()
        while self._next() in ("*", "/"):
            sign, other = self.tokens.pop(0), number(self._signed())
            if sign == "/" and other == 0:
                raise CellError("#DIV/0!")
            value = number(value) * other if sign == "*" else number(value) / other
        return value

    def _signed(self) -> Value:
        if self._next() == "-":
            self.tokens.pop(0)
            return -number(self._signed())
        return self._part()

    def _part(self) -> Value:
        token = self.tokens.pop(0)
        if token == "(":
            value = self.comparison()
            self._expect(")")
            return value
        if token.startswith('"'):
            return token[1:-1].replace('""', '"')
        if token[0].isdigit():
            return Fraction(token)
        if self._next() == "(":
            return self._call(token)
        (value,) = self.lookup(token)
        return value

    def _call(self, name: str) -> Value:
        """IF and ISERROR see their arguments before they are worked out: they are skipped, not evaluated."""
        self.tokens.pop(0)
        arguments = list(self._arguments())
        if name == "IF":
            test, then, otherwise = arguments
            return self._worked(then if _true(self._worked(test)) else otherwise)
        if name == "ISERROR":
            try:
                self._worked(arguments[0])
            except CellError:
                return True
            return False
        return _FUNCTIONS[name]([value for argument in arguments for value in self._several(argument)])

    def _arguments(self) -> Iterator[list[str]]:
        depth, taken = 0, list[str]()
        while depth or self.tokens[0] != ")":
            token = self.tokens.pop(0)
            depth += (token == "(") - (token == ")")
            if token == "," and not depth:
                yield taken
                taken = []
            else:
                taken.append(token)
        self._expect(")")
        if taken:
            yield taken

    def _several(self, argument: list[str]) -> list[Value]:
        if len(argument) == 1 and ":" in argument[0] and not argument[0].startswith('"'):
            return self.lookup(argument[0])
        return [self._worked(argument)]

    def _worked(self, argument: list[str]) -> Value:
        inner = _Parser(list(argument), self.lookup)
        value = inner.comparison()
        if inner.tokens:
            raise CellError(f"{inner.tokens} left over")
        return value

    def _next(self) -> str:
        return self.tokens[0] if self.tokens else ""

    def _expect(self, token: str) -> None:
        if self.tokens.pop(0) != token:
            raise CellError(f"{token} expected")


def number(value: Value) -> Fraction:
    """A value as a number; a text has none."""
    if isinstance(value, str):
        raise CellError(f"#VALUE! {value!r} is no number")
    return Fraction(value or 0)


def _same(one: Value, other: Value) -> bool:
    if isinstance(one, str) and isinstance(other, str):
        return one.casefold() == other.casefold()
    if one is None or other is None:
        return (one if other is None else other) in (None, "", Fraction(0))
    return type(one) is type(other) and one == other


def _compared(sign: str, one: Value, other: Value) -> bool:
    left, right = number(one), number(other)
    return left > right or (sign == ">=" and left == right)


def _true(value: Value) -> bool:
    return bool(number(value))


_FUNCTIONS: Mapping[str, Callable[[list[Value]], Value]] = {
    "SUM": lambda values: sum((number(value) for value in values), Fraction(0)),
    "MAX": lambda values: max(number(value) for value in values),
    "MIN": lambda values: min(number(value) for value in values),
    "INT": lambda values: Fraction(number(*values).__floor__()),
    "ABS": lambda values: abs(number(*values)),
    "SIGN": lambda values: Fraction((number(*values) > 0) - (number(*values) < 0)),
    "OR": lambda values: any(_true(value) for value in values),
    "EXACT": lambda values: _written(values[0]) == _written(values[1]),
    "TRUE": lambda values: True,
    "FALSE": lambda values: False,
}


def _written(value: Value) -> str:
    return "" if value is None else str(value)
