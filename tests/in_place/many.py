"""Many random changes of cells in many workbooks, each compared with what was there by code of its own.

`python -m tests.in_place.many N SEED` makes N changes over the example books and the awkward ones and prints what was
changed beside (aim 0), what was refused, errors that the Open XML SDK finds now and did not before (aim 0), and times.
"""

from __future__ import annotations

import io
import random
import sys
import time
import zipfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree

from quotekit.problems import has_errors
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.edit_workbook import edit_workbook
from tests.conformity.open_xml import errors_in, program_in
from tests.in_place.awkward import all_kinds, saved_in_office
from tests.in_place.compare import cells_of, collateral, letters, part_names
from tests.in_place.may_change import must_refuse

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
NPM = ROOT / "tests" / "node_modules"
TEXTS = (
    "belt",
    "a & <b>",
    " two  spaces ",
    "_x0041_",
    "Größe",
    "=1+1",
    "line\nbreak",
    "",
    "7",
    "\x07bell",
    "\U0001f527",
)
AT_ONCE = 12


@dataclass(kw_only=True)
class Tally:
    """What a run found."""

    edits: int = 0
    calls: int = 0
    calculated: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    beside: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    sdk: list[str] = field(default_factory=list)
    seconds: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))


def books(
    program: str | None, folder: Path, saved: Sequence[str] = ("everything.xlsx", "from openpyxl.xlsx")
) -> dict[str, bytes]:
    """The workbooks that are changed, by name; some once more as LibreOffice saves them."""
    found = {str(path.relative_to(EXAMPLES)): path.read_bytes() for path in sorted(EXAMPLES.rglob("*.xlsx"))}
    found |= all_kinds()
    if program is not None:
        for name in saved:
            found[f"saved by LibreOffice, {name}"] = saved_in_office(found[name], program, folder)
    return found


def run(given: Mapping[str, bytes], edits: int, seed: int) -> tuple[Tally, dict[str, bytes]]:
    """Make so many changes; what was found, and each workbook as it is at the end."""
    draw, tally = random.Random(seed), Tally()
    now = dict(given)
    names = sorted(given)
    while tally.edits < edits:
        name = names[tally.calls % len(names)]
        if draw.random() < 0.1:
            now[name] = given[name]
        now[name] = change_once(name, now[name], draw, tally)
    return tally, now


def change_once(name: str, data: bytes, draw: random.Random, tally: Tally) -> bytes:
    """Some changes of a workbook, those that must be refused left out at a second try; each result is looked at."""
    parts = part_names(data)
    changes = draw_changes(data, parts, draw)
    began = time.perf_counter()
    edited, problems = edit_workbook(name, data, changes)
    tally.calls += 1
    refused = {(one.place.sheet, one.place.cell) for one in problems if one.severity == "error"}
    tally.refused.update(one.code for one in problems if one.severity == "error")
    expected = must_refuse(data, parts, [(one.sheet, one.cell) for one in changes])
    if {cell for cell in refused if cell in expected} != expected or not refused <= expected | no_dates(problems):
        tally.wrong.append(f"{name}: refused {sorted(refused)}, should {sorted(expected)}")
    if edited is None:
        changes = [one for one in changes if (one.sheet, one.cell) not in refused]
        began = time.perf_counter()
        edited, problems = edit_workbook(name, data, changes)
    tally.seconds[size_of(data)].append(time.perf_counter() - began)
    if edited is None or has_errors(problems):
        tally.wrong.append(f"{name}: {problems}")
        return data
    tally.edits += len(changes)
    tally.calculated += len(edited.calculated)
    typed = {(parts[one.sheet], one.cell) for one in edited.cells}
    worked = {(parts[one.sheet], one.cell) for one in edited.calculated}
    tally.beside += [f"{name}: {one}" for one in collateral(data, edited.data, typed, worked)]
    tally.wrong += [f"{name}: {one}" for one in unlike(edited.data, parts, changes)]
    return edited.data


def no_dates(problems: Iterable[object]) -> set[tuple[str, str]]:
    """Cells refused since they would not show a date: the format is not looked at a second time here."""
    found = set()
    for one in problems:
        if getattr(one, "code", "") == "no-date-format":
            place = one.place  # type: ignore[attr-defined]
            found.add((place.sheet, place.cell))
    return found


def draw_changes(data: bytes, parts: Mapping[str, str], draw: random.Random) -> list[Change]:
    """Cells that are there, and some that are not, each once, with new values."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        sheets = {name: sorted(cells_of(package.read(part))) for name, part in parts.items()}
    found: dict[tuple[str, str], Change] = {}
    for _ in range(draw.randint(1, AT_ONCE)):
        sheet = draw.choice(sorted(sheets))
        cell = f"{letters(draw.randint(1, 20))}{draw.randint(1, 60)}"
        if sheets[sheet] and draw.random() < 0.75:
            cell = draw.choice(sheets[sheet])
        found[sheet, cell] = Change(sheet, cell, draw_value(draw))
    return [*found.values()]


def draw_value(draw: random.Random) -> Decimal | str | bool | date | None:
    """A new value of any kind, mostly numbers."""
    kind = draw.random()
    if kind < 0.6:
        digits = draw.randint(1, 15)
        return Decimal(draw.randint(-(10**digits) + 1, 10**digits - 1)).scaleb(-draw.randint(0, 20))
    if kind < 0.8:
        return draw.choice(TEXTS)
    if kind < 0.88:
        return draw.random() < 0.5
    if kind < 0.94:
        return date(2026, 1, 1) + timedelta(days=draw.randint(-5000, 5000))
    return None


def unlike(data: bytes, parts: Mapping[str, str], changes: Iterable[Change]) -> list[str]:
    """Cells that do not say what they should, read by ElementTree."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        cells = {name: cells_of(package.read(part)) for name, part in parts.items()}
        days = b'date1904="1"' in package.read("xl/workbook.xml")
        texts = shared(package)
    wrong = []
    for sheet, cell, value in changes:
        found = cells[sheet].get(cell)
        if not says(found, value, texts, date(1904, 1, 1) if days else date(1899, 12, 30)):
            wrong.append(f"{sheet}!{cell} says {found}, not {value!r}")
    return wrong


def shared(package: zipfile.ZipFile) -> list[str]:
    """The shared texts."""
    if "xl/sharedStrings.xml" not in package.namelist():
        return []
    root = ElementTree.fromstring(package.read("xl/sharedStrings.xml"))
    return ["".join(one.text or "" for one in entry.iter() if one.tag.endswith("}t")) for entry in root]


def says(found: object, value: object, texts: Sequence[str], first: date) -> bool:
    """True where a cell as read holds a value as given."""
    kind, held = getattr(found, "kind", ""), getattr(found, "value", None)
    if kind == "s":
        kind, held = "inlineStr", texts[int(held or 0)]
    if value is None:
        return held is None or held == ""
    if isinstance(value, bool):
        return (kind, held) == ("b", str(int(value)))
    if isinstance(value, Decimal):
        return kind == "n" and held is not None and Decimal(held) == value
    if isinstance(value, date):
        return kind == "n" and held == str((value - first).days)
    meant = {"_x0041_": "_x005F_x0041_", "\x07bell": "_x0007_bell"}.get(str(value), value)
    return kind == "inlineStr" and held == meant


def size_of(data: bytes) -> str:
    """A class of size, by the bytes of the file."""
    return next((f"up to {limit} kB" for limit in (10, 30, 100, 1000) if len(data) <= limit << 10), "larger")


def sdk_errors_added(given: Mapping[str, bytes], now: Mapping[str, bytes], folder: Path) -> list[str]:
    """What the Open XML SDK finds in workbooks now and did not find before; what it tells of a place is left out."""
    program, added = program_in(NPM), []
    for name in sorted(given):
        if given[name] == now[name]:
            continue
        found = []
        for title, data in (("before", given[name]), ("after", now[name])):
            path = folder / f"{title}{Path(name).suffix}"
            path.write_bytes(data)
            found.append(Counter(one.partition(": ")[2] for one in errors_in(program, path)))
        added += [f"{name}: {one}" for one in (found[1] - found[0])]
    return added


def main(arguments: list[str]) -> int:
    """Run, and print what was found."""
    import shutil

    edits, seed = int(arguments[0]), int(arguments[1]) if len(arguments) > 1 else 1
    with TemporaryDirectory() as name:
        folder = Path(name)
        given = books(shutil.which("soffice"), folder)
        tally, now = run(given, edits, seed)
        tally.sdk = sdk_errors_added(given, now, folder)
    print(
        f"{len(given)} workbooks, {tally.edits} changes in {tally.calls} calls, {tally.calculated} results taken away"
    )
    print("refused:", ", ".join(f"{code} {count}" for code, count in tally.refused.most_common()))
    for size, seconds in sorted(tally.seconds.items(), key=lambda one: sum(one[1]) / len(one[1])):
        print(f"{size}: {1000 * sum(seconds) / len(seconds):.1f} ms a call, {len(seconds)} calls")
    for title, found in (("changed beside", tally.beside), ("wrong", tally.wrong), ("SDK errors added", tally.sdk)):
        print(f"{title}: {len(found)}", *found[:20], sep="\n  ")
    return 1 if tally.beside or tally.wrong or tally.sdk else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
