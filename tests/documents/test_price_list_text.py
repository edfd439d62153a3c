"""What a person and a program read of a price list."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.documents.price_list_json import lay_out_report_json
from quotekit.documents.price_list_text import amount_text, lay_out_found, lay_out_report, terms_text
from quotekit.model.price_list import FATES, Example, FoundPrice, ListedPrice, ListReport, Remark

ROW = ListedPrice(
    number="A-1",
    row=1234,
    fate="in force",
    cost=Decimal("12.5"),
    cost_for=Decimal(100),
    pack=Decimal(10),
    list_price=Decimal(20),
    lead_days=3,
    superseded_by="A-2",
    currency="EUR",
    dated=date(2026, 1, 1),
)
ZERO = Remark(code="zero-cost", says="have a cost of zero", rows=7, examples=(Example(row=9, number="Z", text="0"),))
REPORT = ListReport(
    supplier="ACME",
    file="acme.csv",
    sha256="0" * 64,
    day=date(2026, 3, 15),
    currency="EUR",
    rows=1_000_003,
    numbers=1_000_000,
    fates={"in force": 1_000_000, "blank": 1, "above the table": 2},
    remarks=(ZERO,),
    read_as=("written in UTF-8", "parted by tabs"),
)


def test_the_report_in_lines() -> None:
    assert lay_out_report(REPORT) == [
        "acme.csv: 1,000,003 rows, prices of ACME as of 2026-03-15",
        "read as: written in UTF-8, parted by tabs",
        "",
        "  1,000,000  in force on the day",
        "          2  above the table, the header too",
        "          1  blank",
        "  1,000,003  in all",
        "",
        "what to know:",
        "          7  have a cost of zero",
        "               row 9 Z: 0",
    ]


def test_terms_in_one_line() -> None:
    expected = "12.50 EUR for 100, packs of 10, list 20.00, 3 days, from 2026-01-01, replaced by A-2 (row 1,234)"
    assert terms_text(ROW) == expected


@pytest.mark.parametrize(
    ("found", "says"),
    [
        (FoundPrice(asked="A-1", how="exact", price=ROW), "A-1: 12.50 EUR"),
        (FoundPrice(asked="a1", how="near", price=ROW), "a1 (as A-1, which is not quite the same): 12.50"),
        (FoundPrice(asked="X", how="not found"), "X: it is not in the list"),
        (FoundPrice(asked="X", how="not found", nearest=("Y", "Z")), "X: it is not in the list; one slip away: Y, Z"),
        (FoundPrice(asked="X", how="contradicted", rows=(ROW,)), "X: the list says two things of it"),
        (FoundPrice(asked="X", how="no price", rows=(ROW,)), "X: it is there, but no row of it counts"),
        (FoundPrice(asked="X", how="several", rows=(ROW,)), "X: several numbers of the list are alike"),
    ],
)
def test_what_was_found_in_lines(found: FoundPrice, says: str) -> None:
    lines = lay_out_found([found])
    assert lines[0].startswith(says)
    assert len(lines) == 1 + len(found.rows)


@pytest.mark.parametrize(
    ("amount", "text"), [(Decimal("12.5"), "12.50"), (Decimal("0.000001"), "0.000001"), (Fraction(1, 4), "0.25")]
)
def test_amounts_lose_no_digit(amount: Decimal | Fraction, text: str) -> None:
    assert amount_text(amount) == text


def test_a_text_with_control_characters_stays_on_its_line() -> None:
    """A list may hold anything; the screen must not be told to move its cursor."""
    remark = Remark(code="x", says="odd", rows=1, examples=(Example(row=2, number="A\x1b[2J", text="b\nc"),))
    lines = lay_out_report(ListReport(**{**vars(REPORT), "remarks": (remark,)}))
    assert lines[-1] == "               row 2 A [2J: b c"


def test_the_report_as_json() -> None:
    told = lay_out_report_json(REPORT, [FoundPrice(asked="A-1", how="exact", price=ROW)], [])
    assert told["fates"] == {"in force": 1_000_000, "above the table": 2, "blank": 1}
    assert told["remarks"][0] == {
        "code": "zero-cost",
        "says": "have a cost of zero",
        "rows": 7,
        "examples": [{"row": 9, "number": "Z", "text": "0"}],
    }
    price = told["found"][0]["price"]
    assert (price["cost"], price["cost_for"], price["dated"], price["until"]) == ("12.5", "100", "2026-01-01", None)


def test_nothing_read_as_json() -> None:
    assert lay_out_report_json(None, [], [])["rows"] is None


def test_every_fate_has_its_words() -> None:
    assert all(words and words == words.strip() for words in FATES.values())
    assert len(set(FATES.values())) == len(FATES)
