"""What a job may pick from a shop book: every list as a whole, and the part of it that one machine class has.

For a class: findings with a blank Machine and those of the class, then OTHER; extras likewise; its positions, then both
where there are just two, and all; for the plan the remedies whose findings it can have, its extras, and all operations.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from quotekit.model.shop_book import Finding, MachineClass, ShopBook
from quotekit.record import record
from quotekit.workbook.names import name_key

SIDES = "Sides"
OTHER = "OTHER"
OTHER_MEASURE = "Say what in Note, give a Severity"
CODE, WHAT_TO_MEASURE = "Code", "What to measure"
FINDINGS, EXTRAS, ITEMS = ("Findings",), ("Extras",), ("Remedies", "Extras", "Operations")


@record
class CodeList:
    """A block of the Lists sheet: what may be picked, and what each means."""

    sheets: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def name(self) -> str:
        """The name of the range of its first column."""
        return range_name(self.sheets)

    @property
    def codes(self) -> tuple[str, ...]:
        """What its first column holds."""
        return tuple(row[0] for row in self.rows)


@record
class ClassLists:
    """What the lists that hang on the machine class offer for one class."""

    code: str
    typed: tuple[str, ...]
    """What a person may type for it: its code, and its name where that means no other class."""
    offered: Mapping[str, tuple[str, ...]]
    """By the name of the range."""


def range_name(sheets: Iterable[str]) -> str:
    """The name of the range that lists the codes of some sheets.

    >>> range_name(("Labour rates",)), range_name(("Remedies", "Extras"))
    ('list_Labour_rates', 'list_Remedies_Extras')
    """
    return "list_" + "_".join(sheets).replace(" ", "_")


def code_lists(book: ShopBook) -> list[CodeList]:
    """What a job may pick from a shop book, in the order of its sheets; an empty list is left out."""
    lists = [
        _machines(book),
        _findings(book),
        CodeList(sheets=(SIDES,), headers=("Side",), rows=tuple((side,) for side in _sides(book))),
        _pairs("Conditions", ((each.code, each.name) for each in book.conditions.values())),
        _pairs("Extras", ((each.code, each.extra) for each in book.extras.values())),
        _pairs("Fees", ((each.code, each.fee) for each in book.fees.values())),
        _pairs("Labour rates", {each.code: (each.code, each.name) for each in book.labour_rates}.values()),
        _pairs("Tiers", ((each.code, each.tier) for each in book.tiers)),
        _pairs("Access", ((each.code, each.step) for each in book.access.values())),
        _pairs("Suppliers", ((each.code, each.supplier) for each in (book.suppliers or {}).values())),
        _pairs("Parts", ((each.code, each.part) for each in book.parts.values())),
        CodeList(sheets=ITEMS, headers=(CODE, "In words"), rows=_items(book)),
    ]
    return [each for each in lists if each.rows]


def class_lists(book: ShopBook) -> list[ClassLists]:
    """The lists of each machine class of the shop book, in its order; none where it has no classes."""
    machines = (book.machines or {}).values()
    codes = Counter(name_key(each.code) for each in machines)
    names = Counter(name_key(each.machine_class) for each in machines)

    def typed(machine: MachineClass) -> Iterator[str]:
        if codes[name_key(machine.code)] == 1:
            yield machine.code
        if names[name_key(machine.machine_class)] == 1 and not codes[name_key(machine.machine_class)]:
            yield machine.machine_class

    return [ClassLists(code=each.code, typed=tuple(typed(each)), offered=_offered(book, each)) for each in machines]


def _offered(book: ShopBook, machine: MachineClass) -> dict[str, tuple[str, ...]]:
    """What one class may have, by the name of the range."""
    findings = [each.code for each in book.findings.values() if _can_be_on(each.machines, machine)]
    extras = [each.code for each in book.extras.values() if _can_be_on(each.machines, machine)]
    found = set(findings)
    remedies = [each.code for each in book.remedies.values() if found.intersection(each.fixes)]
    both = ["both"] if len(machine.positions) == 2 else []
    return {
        range_name(FINDINGS): (*findings, OTHER),
        range_name((SIDES,)): (*machine.positions, *both, "all"),
        range_name(EXTRAS): tuple(extras),
        range_name(ITEMS): (*remedies, *extras, *book.operations),
    }


def _can_be_on(classes: tuple[str, ...], machine: MachineClass) -> bool:
    return not classes or machine.code in classes


def _pairs(title: str, rows: Iterable[tuple[str, str]]) -> CodeList:
    return CodeList(sheets=(title,), headers=(CODE, "In words"), rows=tuple(rows))


def _machines(book: ShopBook) -> CodeList:
    machines = (book.machines or {}).values()
    rows = tuple((each.code, each.machine_class, "; ".join(each.positions)) for each in machines)
    return CodeList(sheets=("Machines",), headers=(CODE, "Machine class", SIDES), rows=rows)


def _findings(book: ShopBook) -> CodeList:
    rows: list[tuple[str, ...]] = [
        (each.code, each.finding, "; ".join(each.machines), each.severity, what_to_measure(each))
        for each in book.findings.values()
    ]
    rows.append((OTHER, "Not in the list", "", "", OTHER_MEASURE))
    headers = (CODE, "Finding", "Machine", "Severity", WHAT_TO_MEASURE)
    return CodeList(sheets=FINDINGS, headers=headers, rows=tuple(rows))


def what_to_measure(finding: Finding) -> str:
    """What a technician measures, in which unit, and what passes; the finding's own words where it is judged by eye.

    >>> from decimal import Decimal
    >>> bore = Finding(code="BORE", finding="Bushing worn", severity="needed", measure="Bore", unit="in")
    >>> what_to_measure(bore)
    'Bore (in)'
    >>> what_to_measure(Finding(code="CAP", finding="Cap missing", severity="advised"))
    'Cap missing (by eye)'
    """
    if not finding.measure and finding.limit is None:
        return f"{finding.finding} (by eye)"
    text = finding.measure or finding.finding
    unit = f" ({finding.unit})" if finding.unit else ""
    if finding.limit is None or finding.fails_when is None:
        return text + unit
    return f"{text}{unit}: not {finding.fails_when} {finding.limit:f}"


def _sides(book: ShopBook) -> list[str]:
    classes = [each.positions for each in (book.machines or {}).values()] or [("left", "right")]
    return [*dict.fromkeys(side for positions in classes for side in positions), "both", "all"]


def _items(book: ShopBook) -> tuple[tuple[str, str], ...]:
    return (
        *((each.code, each.remedy) for each in book.remedies.values()),
        *((each.code, each.extra) for each in book.extras.values()),
        *((each.code, each.operation) for each in book.operations.values()),
    )
