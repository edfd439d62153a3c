"""What a shop would use instead: the same quote as spreadsheet formulas, worked out by LibreOffice and by `formulas`.

Two workbooks of one job. The *plain model* (`plain_model`) is the sheet a shop would fill in itself: a part's cost is
typed anew, and every tier's total is read. The *live quote* is the customer's workbook that quotekit writes: an option
is typed, and the total to pay is read. All totals are held against the engine's to the cent before anything is timed.
By the clock, since LibreOffice is another process.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any

from quotekit.model.expression import evaluate
from quotekit.model.quote import Quote
from quotekit.money import EXACT
from quotekit.pricing import build_quote
from tests.bench.paired import Job, Took, here, in_turn
from tests.bench.plain_model import Repriced, write_plain_model
from tests.bench.table import Row, faster, skipped
from tests.recalculation.examples import EXAMPLES, an_example
from tests.recalculation.office import SYSTEM_PYTHON

SECTION = "Pricing, beside the same quote as spreadsheet formulas, a tier"
AIM = 500
DRIVER = Path(__file__).with_name("office_recalculation.py")
Totals = Callable[[int], list[Decimal]]


class Recalculated:
    """A workbook, the cell that is typed into, what is typed, and the cells of the totals."""

    def __init__(self, path: Path, cell: str, typed: Sequence[float | str], wanted: Sequence[str], tiers: int) -> None:
        self.path, self.cell, self.typed, self.wanted, self.tiers = path, cell, typed, wanted, tiers


class Disagrees(AssertionError):
    """A spreadsheet says another total than the engine: nothing is compared then."""


class Office:
    """LibreOffice with a profile of its own."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process
        self.start = float(self._answer()["start"])

    def ask(self, **request: Any) -> dict[str, Any]:
        """One request and its answer."""
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(request) + "\n")
        self._process.stdin.flush()
        return self._answer()

    def _answer(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        found: dict[str, Any] = json.loads(self._process.stdout.readline())
        return found


@contextmanager
def office_running(folder: Path) -> Iterator[Office]:
    """From its start to its end."""
    program = shutil.which("soffice")
    assert program is not None
    words = [SYSTEM_PYTHON, str(DRIVER), program, str(folder / "profile")]
    process = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    try:
        yield Office(process)
    finally:
        assert process.stdin is not None
        process.stdin.close()
        process.wait(60)


def measure(rounds: int) -> list[Row]:
    """Every row of the section."""
    missing = "soffice is not installed" if shutil.which("soffice") is None else ""
    if missing:
        return [skipped(SECTION, "LibreOffice", missing)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        case = an_example(EXAMPLES[1])
        repriced, quote = Repriced(*case), build_quote(*case)
        plain, plain_totals = plain_workbook(repriced, folder)
        live, live_totals = live_workbook(quote, folder)
        with office_running(folder) as first:
            start = first.start
        with office_running(folder) as office:
            start = min(start, office.start)
            rows = _plain(repriced, plain, plain_totals, office, rounds)
            rows += _live(repriced, quote, live, live_totals, office, rounds)
            rows += _whole(repriced, plain, office, start, rounds)
    return rows


def plain_workbook(repriced: Repriced, folder: Path) -> tuple[Recalculated, Totals]:
    """The plain model, its costs as typed one after the other, and the engine's totals at each."""
    path, part = folder / "plain model.xlsx", repriced.part_of_all()
    cell, wanted = write_plain_model(repriced, path)
    costs = [repriced.book.parts[part].pack_cost + Decimal(step) / 100 for step in range(40)]
    workbook = Recalculated(path, cell, [float(cost) for cost in costs], wanted, len(wanted))
    return workbook, lambda at: repriced.totals_at(part, costs[at])


def live_workbook(quote: Quote, folder: Path) -> tuple[Recalculated, Totals]:
    """The customer's quote, its options as typed one after the other, and the engine's total of each."""
    from quotekit.documents.customer_quote import lay_out_customer_quote
    from quotekit.workbook.write_sheet import write_workbook
    from tests.recalculation.figures import figure_cells

    assert quote.live is not None
    value, path = lay_out_customer_quote(quote), folder / "live quote.xlsx"
    write_workbook(value, path)
    total = next(cell for cell, figures in figure_cells(value, quote).items() if figures == ("total",))
    options = [quote.live.options[at % len(quote.live.options)] for at in range(40)]
    totals = {tier.code: tier.total for tier in quote.tiers}
    workbook = Recalculated(path, "chosen_tier", [option.label for option in options], [total], 1)
    return workbook, lambda at: [totals[options[at].code]]


def in_office(office: Office, workbook: Recalculated, figure: str, times: int = 10) -> Job:
    """Typed, worked out anew and read so often; seconds a tier, of the whole round or of the working out alone."""

    def run() -> Took:
        typed = [workbook.typed[at % len(workbook.typed)] for at in range(times)]
        said = office.ask(set=workbook.cell, values=typed, read=workbook.wanted)[figure]
        seconds = sum(said) / times / workbook.tiers
        return Took(seconds, seconds)

    return run


def agrees(shown: Sequence[Sequence[float]], totals: Totals, who: str) -> None:
    """Every total to the cent."""
    for at, values in enumerate(shown):
        expected = totals(at)
        if [round(value, 2) for value in values] != [float(total) for total in expected]:
            raise Disagrees(f"{who} says {values}, the engine {expected}")


class InPackage:
    """A workbook read once by the package `formulas`, then worked out at each change."""

    def __init__(self, workbook: Recalculated, cell: str) -> None:
        from formulas import ExcelModel

        start = time.perf_counter()
        self._model = ExcelModel().loads(str(workbook.path)).finish()
        self.compiling = time.perf_counter() - start
        self._workbook, self._at = workbook, 0
        self._cell = self._key(cell)

    def _key(self, cell: str) -> str:
        sheet, address = cell.split("!")
        return f"'[{self._workbook.path.name}]{sheet.upper()}'!{address}"

    def shown(self, typed: float | str) -> list[float]:
        """The totals once something was typed."""
        solution = self._model.calculate(inputs={self._cell: typed})
        return [float(solution[self._key(cell)].value.ravel()[0]) for cell in self._workbook.wanted]

    def job(self) -> Job:
        """One change worked out; seconds a tier."""

        def run() -> Took:
            self._at += 1
            typed = self._workbook.typed[self._at % len(self._workbook.typed)]
            start = time.perf_counter()
            self.shown(typed)
            seconds = (time.perf_counter() - start) / self._workbook.tiers
            return Took(seconds, seconds)

        return run


def _a_tier(work: Callable[[], object], tiers: int, times: int = 10) -> Job:
    """Our own work on so many tiers; seconds a tier."""
    run = here(work, times)
    return lambda: Took(*(seconds / tiers for seconds in run()))


def _plain(repriced: Repriced, workbook: Recalculated, totals: Totals, office: Office, rounds: int) -> list[Row]:
    office.ask(open=str(workbook.path))
    said = office.ask(set=workbook.cell, values=workbook.typed[:6], read=workbook.wanted)
    agrees(said["values"], totals, "LibreOffice")
    package = InPackage(workbook, workbook.cell)
    agrees([package.shown(typed) for typed in workbook.typed[:3]], totals, "formulas")
    part, cost = repriced.part_of_all(), repriced.book.parts[repriced.part_of_all()].pack_cost
    taken = in_turn(
        rounds,
        {
            "items known": _a_tier(repriced.totals, workbook.tiers),
            "book changed": _a_tier(lambda: repriced.totals_at(part, cost), workbook.tiers),
            "LibreOffice, warm": in_office(office, workbook, "rounds"),
            "LibreOffice, calculateAll alone": in_office(office, workbook, "alone"),
            "formulas": package.job(),
        },
    )
    office.ask(close=True)
    return [
        faster(SECTION, "plain model: items known, priced", taken, "items known", "formulas", aim=AIM),
        faster(SECTION, "plain model: a cost changed, all priced anew", taken, "book changed", "formulas", aim=AIM),
        faster(SECTION, "plain model: items known, priced", taken, "items known", "LibreOffice, warm", aim=AIM),
        faster(SECTION, "plain model: items known, priced", taken, "items known", "LibreOffice, calculateAll alone"),
        faster(SECTION, "plain model: a cost changed, all priced anew", taken, "book changed", "LibreOffice, warm"),
    ]


def _live(
    repriced: Repriced, quote: Quote, workbook: Recalculated, totals: Totals, office: Office, rounds: int
) -> list[Row]:
    from tests.recalculation.figures import named_cells

    assert quote.live is not None
    office.ask(open=str(workbook.path))
    said = office.ask(set=workbook.cell, values=workbook.typed[:6], read=workbook.wanted)
    agrees(said["values"], totals, "LibreOffice")
    from quotekit.documents.customer_quote import lay_out_customer_quote

    package = InPackage(workbook, named_cells(lay_out_customer_quote(quote))[workbook.cell])
    agrees([package.shown(typed) for typed in workbook.typed[:3]], totals, "formulas")
    steps, option = quote.live.steps, quote.live.options[0].chosen
    tier = next(iter(repriced.tiers.values()))

    def price() -> None:
        with localcontext(EXACT):
            repriced.setup.price(tier.items)

    taken = in_turn(
        rounds,
        {
            "by the engine": here(price, 20),
            "by the same sums": here(lambda: evaluate(steps, {option: 1}), 20),
            "LibreOffice, warm": in_office(office, workbook, "rounds"),
            "formulas": package.job(),
        },
    )
    office.ask(close=True)
    return [
        faster(SECTION, "live quote: an option, by the engine", taken, "by the engine", "formulas", aim=AIM),
        faster(SECTION, "live quote: an option, by the same sums", taken, "by the same sums", "formulas", aim=AIM),
        faster(SECTION, "live quote: an option, by the engine", taken, "by the engine", "LibreOffice, warm", aim=AIM),
        faster(SECTION, "live quote: an option, by the same sums", taken, "by the same sums", "LibreOffice, warm"),
    ]


def _whole(repriced: Repriced, workbook: Recalculated, office: Office, start: float, rounds: int) -> list[Row]:
    """With the workbook opened for each job, and with LibreOffice started for it, as from a script."""

    def opened() -> Took:
        begun = time.perf_counter()
        office.ask(open=str(workbook.path))
        office.ask(set=workbook.cell, values=workbook.typed[:1], read=workbook.wanted)
        office.ask(close=True)
        seconds = (time.perf_counter() - begun) / workbook.tiers
        return Took(seconds, seconds)

    def started() -> Took:
        seconds = opened().clock + start / workbook.tiers
        return Took(seconds, seconds)

    part, cost = repriced.part_of_all(), repriced.book.parts[repriced.part_of_all()].pack_cost
    jobs: dict[str, Job] = {
        "book changed": _a_tier(lambda: repriced.totals_at(part, cost), workbook.tiers),
        "LibreOffice, workbook opened": opened,
        "LibreOffice, started and opened": started,
    }
    taken = in_turn(rounds, jobs)
    what = "plain model: a cost changed, all priced anew"
    return [
        faster(SECTION, what, taken, "book changed", "LibreOffice, workbook opened", aim=AIM),
        faster(SECTION, what, taken, "book changed", "LibreOffice, started and opened", aim=AIM),
    ]
