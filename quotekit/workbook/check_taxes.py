"""Rows of Taxes: charges that exist, and no charge taxed twice by one tax (DESIGN.md 3 and 5.9)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations

from quotekit.model.shop_book import CHARGE_WORDS, Part, ShopBook, Tax
from quotekit.problems import Problem, error, warning
from quotekit.workbook.names import code_key, did_you_mean, name_key, nearest


def resolve_charges(book: ShopBook) -> tuple[ShopBook, list[Problem]]:
    """The book with charges and tax names spelled in one way, and a problem for each word that is no charge."""
    words = {name_key(word): word for word in CHARGE_WORDS}
    fees = {code_key(code): code for code in book.fees}
    taxed_as = {part.taxed_as for part in book.parts.values() if part.taxed_as is not None}
    problems: list[Problem] = []
    rows: list[Tax] = []
    names: dict[str, str] = {}
    for row in book.taxes:
        charges: list[str] = []
        for entry in row.charges:
            charge = words.get(name_key(entry)) or fees.get(code_key(entry))
            known = [*CHARGE_WORDS, *book.fees, *sorted(taxed_as)]
            if charge is None and entry.strip().lower() not in taxed_as:
                problems.append(_unknown(row, entry, known) if nearest(entry, known) else _unused(row, entry))
            charge = charge or entry.strip().lower()
            if charge not in charges:
                charges.append(charge)
        rows.append(replace(row, tax=names.setdefault(name_key(row.tax), row.tax), charges=tuple(charges)))
    return replace(book, taxes=tuple(rows)), problems


def check_taxes(rows: Sequence[Tax]) -> list[Problem]:
    """Two rows of one tax that charge the same thing, at the same time, to the same customers."""
    by_name: dict[str, list[Tax]] = {}
    for row in rows:
        by_name.setdefault(name_key(row.tax), []).append(row)
    return [_twice(a, b) for of_tax in by_name.values() for a, b in combinations(of_tax, 2) if _clash(a, b)]


def taxed_as_problems(book: ShopBook) -> list[Problem]:
    """A part taxed as something no tax row names: a slip of the pen when it is nearly a known word, else a warning."""
    known = {charge for row in book.taxes for charge in row.charges} | set(CHARGE_WORDS)
    return [
        _not_charged(part, part.taxed_as, sorted(known))
        for part in book.parts.values()
        if part.taxed_as is not None and book.taxes and part.taxed_as not in known
    ]


def _not_charged(part: Part, word: str, known: Sequence[str]) -> Problem:
    place = part.source.place("Taxed as")
    if nearest(word, known):
        advice = f"{did_you_mean(word, known)}Use a charge of the Taxes sheet, or leave it blank."
        return error(place, "unknown-taxed-as", f"no row of Taxes charges {word}", advice, word)
    message = f"no row of Taxes charges {word}, so only rows for all tax {part.code}"
    return warning(place, "taxed-as-not-charged", message, "Add a row to Taxes if it is taxed.", word)


def _unused(row: Tax, entry: str) -> Problem:
    message = f"nothing is charged as {entry}: no part is taxed so, and it is no standard charge or fee"
    advice = "Write it under Taxed as of the parts it is for, or correct it."
    return warning(row.source.place("Charge"), "charge-not-used", message, advice, entry)


def _unknown(row: Tax, entry: str, known: Iterable[str]) -> Problem:
    return error(
        row.source.place("Charge"),
        "unknown-charge",
        f"{entry} is not a charge that can be taxed",
        f"{did_you_mean(entry, known)}Use {', '.join(CHARGE_WORDS)}, a fee code, or a Taxed as word of Parts.",
        entry,
    )


def _clash(a: Tax, b: Tax) -> bool:
    return (
        bool(set(a.charges) & set(b.charges))
        and name_key(a.customer_class) == name_key(b.customer_class)
        and _machines_meet(a.machines, b.machines)
        and _dates_meet(a, b)
    )


def _machines_meet(a: Sequence[str], b: Sequence[str]) -> bool:
    return bool({code_key(code) for code in a} & {code_key(code) for code in b}) or not (a or b)


def _dates_meet(a: Tax, b: Tax) -> bool:
    start = max(a.in_force_from or date.min, b.in_force_from or date.min)
    return start <= min(a.in_force_to or date.max, b.in_force_to or date.max)


def _twice(a: Tax, b: Tax) -> Problem:
    both = "; ".join(charge for charge in b.charges if charge in a.charges)
    return error(
        b.source.place("Charge"),
        "taxed-twice",
        f"{b.tax} on {both} is already in row {a.source.row} for the same dates, machines and customers",
        "Give In force from and In force to so that only one row holds, or delete one.",
        "; ".join(b.charges),
    )
