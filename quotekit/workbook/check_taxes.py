"""Rows of Taxes: charges that exist, and no charge taxed twice by one tax (DESIGN.md 3 and 5.9)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations

from quotekit.model.shop_book import ShopBook, Tax
from quotekit.problems import Problem, error
from quotekit.workbook.column import CHARGE_WORDS
from quotekit.workbook.names import code_key, did_you_mean, name_key


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
            if charge is None and entry.strip().lower() in taxed_as:
                charge = entry.strip().lower()
            if charge is None:
                problems.append(_unknown(row, entry, [*CHARGE_WORDS, *book.fees, *sorted(taxed_as)]))
            elif charge not in charges:
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
    """A part taxed as something no tax row names is a slip of the pen, unless it is a charge word."""
    known = {charge for row in book.taxes for charge in row.charges} | set(CHARGE_WORDS)
    problems = []
    for part in book.parts.values():
        if part.taxed_as is not None and book.taxes and part.taxed_as not in known:
            problems.append(
                error(
                    part.source.place("Taxed as"),
                    "unknown-taxed-as",
                    f"no row of Taxes charges {part.taxed_as}",
                    f"{did_you_mean(part.taxed_as, sorted(known))}Use a charge of the Taxes sheet, or leave it blank.",
                    part.taxed_as,
                )
            )
    return problems


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
