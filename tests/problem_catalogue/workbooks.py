"""A small shop book and job without any fault, and a way to write them with one thing changed.

The shop, its machines and its parts are invented.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, time
from pathlib import Path
from typing import Any

import xlsxwriter

Rows = list[list[Any]]

BOOK: dict[str, Rows] = {
    "Shop": [
        ["Setting", "Value"],
        ["Shop name", "Millbrook Small Engine"],
        ["Currency", "USD"],
        ["Minimum labour hours", 1],
        ["Sublet markup", "15%"],
        ["Inspection fee", 40],
    ],
    "Labour rates": [
        ["Code", "Name", "Rate per hour", "Cost per hour", "In force from"],
        ["MAIN", "Bench", 82, 41, date(2026, 1, 1)],
        ["WELD", "Welding", 96, 50, ""],
    ],
    "Conditions": [["Code", "Name", "Allowance", "At most hours"], ["RUSTY", "Rusted", "20%", 1.5]],
    "Machines": [
        ["Code", "Machine class", "Positions", "Always"],
        ["BLOWER", "Two-stage snow thrower", "", "TEST"],
        ["TRAILER", "Utility trailer", "left front; left rear; right front; right rear", ""],
    ],
    "Access": [
        ["Code", "Step", "Hours to open", "Hours to close", "Needs", "Each side", "Labour", "Parts", "Cautions"],
        ["COVER", "Belt cover off", 0.2, 0.1, "", "", "", "", ""],
        ["HOUSING", "Side plate off", 0.4, 0.3, "COVER", "Yes", "", "", "PINCH"],
    ],
    "Operations": [
        ["Code", "Operation", "Net hours", "Second side hours", "Each side", "Labour", "Parts", "Access", "Includes",
         "Requires", "Slowed by rust", "Sublet cost"],
        ["BUSHING-FIT", "Fit auger shaft bushing", 0.6, 0.5, "Yes", "", "BUSHING; GREASE x 0.2", "HOUSING", "", "",
         "Yes", ""],
        ["BELT-FIT", "Fit drive belt", 0.4, "", "", "", "BELT", "COVER", "", "", "", ""],
        ["SHAFT-BUILD", "Build up and turn the shaft", 0.5, "", "", "WELD", "", "COVER", "", "", "", 90],
        ["TEST", "Test run", 0.2, "", "", "", "", "", "", "", "", ""],
    ],
    "Parts": [
        ["Code", "Part", "Unit", "Pack quantity", "Pack cost", "List price each", "Fixed price each", "Supplier",
         "New or used", "Replaced by", "Also needs", "Contains", "Lead days", "Core charge", "Taxed as", "Cost date"],
        ["BUSHING", "Auger bushing", "each", 2, 9.5, "", "", "NORTH", "new other maker", "", "", "", 3, "", "", ""],
        ["BEARING", "Sealed bearing", "each", 1, 14, 31, "", "NORTH", "new original", "", "", "", 3, "", "", ""],
        ["BELT", "Drive belt", "each", 1, 21.4, "", "", "NORTH", "", "", "", "", 4, "", "", ""],
        ["GREASE", "Grease", "tube", 1, 4, "", 5.5, "SHELF", "", "", "", "", 0, "", "", ""],
        ["0417", "Shear pin", "each", 10, 6, "", "", "SHELF", "", "", "", "", 0, "", "", ""],
        ["SEAL-KIT", "Seal kit", "kit", 1, 18, "", "", "NORTH", "", "", "", "0417 x 2", 5, "", "", ""],
    ],
    "Parts used": [
        ["Used by", "Part", "Quantity", "Side", "Machine"],
        ["BUSHING-FIT", "0417", 1, "left", "BLOWER"],
    ],
    "Offers": [["Part", "Supplier", "Pack quantity", "Pack cost"], ["BELT", "SHELF", 1, 20]],
    "Suppliers": [
        ["Code", "Supplier", "Freight", "Lead days", "Shelf"],
        ["NORTH", "North Parts", 9, 3, ""],
        ["SHELF", "Own stock", "", 0, "Yes"],
    ],
    "Markup": [["Cost over", "Cost up to", "Markup"], [0, 10, "80%"], [10, "", "50%"]],
    "Findings": [
        ["Code", "Finding", "Machine", "Severity", "Measure", "Unit", "Fails when", "Limit", "As new", "Also check"],
        ["BUSHING-WORN", "Auger bushing worn", "BLOWER", "needed", "Bore", "mm", "above", 19.5, 19.1, "SHAFT-WORN"],
        ["SHAFT-WORN", "Auger shaft worn", "", "needed", "Diameter", "mm", "below", 18.8, 19, ""],
        ["BELT-CRACKED", "Drive belt cracked", "", "advised", "", "", "", "", "", ""],
        ["HUB-LOOSE", "Hub loose", "TRAILER", "safety", "", "", "", "", "", ""],
    ],
    "Remedies": [
        ["Code", "Remedy", "Kind", "Fixes", "Operations", "Parts", "Needs fixed", "Life years"],
        ["BUSHING-NEW", "New bushing", "replace", "BUSHING-WORN", "BUSHING-FIT", "", "SHAFT-WORN", 4],
        ["SHAFT-TURN", "Shaft built up", "repair", "SHAFT-WORN", "SHAFT-BUILD", "", "", 5],
        ["BELT-NEW", "New belt", "replace", "BELT-CRACKED", "BELT-FIT", "", "", 4],
    ],
    "Fits only if": [["Remedy", "Finding", "From", "To"], ["BUSHING-NEW", "SHAFT-WORN", 18.8, ""]],
    "Extras": [
        ["Code", "Extra", "Machine", "Operations", "Parts"],
        ["BELT-OFFER", "New belt while it is open", "BLOWER", "BELT-FIT", ""],
        ["BUSHING-OFFER", "Bushing while it is open", "", "BUSHING-FIT", ""],
    ],
    "Bundles": [
        ["Code", "Bundle", "Members", "Saving", "Value", "From", "To"],
        ["FRONT", "Front end together", "BUSHING-NEW; BELT-NEW", "hours off", 0.2, "", ""],
    ],
    "Fees": [
        ["Code", "Fee", "Amount", "Unit", "Applies to"],
        ["PICKUP", "Pick-up", 2.5, "mile", ""],
        ["DISPOSAL", "Waste disposal", 3, "", "always; BELT-FIT"],
    ],
    "Taxes": [
        ["Tax", "Rate", "Charge", "Machine", "Customer class", "In force from", "In force to"],
        ["State tax", "6%", "parts; supplies; PICKUP", "", "", "", ""],
    ],
    "Tiers": [
        ["Code", "Tier", "Covers", "Aim"],
        ["good", "Put right", "safety; needed", "lowest price"],
        ["better", "Put right and prevent", "safety; needed; advised", "least to own"],
    ],
    "Cautions": [["Code", "Caution", "Source"], ["PINCH", "Block the auger before reaching in", "shop rule"]],
    "Rate builder": [
        ["Line", "Amount", "Kind"],
        ["Owner", 52000, "pay"],
        ["Owner", "15%", "burden"],
        ["Helper", 18000, "pay"],
        ["Helper", "18%", "burden"],
        ["Rent", 14400, "overhead"],
        ["Owner", 1900, "clock hours"],
        ["Owner", "60%", "share at the bench"],
        ["Owner", "95%", "efficiency"],
        ["Helper", 900, "clock hours"],
        ["Helper", "70%", "share at the bench"],
        ["Helper", "80%", "efficiency"],
        ["Parts sales", 80000, "parts contribution"],
        ["Parts margin", "40%", "parts contribution"],
        ["Profit", "10%", "profit share"],
    ],
}  # fmt: skip

JOB: dict[str, Rows] = {
    "Job": [
        ["Field", "Value"],
        ["Job number", "117"],
        ["Customer", "A. Lindqvist"],
        ["Machine class", "BLOWER"],
        ["Customer's words", "rattles and throws to one side"],
        ["Quote date", date(2026, 11, 20)],
        ["Condition", "RUSTY"],
    ],
    "Findings": [
        ["Finding", "Side", "Measured", "Unit", "Limit", "As new", "Limit source", "Severity", "Note", "Photo"],
        ["BUSHING-WORN", "left", 20.2, "", "", "", "", "", "", ""],
        ["SHAFT-WORN", "left", 18.9, "", "", "", "", "", "", ""],
        ["BELT-CRACKED", "", "", "", "", "", "", "", "", ""],
    ],
    "Extras": [["Extra", "Side", "Customer asked"], ["BUSHING-OFFER", "right", ""]],
    "Parts": [
        ["Code", "Part", "Pack quantity", "Pack cost", "Supplier", "Replaced by", "Also needs", "Fixed price each",
         "Taxed as"],
        ["BELT", "Drive belt, long", 1, 24, "NORTH", "", "", "", ""],
    ],
    "One-off": [
        ["Line", "Kind", "Quantity", "Unit cost", "Unit price", "Labour", "Access", "Supplier", "Lead days", "Tier",
         "Fixes"],
        ["Straighten the chute", "labour", 0.5, "", "", "", "COVER", "", "", "", ""],
    ],
    "Plan": [["Tier", "Item", "Side"], ["better", "BUSHING-NEW", "left"], ["better", "BELT-NEW", ""]],
}  # fmt: skip

_CELL = re.compile(r"([A-Z]+)(\d+)")


def changed(rows: Mapping[str, Rows], change: Mapping[str, Any]) -> dict[str, Rows]:
    """The sheets with some taken away, and some cells set: `{"Parts": {"D2": 3}}`."""
    kept = {name: [list(row) for row in of_sheet] for name, of_sheet in rows.items() if name not in change["without"]}
    for old, new in change["rename"].items():
        kept[new] = kept.pop(old)
    for sheet, cells in change["set"].items():
        for address, value in cells.items():
            _set(kept.setdefault(sheet, []), address, value)
    return kept


def _set(rows: Rows, address: str, value: Any) -> None:
    match = _CELL.fullmatch(address)
    assert match is not None, address
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    while len(rows) < int(match[2]):
        rows.append([])
    row = rows[int(match[2]) - 1]
    row.extend([""] * (column - len(row)))
    row[column - 1] = value


def write(path: Path, sheets: Mapping[str, Rows], change: Mapping[str, Any]) -> Path:
    """A workbook of these rows; `merge` ranges and `hide` rows by sheet."""
    with xlsxwriter.Workbook(str(path)) as book:
        formats = {"percent": "0%", "date": "yyyy-mm-dd", "time": "hh:mm"}
        looks = {name: book.add_format({"num_format": form}) for name, form in formats.items()}
        for name, filled in sheets.items():
            sheet = book.add_worksheet(name)
            for merged in change["merge"].get(name, ()):
                sheet.merge_range(merged, "")
            for row, cells in enumerate(filled):
                for column, value in enumerate(cells):
                    _write_cell(sheet, row, column, value, looks)
            for row in change["hide"].get(name, ()):
                sheet.set_row(row - 1, None, None, {"hidden": True})
    return path


def _write_cell(sheet: Any, row: int, column: int, value: Any, looks: Mapping[str, Any]) -> None:
    if isinstance(value, dict):
        sheet.write_number(row, column, value["percent"], looks["percent"])
    elif isinstance(value, bool):
        sheet.write_boolean(row, column, value)
    elif isinstance(value, time):
        sheet.write_datetime(row, column, value, looks["time"])
    elif isinstance(value, date):
        sheet.write_datetime(row, column, value, looks["date"])
    elif isinstance(value, int | float):
        sheet.write_number(row, column, value)
    elif value != "":
        sheet.write_string(row, column, value)
