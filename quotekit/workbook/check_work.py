"""Operations, access steps and machine classes: hours that cannot be right, and work that has no side to be done on."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.model.shop_book import MachineClass, Operation, ShopBook
from quotekit.problems import Problem, error, warning
from quotekit.workbook.positions import ALL_WORDS, side_word
from quotekit.workbook.sided import operations_are_sided

MOST_NET_HOURS = Decimal(8)
"""Above it minutes may have been typed for hours (DESIGN.md 5.9)."""


def check_operations(operations: Iterable[Operation]) -> list[Problem]:
    """Hours of each operation."""
    return [problem for operation in operations for problem in _check_operation(operation)]


def _check_operation(operation: Operation) -> list[Problem]:
    problems = []
    if operation.net_hours > MOST_NET_HOURS:
        problems.append(
            warning(
                operation.source.place("Net hours"),
                "long-hours",
                f"{operation.code} takes {operation.net_hours:f} net hours",
                "If these are minutes, divide by 60.",
                f"{operation.net_hours:f}",
            )
        )
    further = operation.second_side_hours
    if further is not None and further > operation.net_hours:
        problems.append(
            error(
                operation.source.place("Second side hours"),
                "second-side-above-net",
                f"the second side of {operation.code} takes {further:f} hours, more than the first, "
                f"{operation.net_hours:f}",
                "Type the hours of each further side, at most the net hours.",
                f"{further:f}",
            )
        )
    if further is not None and not operation.each_side:
        problems.append(
            warning(
                operation.source.place("Second side hours"),
                "second-side-unused",
                f"{operation.code} has second side hours but is not done each side, so they never count",
                "Set Each side to Yes, or empty the cell.",
                f"{further:f}",
            )
        )
    return problems


def check_machines(book: ShopBook) -> list[Problem]:
    """Positions that can be told apart, and Always work that needs no side."""
    classes = (book.machines or {}).values()
    return [problem for each in classes for problem in (*_check_positions(each), *_check_always(book, each))]


def _check_positions(machine: MachineClass) -> list[Problem]:
    words = [side_word(position) for position in machine.positions]
    shown = "; ".join(machine.positions)
    faults = [f"{word} is there twice" for word in dict.fromkeys(words) if words.count(word) > 1]
    faults += [f"{word} is the word for every position" for word in words if word in ALL_WORDS]
    return [
        error(
            machine.source.place("Positions"),
            "bad-positions",
            f"the positions of {machine.code} cannot be told apart: {fault}",
            "Give each position its own name, such as left; right.",
            shown,
        )
        for fault in faults
    ]


def _check_always(book: ShopBook, machine: MachineClass) -> list[Problem]:
    return [
        error(
            machine.source.place("Always"),
            "always-needs-side",
            f"{code} is done on every {machine.code}, but it is done each side and no side is given",
            "Use an operation that is not done each side.",
            code,
        )
        for code in machine.always
        if operations_are_sided(book, [code])
    ]
