"""Another value for a cell, of the kind its column declares: it may still be refused, and often is not."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from quotekit.workbook.column import Column, Field
from quotekit.workbook.columns import JOB_FIELDS, JOB_WORKBOOK, SHOP_BOOK, SHOP_SETTINGS
from tests.completeness.cells_to_change import BOOK, JOB_FILE, Spot, Workbooks

Value = tuple[Any, bool]
"""What to type, and whether the cell is formatted as percent."""

UNITS = ("mm", "in", "psi", "cm", "lbf", "each", "mile")
WORDS = ("Other words", "household", "farm", "tires", "labour", "parts", "PHOTO.jpg", "Another remark")


class OtherValues:
    """Draws values for the cells of two workbooks, from their own codes."""

    def __init__(self, workbooks: Workbooks, random: Random) -> None:
        self.random = random
        tables = workbooks.tables(BOOK)
        self.codes = {name: _column(table, "Code") for name, table in tables.items()}
        self.codes["Parts"] = [*self.codes.get("Parts", []), *_column(workbooks.tables(JOB_FILE).get("Parts"), "Code")]
        for name, sheet, header in (("Suppliers", "Parts", "Supplier"), ("Machines", "Findings", "Machine")):
            if not self.codes.get(name):
                self.codes[name] = [*_column(tables.get(sheet), header), "FREE"]
        machines = tables.get("Machines")
        positions = ";".join(_column(machines, "Positions")).split(";")
        self.sides = [side.strip() for side in positions if side.strip()] + ["left", "right", "both", "all"]
        self.classes = _column(machines, "Machine class")
        typed = [spot.held.value for spot in workbooks.spots() if spot.held is not None and _is_quote_date(spot)]
        self.day = next((value for value in typed if isinstance(value, date)), date(2026, 3, 1))

    def draw(self, spot: Spot) -> Value | None:
        """Another value for a cell; None, False empties it, None alone where nothing else was drawn."""
        held = spot.held.value if spot.held is not None else None
        for _ in range(6):
            value, percent = self._drawn(spot, held)
            if value != held and not (value in (None, "") and held is None):
                return (None if value == "" else value), percent
        return None

    def _drawn(self, spot: Spot, held: Any) -> Value:
        declared = spot.declared
        if declared is None:
            return self._name(spot), False
        if held is not None and not declared.required and self.random.random() < 0.15:
            return None, False
        kind = {"percent off parts": "percent", "hours off": "hours"}.get(spot.saving, "money")
        kind = kind if declared.kind == "saving" else declared.kind
        percent = kind in ("percent", "markup")
        return getattr(self, "_" + kind.replace("/", "_"))(spot, declared, held), percent

    def _name(self, spot: Spot) -> str:
        names = SHOP_SETTINGS if spot.file == BOOK else JOB_FIELDS
        return self.random.choice([*(field.name for field in names), "My own remark"])

    def _text(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        if spot.header == "Unit":
            return self.random.choice(UNITS)
        if isinstance(declared, Field) and declared.refers_to == ("Machines",):
            return self.random.choice([*self.codes["Machines"], *self.classes])
        if isinstance(declared, Field) and declared.name == "Currency":
            return self.random.choice(["USD", "JPY", "KWD", "EUR"])
        if isinstance(declared, Field) and declared.name == "Language":
            return self.random.choice(["en_US", "es_MX", "fr_CA"])
        if isinstance(held, str) and self.random.random() < 0.2:
            return held.swapcase()
        return self.random.choice(WORDS)

    def _code(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        known = self._known(declared)
        if not known:
            return held.swapcase() if held and self.random.random() < 0.5 else f"NEW-{self.random.randint(1, 99)}"
        return self.random.choice([*known, "OTHER"] if spot.header == "Finding" else known)

    def _codes(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        known = self._known(declared)
        if isinstance(declared, Column) and declared.header == "Charge":
            known = [*declared.words, *self.codes.get("Fees", []), "tires"]
        if spot.header == "Applies to":
            known = [*known, "always"]
        if not known:
            return "FREE"
        have = _listed(held)
        if have and self.random.random() < 0.6:
            return "; ".join(self._one_off_or_on(have, known))
        return "; ".join(self.random.sample(known, min(len(known), self.random.randint(1, 3))))

    def _one_off_or_on(self, have: list[str], known: Sequence[str]) -> list[str]:
        if len(have) > 1 and self.random.random() < 0.5:
            gone = self.random.choice(have)
            return [code for code in have if code != gone]
        return list(dict.fromkeys([*have, self.random.choice(list(known))]))

    def _quantities(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        known = self._known(declared) or ["NONE"]
        have = _listed(held)
        if have and self.random.random() < 0.5:
            first, *rest = have
            return "; ".join([f"{first.split(' x ')[0]} x {self.random.randint(1, 5)}", *rest])
        return "; ".join(f"{code} x {self.random.randint(1, 4)}" for code in self.random.sample(known, 1))

    def _number(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        if isinstance(held, Decimal) and held and self.random.random() < 0.6:
            return round(held * self.random.choice([Decimal("0.5"), Decimal("0.98"), Decimal("1.02"), Decimal(2)]), 4)
        return self.random.choice([Decimal(each) for each in ("7", "10", "11", "13", "0.5", "25")])

    def _quantity(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.random.choice([Decimal(each) for each in ("1", "2", "3", "4", "6", "10", "0.5")])

    def _hours(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        near = [held + Decimal("0.1"), held * 2] if isinstance(held, Decimal) else []
        return self.random.choice([*near, Decimal(self.random.randint(0, 30)) / 10])

    def _money(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        near = [held + Decimal("0.01"), held * 2, held + 5] if isinstance(held, Decimal) else []
        return self.random.choice([*near, Decimal(self.random.randint(0, 20000)) / 100])

    _amount = _money

    def _whole(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return Decimal(self.random.choice([0, 1, 2, 5, 9, 14, 30, 60, 200]))

    def _years(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.random.choice([Decimal(each) for each in ("0.5", "1", "2", "2.5", "4", "7", "12")])

    _life = _years

    def _percent(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return Decimal(self.random.randint(0, 100)) / 100

    def _markup(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return Decimal(self.random.randint(0, 200)) / 100

    def _date(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.day + timedelta(days=self.random.choice([-400, -100, -1, 0, 1, 30, 300]))

    def _yes_no(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.random.choice(["Yes", "No"])

    def _word(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.random.choice(declared.words)

    def _words(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return "; ".join(self.random.sample(declared.words, self.random.randint(1, len(declared.words))))

    def _sides(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        if spot.header == "Positions":
            return self.random.choice(
                ["left; right", "left front; left rear; right front", "front; rear", "1; 2; left"]
            )
        return "; ".join(self.random.sample(self.sides, self.random.choice([1, 1, 1, 2])))

    def _credit(self, spot: Spot, declared: Column | Field, held: Any) -> Any:
        return self.random.choice([*declared.words, Decimal(100), Decimal(10)])

    def _known(self, declared: Column | Field) -> list[str]:
        return [code for sheet in declared.refers_to for code in self.codes.get(sheet, [])]


def every_header() -> set[tuple[str, str]]:
    """Sheets and columns of both workbooks, for telling which were never changed."""
    sheets = (*SHOP_BOOK, *JOB_WORKBOOK)
    return {(sheet.name, column.header) for sheet in sheets for column in sheet.columns}


def _is_quote_date(spot: Spot) -> bool:
    return isinstance(spot.declared, Field) and spot.declared.name == "Quote date"


def _column(table: Any, header: str) -> list[str]:
    if table is None:
        return []
    cells = [table.cell(row, header) for row in table.rows]
    return [cell.text for cell in cells if cell is not None]


def _listed(held: Any) -> list[str]:
    return [each.strip() for each in held.split(";") if each.strip()] if isinstance(held, str) else []
