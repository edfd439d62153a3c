"""Request `measurement`: what stands in the window while a number is typed; the engine's reader says the same."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.cli.answers.measurement import answer, typed_number
from quotekit.cli.inputs import read_inputs
from tests.cli.small_shop import job, shop_book, write_book

BORE = {"unit": "in", "limit": "0.755", "fails_when": "above", "measure": "bore"}
PLAY = {"unit": "mm", "limit": "2", "fails_when": "below", "measure": "play"}
SEEN = {"unit": "", "limit": "", "fails_when": "", "measure": ""}


def asked(finding: dict[str, str], measured: str, unit: str = "") -> dict[str, Any]:
    return answer({"do": "measurement", "finding": finding, "measured": measured, "unit": unit})


@pytest.mark.parametrize(
    "finding, measured, unit, passes, said",
    [
        (BORE, "0.755", "", True, "Passes: the limit is 0.755 in. It is listed to watch and not priced."),
        (BORE, "0.7551", "in", False, "Fails: it is above 0.755 in."),
        (BORE, "0,761", "", False, "Fails: it is above 0.755 in."),
        (BORE, "19.177", "mm", True, None),
        (BORE, "19.178", "mm", False, "Fails: it is above 0.755 in."),
        (PLAY, "2.0", "", True, None),
        (PLAY, "1.999", "", False, "Fails: it is below 2 mm."),
        (
            PLAY, "0.1", "", False,
            "Fails: it is below 2 mm. That is more than ten times off: check the number and its unit.",
        ),
        (SEEN, "3", "", None, "The shop book has no limit for it: it counts as a fault, by eye."),
        (SEEN, "", "", None, "Nothing is measured: it counts as a fault, by eye."),
        (BORE, "  ", "", None, "Not measured yet: it counts as a fault, by eye."),
    ],
)  # fmt: skip
def test_what_a_measurement_says(
    finding: dict[str, str], measured: str, unit: str, passes: bool | None, said: str | None
) -> None:
    """On the limit it passes; 19.177 mm is 0.755 in exactly, at 25.4 mm to the inch."""
    found = asked(finding, measured, unit)
    assert (found["passes"], found["bad"]) == (passes, False)
    assert said is None or found["said"] == said


@pytest.mark.parametrize(
    "typed, advice",
    [
        ("3/4", "Type 0.75 as a number."),
        ("1,250", "Type it as a number: 1250 or 1.250, whichever was meant."),
        ("about 3", ""),
        ("=1+1", ""),
        ("1e3", ""),
    ],
)
def test_what_is_no_plain_number_is_not_guessed(typed: str, advice: str) -> None:
    found = asked(BORE, typed)
    assert (found["number"], found["bad"]) == (None, True)
    assert found["said"] == f"{typed} is no plain number. {advice}".strip()


def test_a_unit_of_another_kind_says_so() -> None:
    found = asked(BORE, "30", "psi")
    assert found["bad"] and found["passes"] is None
    assert found["said"].startswith("psi can't be converted to in")


@given(st.decimals(min_value="-1000", max_value="1000", places=3))
def test_a_number_is_taken_as_it_is_typed(value: Decimal) -> None:
    """With a point; with a comma where that can't be thousands."""
    assert typed_number(str(value)) == value
    with_comma = typed_number(str(value.quantize(Decimal("0.01"))).replace(".", ","))
    assert with_comma == value.quantize(Decimal("0.01"))


@pytest.mark.parametrize("measured", ["0.700", "0.755", "0.7551", "0.761", "9"])
def test_the_reader_of_the_job_says_the_same(tmp_path: Path, measured: str) -> None:
    """What is judged while it is typed is what the job's reader makes of it once it stands in the row."""
    book = write_book(tmp_path / "shop book.xlsx", shop_book())
    path = write_book(tmp_path / "job.xlsx", job(findings=(("WORN", "left", float(measured)),)))
    read = read_inputs(book, path).job
    assert read is not None
    assert asked(BORE, measured)["passes"] is not read.findings[0].fault
