"""What the sheet says beside each answer, in LibreOffice: the exact difference, and what became of a tick."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue
from quotekit.model.live import LiveExtra
from quotekit.model.quote import Quote
from quotekit.workbook.write_sheet import write_workbook
from tests.recalculation.combinations import TICKS, choices, live_cases
from tests.recalculation.figures import NOTHING, cells_of
from tests.recalculation.office import Office, Value

ANSWERED: tuple[Value, ...] = (*TICKS, "☐", "No", "no", None, False, 0)
NOT_UNDERSTOOD = "Not understood, so not added: answer Yes or No."


@dataclass(frozen=True)
class Beside:
    """The cells beside what is offered, and the boxes of the options."""

    exact: dict[str, str]
    remark: dict[str, str]
    """By defined name of the cell to tick."""
    boxes: tuple[str, ...]


def beside(value: WorkbookValue) -> Beside:
    """Found by what their formulas are for."""
    exact, remark, boxes = {}, {}, []
    name = ""
    for address, cell in cells_of(value):
        name = cell.name if cell.name.startswith("extra_") else name
        if cell.formula.endswith('"included","not offered")))'):
            exact[name] = address
        elif NOT_UNDERSTOOD in cell.formula:
            remark[name] = address
        elif cell.formula.endswith('"☑","☐")'):
            boxes.append(address)
    return Beside(exact, remark, tuple(boxes))


@pytest.mark.parametrize("first", [400_000, 400_100])
def test_beside_each_answer_of_random_quotes(first: int, office: Office, tmp_path: Path) -> None:
    compared = 0
    for seed, _, quote in islice(live_cases(first), 4):
        live, value = quote.live, lay_out_customer_quote(quote)
        assert live is not None
        cells = beside(value)
        assert set(cells.exact) == set(cells.remark) == {extra.defined_name for extra in live.extras}
        assert len(cells.boxes) == len(live.options)
        write_workbook(value, tmp_path / "quote.xlsx")
        wanted = [*cells.exact.values(), *cells.remark.values(), *cells.boxes]
        with office.opened(tmp_path / "quote.xlsx") as workbook:
            for choice in choices(quote, Random(seed), 10)[:10]:
                shown = workbook.shown(choice.typed, wanted)
                codes = [option.code for option in live.options]
                number = codes.index(choice.option)
                assert [shown[box] for box in cells.boxes] == ["☑" if code == choice.option else "☐" for code in codes]
                for extra in live.extras:
                    typed = choice.typed[extra.defined_name]
                    assert shown[cells.exact[extra.defined_name]] == exact_of(quote, extra, number)
                    assert shown[cells.remark[extra.defined_name]] == remark_of(extra, number, typed)
                    compared += 1
    assert compared > 30


def exact_of(quote: Quote, extra: LiveExtra, number: int) -> float | str:
    """The engine's difference by itself, or why there is none."""
    if extra.place[number] != "offered":
        return "included" if extra.place[number] == "included" else "not offered"
    offered = {one.extra: one.price for one in quote.offered[number].extras}
    return float(offered[extra.key])


def remark_of(extra: LiveExtra, number: int, typed: Value) -> str:
    """What became of an answer that adds nothing."""
    if typed not in ANSWERED:
        return NOT_UNDERSTOOD
    if typed not in TICKS or extra.place[number] == "offered":
        return NOTHING
    if extra.place[number] == "included":
        return "Nothing to add: the option includes it."
    return "Not added: the option does not offer it."
