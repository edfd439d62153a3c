"""The Shop sheet as settings (DESIGN.md 3.1)."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from quotekit.model.shop_book import Settings
from quotekit.problems import Place, Problem, error
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.fields import FieldValues
from quotekit.workbook.tables import Table

_UNKNOWN: dict[str, Any] = {"shop_name": "", "currency": "USD", "minimum_labour_hours": Decimal(0)}
"""Stand in for settings that could not be read, so that the rest can still be checked; an error stops the quote."""


def setting_attribute(name: str) -> str:
    """The field of `Settings` a setting fills.

    >>> setting_attribute("Deposit on non-returnable parts")
    'deposit_on_non_returnable_parts'
    """
    return name.lower().replace("-", "_").replace(" ", "_").replace("call_the_customer_", "call_")


def settings_of(found: FieldValues | None, table: Table | None) -> tuple[Settings, list[Problem]]:
    """Settings with their defaults, of what was typed on the sheet, and what is wrong with them."""
    if found is None or table is None:
        return Settings(**_UNKNOWN), []
    values = {**_UNKNOWN, **{setting_attribute(name): value for name, value in found.values.items()}}
    problems = _check_currency(found, values, table) + _check_step(found, values, table)
    problems += _check_language(found, values, table)
    return Settings(**values, sources=found.sources), problems


def _check_currency(found: FieldValues, values: dict[str, Any], table: Table) -> list[Problem]:
    code = values["currency"] = values["currency"].strip().upper()
    if code in CURRENCIES:
        return []
    values["currency"] = _UNKNOWN["currency"]
    place, text = _place(found, "Currency", table), found.texts.get("Currency", code)
    return [
        error(
            place,
            "unknown-currency",
            f"{text} is not a currency code",
            "Use the three letters of ISO 4217, such as USD.",
            text,
        )
    ]


def _check_step(found: FieldValues, values: dict[str, Any], table: Table) -> list[Problem]:
    if values.get("hours_step") != 0:
        return []
    del values["hours_step"]
    place = _place(found, "Hours step", table)
    return [error(place, "zero-step", "Hours step is zero", "Type the step hours are rounded up to, such as 0.1.", "0")]


def _check_language(found: FieldValues, values: dict[str, Any], table: Table) -> list[Problem]:
    language = values.get("language", "en_US")
    if re.fullmatch(r"[A-Za-z]{2,3}([_-][A-Za-z0-9]{2,8})*", language):
        values["language"] = language.replace("-", "_")
        return []
    del values["language"]
    return [
        error(
            _place(found, "Language", table),
            "unknown-language",
            f"{language} is not a language code",
            "Use a code such as en_US, es_MX or fr_CA.",
            language,
        )
    ]


def _place(found: FieldValues, name: str, table: Table) -> Place:
    return found.place(name, table.file, table.name)
