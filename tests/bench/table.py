"""What was measured as rows, and the rows as a table to read, a table for the README, and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from tests.bench.paired import Spread, Taken, middle, ratios, spread

UNITS = (("s", 1.0), ("ms", 1e-3), ("µs", 1e-6))


@dataclass(frozen=True)
class Row:
    """One measure: ours, what it is held against, the ratio of both, and the aim where there is one."""

    section: str
    what: str
    ours: float | None = None
    beside: float | None = None
    unit: str = "s"
    against: str = ""
    ratio: Spread | None = None
    reads: str = "×"
    """How the ratio is read: `×` ours by the other, `× faster` the other by ours."""

    by: str = ""
    rounds: int = 0
    aim: float | None = None
    note: str = ""

    @property
    def met(self) -> bool | None:
        """Whether the aim is met; None where there is none or nothing was measured."""
        figure = self.ratio.middle if self.ratio else self.ours
        if self.aim is None or figure is None:
            return None
        return figure >= self.aim if self.reads in ("× faster", "× as many") else figure <= self.aim


def skipped(section: str, what: str, reason: str) -> Row:
    """A row that could not be measured here, and why."""
    return Row(section, what, note=f"not measured: {reason}")


def slower(
    section: str, what: str, taken: Taken, ours: str, other: str, *, by: str = "processor", aim: float | None = None
) -> Row:
    """Ours by the other's: how much more than the floor."""
    return _compared(section, what, taken, (ours, other), ratios(taken, ours, other, by), "×", by, aim)


def faster(
    section: str, what: str, taken: Taken, ours: str, other: str, *, by: str = "clock", aim: float | None = None
) -> Row:
    """The other's by ours: how many times as fast ours is."""
    return _compared(section, what, taken, (ours, other), ratios(taken, other, ours, by), "× faster", by, aim)


def _compared(
    section: str,
    what: str,
    taken: Taken,
    names: tuple[str, str],
    figures: Sequence[float],
    reads: str,
    by: str,
    aim: float | None,
) -> Row:
    return Row(
        section,
        what,
        ours=middle(taken, names[0], by),
        beside=middle(taken, names[1], by),
        against=names[1],
        ratio=spread(figures),
        reads=reads,
        by=by,
        rounds=len(figures),
        aim=aim,
    )


def shown(figure: float | None, unit: str) -> str:
    """A figure with its unit, seconds in the unit that reads best.

    >>> shown(0.0123, "s"), shown(512.4, "MB"), shown(None, "s"), shown(0.00031, "s")
    ('12.3 ms', '512 MB', '', '310 µs')
    """
    if figure is None:
        return ""
    if unit != "s":
        return (
            f"{figure:,.0f} {unit}".rstrip()
            if abs(figure) >= 100 or figure == int(figure)
            else f"{figure:.2f} {unit}".rstrip()
        )
    name, size = next(((name, size) for name, size in UNITS if figure >= size), UNITS[-1])
    return f"{figure / size:.3g} {name}"


def shown_ratio(row: Row) -> str:
    """The median ratio with its spread.

    >>> shown_ratio(Row("a", "b", ratio=Spread(1.234, 1.2, 1.3)))
    '1.23 (1.20 to 1.30)'
    """
    if row.ratio is None:
        return ""
    low, middle, high = (_three(figure) for figure in (row.ratio.low, row.ratio.middle, row.ratio.high))
    return f"{middle} ({low} to {high})" + row.reads.removeprefix("×")


def _three(figure: float) -> str:
    return f"{figure:,.0f}" if figure >= 100 else f"{figure:.1f}" if figure >= 10 else f"{figure:.2f}"


def cells_of(row: Row) -> tuple[str, ...]:
    """A row's cells: what, ours, the other, the ratio, the aim."""
    against = f"{shown(row.beside, row.unit)} {row.against}".strip() or (row.note if row.ours is not None else "")
    aim = (
        "" if row.aim is None else f"{row.aim:g}: {'met' if row.met else 'not met' if row.met is not None else 'open'}"
    )
    return row.what, shown(row.ours, row.unit) or row.note, against, shown_ratio(row), aim


HEADS = ("", "quotekit", "beside", "ratio (middle half)", "aim")


def plain_table(rows: Sequence[Row], machine: Mapping[str, str]) -> str:
    """Lines to read in a terminal."""
    lines = [f"{name}: {value}" for name, value in machine.items()]
    cells = [cells_of(row) for row in rows]
    widths = [max(len(each[at]) for each in [HEADS, *cells]) for at in range(len(HEADS))]
    section = None
    for row, each in zip(rows, cells, strict=True):
        if row.section != section:
            section = row.section
            lines += ["", section, _line(HEADS, widths)]
        lines.append(_line(each, widths) + (f"  {row.note}" if row.note and row.against else ""))
    return "\n".join(lines)


def _line(cells: Iterable[str], widths: Iterable[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)).rstrip()


def readme_table(rows: Sequence[Row], machine: Mapping[str, str]) -> str:
    """The same for the README."""
    lines = ["; ".join(f"{name} {value}" for name, value in machine.items()) + ".", ""]
    section = None
    for row in rows:
        if row.section != section:
            section = row.section
            lines += [f"| {section} | quotekit | beside | ratio (middle half) | aim |", "|---|---|---|---|---|"]
        lines.append("| " + " | ".join(cells_of(row)) + " |")
    return "\n".join(_parted(lines))


def _parted(lines: Sequence[str]) -> list[str]:
    """A blank line before each table but the first."""
    return [
        part
        for at, line in enumerate(lines)
        for part in (["", line] if at > 2 and line.endswith("| aim |") else [line])
    ]


def as_json(rows: Sequence[Row], machine: Mapping[str, str], options: Mapping[str, Any]) -> str:
    """Everything, for programs."""
    found = {
        "machine": dict(machine),
        "options": dict(options),
        "rows": [asdict(row) | {"met": row.met} for row in rows],
    }
    return json.dumps(found, indent=1, ensure_ascii=False) + "\n"
