"""Ticks in every form: marks, truth values and words of the main languages."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.documents.tick_words import counted, ticked

YES = (
    "☑ ☑\ufe0f ✓ ✔ x X TRUE true Yes yes YES. WAHR Wahr Ja VRAI Oui VERDADERO Sí si VERO Sì VERDADEIRO Sim WAAR SANT "
    "SAND SANN TOSI Kyllä PRAWDA Tak PRAVDA Ano ИСТИНА Да DOĞRU doğru Evet はい 是 네 1 1.0 1,0"
).split()
NO = (
    "☐ - – FALSE No FALSCH Nein FAUX Non FALSO ONWAAR Nee FALSKT Nej USANN Nei EPÄTOSI Ei FAŁSZ Nie NEPRAVDA Ne ЛОЖЬ "
    "Нет YANLIŞ Hayır HAYIR Não いいえ 0 0.0"
).split()


@pytest.mark.parametrize("word", YES)
def test_a_yes(word: str) -> None:
    assert ticked(word) is True and ticked(f"  {word} ") is True


@pytest.mark.parametrize("word", [*NO, "", " "])
def test_a_no(word: str) -> None:
    assert ticked(word) is False and ticked(f"\t{word}") is False


@pytest.mark.parametrize("word", ["perhaps", "2", "yes no", "y*", "✗", "○", "belt", "#N/A", "oui non", "1.5"])
def test_neither(word: str) -> None:
    assert ticked(word) is None


def test_numbers_and_truth_values() -> None:
    assert [ticked(value) for value in (True, Decimal(1), Decimal("1.0"))] == [True] * 3
    assert [ticked(value) for value in (False, None, Decimal(0))] == [False] * 3
    assert [ticked(value) for value in (Decimal(2), Decimal("0.5"), Decimal(-1))] == [None] * 3


def test_what_the_quotes_own_formulas_count() -> None:
    assert all(counted(value) for value in (True, Decimal(1), "☑", "Yes", "YES", "yes"))
    assert not any(
        counted(value) for value in (False, None, Decimal(0), "x", "YES ", "TRUE", "WAHR", "1", "☐", Decimal(2))
    )
