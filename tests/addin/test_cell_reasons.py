"""Why a cell shows an error: found again by the formula that stands in it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from quotekit.addin.office import cell_reasons
from quotekit.addin.office.cell_reasons import UNKNOWN, Call, Reasons, calls_in

OURS = "ORG.QUOTEKIT.SHOPFUNCTIONS."


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        (f"={OURS}SELLINGPRICE(A1)", [("SELLING_PRICE", ["A1"])]),
        (f"={OURS}SELLINGPRICE()", [("SELLING_PRICE", [""])]),
        (f"={OURS}SELLINGPRICE(A1;;\"x.xlsx\")", [("SELLING_PRICE", ["A1", "", '"x.xlsx"'])]),
        (f"={OURS}SHAREDHOURS({{\"a\";\"b\"}};\"left\")", [("SHARED_HOURS", ['{"a";"b"}', '"left"'])]),
        (f"={OURS}TAXON({OURS}SELLINGPRICE(A1);\"parts\")",
         [("TAX_ON", [f"{OURS}SELLINGPRICE(A1)", '"parts"']), ("SELLING_PRICE", ["A1"])]),
        ("=SELLING_PRICE(A1)", [("SELLING_PRICE", ["A1"])]),
        ("=remedy_price($Sheet2.B3)", [("REMEDY_PRICE", ["$Sheet2.B3"])]),
        (f"={OURS}TAXON(\"a \"\";)\"\" b\";2)", [("TAX_ON", ['"a "";)"" b"', "2"])]),
        ('="SELLING_PRICE(A1)"', []),
        ("SELLING_PRICE(A1", [("SELLING_PRICE", [])]),
        ("=SUM(A1:A3)", []),
        ("", []),
    ],
)  # fmt: skip
def test_calls(formula: str, expected: list[tuple[str, list[str]]]) -> None:
    """Within another function, within each other, with texts that hold brackets; a text is no formula."""
    assert calls_in(formula) == expected


class Cells:
    """A document with one sheet, as far as an argument is looked up."""

    RuntimeUID = "1"

    def __init__(self, **values: Any) -> None:
        self.values = values

    def getSheets(self) -> Any:
        return SimpleNamespace(getByName=lambda name: {"Sheet1": self, "It's": self}[name])

    def getCellRangeByName(self, address: str) -> Any:
        return SimpleNamespace(getDataArray=lambda: self.values[address.replace(":", "_")])

    def cell(self, formula: str, error: int = 502) -> Any:
        return SimpleNamespace(getError=lambda: error, getFormula=lambda: formula, getSpreadsheet=lambda: self)


@pytest.fixture
def document() -> Cells:
    return Cells(A1=((6.25,),), B1=(("",),), C1=(("SEAL",),), A1_A2=((6.25,), ("",)))


@pytest.mark.parametrize(
    ("formula", "asked"),
    [
        ("SELLINGPRICE(A1)", (6.25,)),
        ("SELLINGPRICE($A$1;B1)", (6.25, 0.0)),
        ("SELLINGPRICE(Sheet1.A1)", (6.25,)),
        ("SELLINGPRICE($'It''s'.A1)", (6.25,)),
        ("SELLINGPRICE(B1)", (0.0,)),
        ('SELLINGPRICE(C1;;"b")', ("SEAL",)),
        ("SELLINGPRICE(-4.5)", (-4.5,)),
        ('SELLINGPRICE("12";TRUE())', ("12", 1.0)),
        ("SELLINGPRICE(A1*2)", (12.5,)),
        ("SELLINGPRICE(Elsewhere.A1)", (1.0,)),
        ("SELLINGPRICE(A1:A2)", (((6.25,), ("",)),)),
        ("SELLINGPRICE()", ()),
    ],
)
def test_a_cell_is_told_its_reason(
    document: Cells, monkeypatch: pytest.MonkeyPatch, formula: str, asked: tuple[Any, ...]
) -> None:
    """What stands in the cells it names decides; what is worked out may be anything."""
    known = Reasons()
    monkeypatch.setattr(cell_reasons, "REASONS", known)
    known.keep(Call("SELLING_PRICE", "doc", ("another",)), "not this one")
    known.keep(Call("TAX_ON", "doc", asked), "nor this")
    known.keep(Call("SELLING_PRICE", "other doc", asked), "nor that")
    cell = document.cell(f"={OURS}{formula}")
    if "*" not in formula and "Elsewhere" not in formula:
        assert cell_reasons.reason_of(document, cell, "doc") is None
    known.keep(Call("SELLING_PRICE", "doc", asked, "b" if '"b"' in formula else ""), "the reason")
    assert cell_reasons.reason_of(document, cell, "doc") == "the reason"
    assert cell_reasons.reason_of(document, document.cell(f"={OURS}{formula}", error=0), "doc") is None


def test_a_figure_ends_the_reason() -> None:
    known, call = Reasons(), Call("TAX_ON", "doc", (1.0, "prts"))
    known.keep(call, "no charge")
    assert known.of("TAX_ON", "doc", [1.0, "prts"]) == ["no charge"]
    assert known.of("TAX_ON", "doc", [UNKNOWN, UNKNOWN]) == ["no charge"]
    assert known.of("TAX_ON", "doc", [1.0, "prts", None, ""]) == ["no charge"]
    known.forget(call)
    assert known.of("TAX_ON", "doc", [1.0, "prts"]) == []


def test_the_last_reason_first_and_not_too_many() -> None:
    """An office that runs for weeks does not fill up."""
    known = Reasons(most=3)
    for number in range(5):
        known.keep(Call("TAX_ON", "doc", (float(number),)), f"reason {number}")
    assert known.of("TAX_ON", "doc", [UNKNOWN]) == ["reason 4", "reason 3", "reason 2"]


def test_calls_know_their_day() -> None:
    """Only then the document's first day is sent along."""
    assert Call("TAX_ON", "d", (1.0, "parts", 46083.0)).has_date
    assert not Call("TAX_ON", "d", (1.0, "parts")).has_date
    assert not Call("TAX_ON", "d", (1.0, "parts", None, "x")).has_date
    assert not Call("SELLING_PRICE", "d", (1.0, 2.0, 3.0, 4.0, 5.0)).has_date
