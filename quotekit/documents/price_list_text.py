"""A price list that was read, in lines for a person: every row accounted for, then what is to be known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from quotekit.model.price_list import FATES, FoundPrice, ListedPrice, ListReport, Remark
from quotekit.money import in_fifty_digits

_LONGEST = 60


def lay_out_report(report: ListReport) -> list[str]:
    """What became of the rows, and the remarks with their first rows."""
    lines = [
        f"{report.file}: {report.rows:,} rows, prices of {report.supplier} as of {report.day}",
        f"read as: {', '.join(report.read_as)}",
        "",
        *_table((report.fates[fate], said) for fate, said in FATES.items() if report.fates.get(fate)),
        f"{report.rows:>11,}  in all",
    ]
    if report.remarks:
        lines += ["", "what to know:"]
    for remark in report.remarks:
        lines += _remark(remark)
    return lines


def _table(rows: Iterable[tuple[int, str]]) -> list[str]:
    return [f"{count:>11,}  {said}" for count, said in rows]


def _remark(remark: Remark) -> Iterator[str]:
    yield f"{remark.rows:>11,}  {remark.says}"
    for example in remark.examples:
        named = f" {example.number}" if example.number else ""
        shown = "" if example.text in ("", example.number) else f": {_short(example.text)}"
        yield f"               row {example.row:,}{_short(named)}{shown}"


def _short(text: str) -> str:
    line = "".join(letter if letter.isprintable() else " " for letter in text)
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 1]}…"


def lay_out_found(found: Iterable[FoundPrice]) -> list[str]:
    """What the list says of each number that was asked for."""
    lines: list[str] = []
    for each in found:
        lines += _found(each)
    return lines


def _found(found: FoundPrice) -> Iterator[str]:
    if found.price is not None:
        near = f" (as {found.price.number}, which is not quite the same)" if found.how == "near" else ""
        yield f"{found.asked}{near}: {terms_text(found.price)}"
        return
    said = {
        "several": "several numbers of the list are alike",
        "contradicted": "the list says two things of it",
        "no price": "it is there, but no row of it counts",
        "not found": "it is not in the list",
    }
    nearest = f"; one slip away: {', '.join(found.nearest)}" if found.how == "not found" and found.nearest else ""
    yield f"{found.asked}: {said[found.how]}{nearest}"
    for row in found.rows:
        yield f"    {row.number}: {row.fate}, {terms_text(row)}"


def terms_text(row: ListedPrice) -> str:
    """What a row says, in one line."""
    cost = "no cost" if row.cost is None else f"{amount_text(row.cost)} {row.currency} for {row.cost_for.normalize():f}"
    parts = [cost]
    if row.pack is not None:
        parts.append(f"packs of {row.pack.normalize():f}")
    if row.list_price is not None:
        parts.append(f"list {amount_text(row.list_price)}")
    if row.lead_days is not None:
        parts.append(f"{row.lead_days} days")
    if row.dated is not None:
        parts.append(f"from {row.dated}")
    if row.superseded_by:
        parts.append(f"replaced by {row.superseded_by}")
    return f"{', '.join(parts)} (row {row.row:,})"


def amount_text(amount: Decimal | Fraction) -> str:
    """An amount with two decimals at least, and with all it has.

    >>> amount_text(Decimal("12.5")), amount_text(Decimal("0.0125")), amount_text(Decimal(3))
    ('12.50', '0.0125', '3.00')
    """
    value = in_fifty_digits(amount) if isinstance(amount, Fraction) else amount
    text = f"{value:f}"
    decimals = len(text.partition(".")[2])
    return text if decimals >= 2 else f"{value:.2f}"
