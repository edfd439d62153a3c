"""The search for leaks finds each planted one, and nothing in clean files."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.leaks.planted import CHANGED, IN_A_PDF, IN_THE_PAGE, PAGE, SECRETS, WRITTEN, pdf, shown, workbook
from tests.leaks.secrets_of import Secret, leaks, spellings

CLEAN = workbook()


def test_clean_files_are_clean() -> None:
    for data in (CLEAN, PAGE.encode(), pdf(shown("Auger bushing", "12000.50"))):
        assert leaks(data, SECRETS) == []


@pytest.mark.parametrize("name", WRITTEN)
def test_what_a_writer_could_write_is_found(name: str) -> None:
    assert leaks(workbook(WRITTEN[name]), SECRETS)


@pytest.mark.parametrize("name", CHANGED)
def test_what_another_program_could_leave_is_found(name: str) -> None:
    assert leaks(CHANGED[name](CLEAN), SECRETS)


@pytest.mark.parametrize("name", IN_THE_PAGE)
def test_what_a_page_could_hold_is_found(name: str) -> None:
    old, new = IN_THE_PAGE[name]
    assert old in PAGE
    assert leaks(PAGE.replace(old, new, 1).encode(), SECRETS)


@pytest.mark.parametrize("name", IN_A_PDF)
def test_what_a_pdf_could_hold_is_found(name: str) -> None:
    assert leaks(IN_A_PDF[name], SECRETS)


def test_a_number_is_not_found_in_a_longer_one() -> None:
    """Or every document would be full of leaks."""
    for text in ("161803.39", "61803.391", "1,261,803.39", "5961803390"):
        found = leaks(text.encode(), [Secret("cost", Decimal("61803.39"))])
        assert (found != []) is (text == "61803.391"), (text, found)


def test_short_spellings_are_left_out() -> None:
    """Two digits are everywhere; a canary must be long enough to mean something."""
    assert min(map(len, spellings(Decimal("61.8")))) >= 4
    assert "zyxq" in spellings("Zyxq & Co") and "co" not in spellings("Zyxq & Co")
