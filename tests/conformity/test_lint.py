"""The lint finds what the validator misses: each planted fault, and nothing in a good workbook."""

from __future__ import annotations

import pytest

from tests.conformity.formula_shape import shape
from tests.conformity.lint import faults, main
from tests.conformity.planted import PLANTS, SHOP, Plant, formula, good_workbook

GOOD = good_workbook()


def test_a_good_workbook_has_no_fault() -> None:
    assert faults(GOOD, shop=SHOP) == []


@pytest.mark.parametrize(("plant", "said"), PLANTS.values(), ids=PLANTS)
def test_each_planted_fault_is_found(plant: Plant, said: str) -> None:
    """And by its own words, so that no plant is caught by accident."""
    found = faults(plant(GOOD), shop=SHOP)
    assert any(said in fault for fault in found), found


def test_books_for_the_shop_may_use_more_functions_and_say_more() -> None:
    for name in ("a rounding function", "a title"):
        assert faults(PLANTS[name][0](GOOD), any_function=True) == []


SHAPES = {
    "1": (set(), 0, 0),
    "TRUE()": ({"TRUE"}, 1, 1),
    "IF(a=1,SUM(b,c,d),0)": ({"IF", "SUM"}, 2, 3),
    '"IF(a,b)"&"it""s"': (set(), 0, 0),
    "((((1))))": (set(), 0, 0),
    "ABS((ABS(1)))": ({"ABS"}, 2, 1),
    "'IF(1)'!A1+1": (set(), 0, 0),
}


@pytest.mark.parametrize("text", SHAPES)
def test_texts_and_names_of_sheets_are_no_functions(text: str) -> None:
    found = shape(text)
    assert (found.functions, found.depth, found.arguments) == SHAPES[text]
    assert not found.foreign and not found.unbalanced


AT_THE_LIMIT = {
    "arguments": f"SUM({','.join(['1'] * 60)})",
    "levels": "ABS(" * 64 + "1" + ")" * 64,
    "text": f"IF(TRUE,&quot;{'a' * 255}&quot;,1)",
    "length": "+".join(["C1000"] * 1365) + "+1",
}


@pytest.mark.parametrize("text", AT_THE_LIMIT.values(), ids=AT_THE_LIMIT)
def test_the_limits_themselves_are_allowed(text: str) -> None:
    """One more is a fault, as the plants show."""
    assert faults(formula(text)(GOOD), shop=SHOP) == []


def test_the_program_prints_each_fault_and_fails(tmp_path: object, capsys: pytest.CaptureFixture[str]) -> None:
    path = f"{tmp_path}/broken.xlsx"
    with open(path, "wb") as file:
        file.write(PLANTS["a dead name"][0](GOOD))
    assert main([path]) == 1
    assert "broken.xlsx: name chosen_tier: a dead reference" in capsys.readouterr().out
