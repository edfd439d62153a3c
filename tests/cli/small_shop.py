"""A first shop book of seven sheets and a job, written as real workbooks, so that a command can be run end to end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

import xlsxwriter

Sheets = dict[str, list[list[object]]]

PERCENTS = frozenset({"Markup", "Rate"})


def shop_book() -> Sheets:
    """Seven sheets, three parts, three operations; a tax besides."""
    return {
        "Shop": [
            ["Setting", "Value"],
            ["Shop name", "Mill Lane Repairs"],
            ["Currency", "USD"],
            ["Minimum labour hours", 1],
        ],
        "Labour rates": [["Code", "Name", "Rate per hour", "Cost per hour"], ["MAIN", "Bench", 90, 35]],
        "Operations": [
            ["Code", "Operation", "Net hours", "Each side", "Parts"],
            ["BUSH", "Press in a bushing", 0.6, "Yes", "BUSHING"],
            ["BELTING", "Change the belt", 0.4, "No", "BELT"],
            ["SEALING", "Change the seal", 0.3, "No", "SEAL x 2"],
        ],
        "Parts": [
            ["Code", "Part", "Pack quantity", "Pack cost", "Supplier"],
            ["BUSHING", "Bronze bushing", 4, 22, "Northside"],
            ["BELT", "Drive belt", 1, 19.5, "Northside"],
            ["SEAL", "Seal", 10, 15, "Northside"],
        ],
        "Markup": [["Cost over", "Cost up to", "Markup"], [0, 20, 0.5], [20, None, 0.35]],
        "Findings": [
            ["Code", "Finding", "Severity", "Measure", "Unit", "Fails when", "Limit"],
            ["WORN", "Bushing worn", "needed", "bore", "in", "above", 0.755],
            ["FRAYED", "Belt frayed", "advised", None, None, None, None],
            ["BRAKE", "Brake does not hold", "safety", None, None, None, None],
        ],
        "Remedies": [
            ["Code", "Remedy", "Kind", "Fixes", "Operations", "Life years"],
            ["NEWBUSH", "New bushing", "replace", "WORN", "BUSH", 5],
            ["NEWBELT", "New belt", "replace", "FRAYED", "BELTING", 3],
        ],
        "Taxes": [["Tax", "Rate", "Charge"], ["State", 0.07, "parts"]],
    }


def job(findings: Sequence[Sequence[object]] = (("WORN", "left", 0.761), ("FRAYED", None, None))) -> Sheets:
    """A job on any machine class, as the book has no Machines."""
    return {
        "Job": [
            ["Field", "Value"],
            ["Job number", "117"],
            ["Customer", "R. Alder"],
            ["Machine class", "Snow thrower"],
            ["Customer's words", "It rattles"],
            ["Quote date", date(2026, 3, 2)],
        ],
        "Findings": [["Finding", "Side", "Measured"], *([*line] for line in findings)],
    }


def write_book(path: Path, sheets: Mapping[str, Sequence[Sequence[object]]]) -> Path:
    """The sheets as a workbook; columns of percentages formatted as percent, text always as text."""
    book = xlsxwriter.Workbook(str(path))
    percent, day = book.add_format({"num_format": "0.0%"}), book.add_format({"num_format": "yyyy-mm-dd"})
    for name, rows in sheets.items():
        page = book.add_worksheet(name)
        for at, row in enumerate(rows):
            for column, value in enumerate(row):
                if isinstance(value, str):
                    page.write_string(at, column, value)
                elif isinstance(value, date):
                    page.write_datetime(at, column, value, day)
                elif value is not None:
                    page.write_number(at, column, value, percent if rows[0][column] in PERCENTS else None)
    book.close()
    return path
