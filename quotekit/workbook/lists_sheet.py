"""The Lists sheet of a job: where each block stands, and the names that the drop-downs take from.

**Lists that hang on the machine class.** A name such as `list_Findings` is a formula: it offers the column of the class
that is typed on the sheet Job, and the whole list while that is blank or unknown. A table on the Lists sheet says which
column each class has and how many entries it holds:

    machine_class_row  = 1 + the row of the table whose code or name is what is typed (0 where none is)
    list_Findings      = OFFSET(Lists!$A$3, 0, column of that row, 1st entry to the last, 1 column)

Why so: a drop-down that takes from a name works in every program that has names, and a column of plain text needs no
function that fills several cells by itself, and no macro. OFFSET gives a range from numbers in all of them. INDIRECT
would take addresses from text, which two programs spell differently and which no renaming of a sheet follows; a range
between two INDEX is refused by one program where it is typed into a drop-down. Capitals and spaces do not matter:
both sides are compared in capitals, without spaces, and by SUMPRODUCT, which knows no wildcards and is the same under
every setting for searching. A class without an entry (no extras) offers one blank line. Classes that have the
same entries share a column. Where a program cannot follow such a name the cell offers nothing and takes what is typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from xlsxwriter.utility import xl_col_to_name

from quotekit.record import record
from quotekit.workbook.job_lists import FINDINGS, WHAT_TO_MEASURE, ClassLists, CodeList

LISTS = "Lists"
FIRST_ROW = 2
"""Rows before the first row of a table: the line of help and the header."""
ROW_NAME = "machine_class_row"
ALL_FINDINGS, MEASURES = "all_findings", "measure_of_findings"
"""Names of the codes of every finding, whatever the class, and of what each measures."""
_WHOLE = "(blank or unknown)"


@record
class Block:
    """Columns side by side under one title; `left` counts from 0."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str | int, ...], ...]
    left: int

    @property
    def after(self) -> int:
        """The column of the next block: one stays free between."""
        return self.left + len(self.headers) + 1


@record
class ListsSheet:
    """All blocks, the workbook's names, and how many of the blocks are worth printing."""

    blocks: tuple[Block, ...] = ()
    names: Mapping[str, str]
    printed: int = 0


def lay_out_lists(lists: Sequence[CodeList], classes: Sequence[ClassLists] = (), typed: str = "") -> ListsSheet:
    """Whole lists first, then the columns of each class and the table that finds them.

    `typed` is the address of the cell that names the machine class; without it every list is offered whole.
    """
    blocks, names = _whole_lists(lists)
    printed = len(blocks)
    if classes and typed:
        hanging = [each for each in lists if each.name in classes[0].offered]
        columns, at = _class_columns(hanging, classes, blocks[-1].after)
        starts = {each.name: block.left for each, block in zip(lists, blocks, strict=True)}
        table = _table(hanging, classes, {**at, **{("", name): left for name, left in starts.items()}}, columns)
        blocks += [*columns, table]
        names |= _names(table, hanging, typed)
    return ListsSheet(blocks=tuple(blocks), names=names, printed=printed)


def _whole_lists(lists: Sequence[CodeList]) -> tuple[list[Block], dict[str, str]]:
    blocks: list[Block] = []
    names: dict[str, str] = {}
    for each in lists:
        left = blocks[-1].after if blocks else 0
        blocks.append(Block(title=", ".join(each.sheets), headers=each.headers, rows=each.rows, left=left))
        names[each.name] = _range(left, len(each.rows))
        if each.sheets == FINDINGS and WHAT_TO_MEASURE in each.headers:
            names[ALL_FINDINGS] = names[each.name]
            names[MEASURES] = _range(left + each.headers.index(WHAT_TO_MEASURE), len(each.rows))
    return blocks, names


def _class_columns(
    hanging: Sequence[CodeList], classes: Sequence[ClassLists], left: int
) -> tuple[list[Block], dict[tuple[str, str], int]]:
    """A column for each set of entries, and the column of each class and name."""
    blocks: list[Block] = []
    at: dict[tuple[str, str], int] = {}
    for each in hanging:
        same: dict[tuple[str, ...], list[str]] = {}
        for machine in classes:
            same.setdefault(machine.offered[each.name], []).append(machine.code)
        for entries, codes in same.items():
            more = f" and {len(codes) - 1} more" if codes[1:] else ""
            start = blocks[-1].after if blocks else left
            title, rows = ", ".join(each.sheets), tuple((entry,) for entry in entries)
            blocks.append(Block(title=title, headers=(f"for {codes[0]}{more}",), rows=rows, left=start))
            at |= {(code, each.name): start for code in codes}
    return blocks, at


def _table(
    hanging: Sequence[CodeList],
    classes: Sequence[ClassLists],
    at: Mapping[tuple[str, str], int],
    columns: Sequence[Block],
) -> Block:
    """Which column each class has, and how many entries there; the first row is that of the whole lists."""
    headers: tuple[str, ...] = ("Typed", "Row")
    whole: list[str | int] = [_WHOLE, 0]
    for each in hanging:
        headers += (f"{each.sheets[0]}: column", f"{each.sheets[0]}: entries")
        whole += [at["", each.name], len(each.rows)]
    rows: list[tuple[str | int, ...]] = [tuple(whole)]
    for machine in classes:
        numbers: list[int] = []
        for each in hanging:
            numbers += [at[machine.code, each.name], max(1, len(machine.offered[each.name]))]
        rows += [(typed, len(rows) + shift, *numbers) for shift, typed in enumerate(machine.typed)]
    return Block(title="Lists by machine class", headers=headers, rows=tuple(rows), left=columns[-1].after)


def _names(table: Block, hanging: Sequence[CodeList], typed: str) -> dict[str, str]:
    count = len(table.rows)
    keys, numbers = _range(table.left, count)[1:], _range(table.left + 1, count)[1:]
    row = f'=SUMPRODUCT((SUBSTITUTE(UPPER({keys})," ","")=SUBSTITUTE(UPPER({typed})," ",""))*{numbers})+1'
    names = {ROW_NAME: row}
    for place, each in enumerate(hanging):
        column, entries = (_range(table.left + 2 + 2 * place + shift, count)[1:] for shift in (0, 1))
        picked = (f"INDEX({column},{ROW_NAME})", f"INDEX({entries},{ROW_NAME})")
        names[each.name] = f"=OFFSET({LISTS}!$A${FIRST_ROW + 1},0,{picked[0]},{picked[1]},1)"
    return names


def _range(column: int, rows: int) -> str:
    """A column of entries, as a formula.

    >>> _range(4, 2)
    '=Lists!$E$3:$E$4'
    """
    letter = xl_col_to_name(column, col_abs=True)
    return f"={LISTS}!{letter}${FIRST_ROW + 1}:{letter}${FIRST_ROW + rows}"


def measure_formula(finding: str) -> str:
    """What to measure for the finding of a cell; nothing where it is blank or in no list.

    >>> measure_formula("A3")
    '=IFERROR(INDEX(measure_of_findings,MATCH(TRIM(A3),all_findings,0)),"")'
    """
    return f'=IFERROR(INDEX({MEASURES},MATCH(TRIM({finding}),{ALL_FINDINGS},0)),"")'
