"""How many units a price is for, by its header or by a row's unit."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.suppliers.guess import Guess, guess_mapping
from quotekit.suppliers.price_basis import units_in_header, units_in_unit
from tests.suppliers.lists import write_list


@pytest.mark.parametrize(
    ("header", "units"),
    [
        ("Nettoprijs per 100", 100),
        ("Price (per 100)", 100),
        ("EK je 1000 Stück", 1000),
        ("Prix net/100", 100),
        ("Net $/hundred", 100),
        ("Cost per dozen", 12),
        ("Preis pro 10", 10),
        ("Price per 100+", 1),
        ("Net 10+", 1),
        ("Price 1-9", 1),
        ("Net 2025/2026", 1),
        ("Price 11/26", 1),
        ("EK/2026", 1),
        ("Price per pack", 1),
        ("Price per m", 1),
        ("Superb price", 1),
        ("", 1),
    ],
)
def test_headers(header: str, units: int) -> None:
    """Years, quantity breaks and metres say nothing of how many a price is for."""
    assert units_in_header(header) == units


@pytest.mark.parametrize(
    ("unit", "units"),
    [("C", 100), ("M", 1000), ("m", 1), ("PK10", 10), ("PR", 2), ("%", 100), ("EA", 1), ("ft", 1), ("", 1)],
)
def test_units(unit: str, units: int) -> None:
    assert units_in_unit(unit) == units


def guessed(folder: Path, text: str) -> Guess:
    found, problems = guess_mapping(write_list(folder, text), "ACME")
    assert found is not None, problems
    return found


def test_a_list_per_hundred(tmp_path: Path) -> None:
    """What the header says is taken, and told to be looked at."""
    text = "Bestelnummer;Brutoprijs per 100;Nettoprijs per 100\nA;945,00;420,00\nB;3.695,00;1.590,00\n"
    found = guessed(tmp_path, text)
    assert (found.mapping.cost_is_for, found.mapping.list_is_for) == ("100", "100")
    assert [doubt.partition(":")[0] for doubt in found.doubts] == ["cost_is_for", "list_is_for"]


def test_only_the_cost_is_for_a_hundred(tmp_path: Path) -> None:
    """`Price (per 100)` holds prices, not how many they are for."""
    found = guessed(tmp_path, "Part Number,Price (per 100),RRP (each)\nA,420.00,9.45\nB,1590.00,36.95\n")
    assert found.mapping.columns == {"number": "Part Number", "cost": "Price (per 100)", "list_price": "RRP (each)"}
    assert (found.mapping.cost_is_for, found.mapping.list_is_for) == ("100", "each")
    assert any("“RRP (each)” does not say how many" in doubt for doubt in found.doubts)


def test_a_unit_of_several_is_a_doubt(tmp_path: Path) -> None:
    found = guessed(tmp_path, "Part Number,UOM,Net Price\nA,EA,4.20\nB,C,162.00\n")
    assert any("“UOM” holds “C”, 100 units" in doubt for doubt in found.doubts)
    told = guessed(tmp_path, "Part Number,UOM,Per,Net Price\nA,EA,1,4.20\nB,C,100,162.00\n")
    assert not any(doubt.startswith("unit:") for doubt in told.doubts)
