"""Words above columns: whole headers, parts of them, and words that speak against a field."""

from __future__ import annotations

import pytest

from quotekit.suppliers.header_words import AGAINST, WORDS, header_score, header_words, is_price_header


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("Part No.", "part no"),
        ("PART#", "part no"),
        ("part_number", "part number"),
        ("partNumber", "part number"),
        ("Artikel-Nr.", "artikel nr"),
        ("Größe", "grosse"),
        ("Référence", "reference"),
        ("Código", "codigo"),
        ("Łożysko", "lozysko"),
        ("  List   Price (USD) ", "list price usd"),
        ("", ""),
    ],
)
def test_headers_as_words(header: str, words: str) -> None:
    """However a supplier spells, accents and marks aside it is the same word."""
    assert " ".join(header_words(header)) == words


@pytest.mark.parametrize("field", WORDS)
def test_every_phrase_names_its_field_fully(field: str) -> None:
    """A phrase that a word against the field rules out could never be found, and would only look as if it helped."""
    lost = [phrase for phrase in WORDS[field] if header_score(phrase, field)[0] != 100]
    assert lost == []


@pytest.mark.parametrize("field", WORDS)
def test_phrases_are_written_as_they_compare(field: str) -> None:
    assert [phrase for phrase in WORDS[field] if " ".join(header_words(phrase)) != phrase] == []
    assert len(set(WORDS[field])) == len(WORDS[field])


@pytest.mark.parametrize(
    ("header", "field", "named"),
    [
        ("Dealer Price EUR", "cost", True),
        ("ACME part number", "number", True),
        ("Our net", "cost", True),
        ("Qty per pack", "price_for", False),
        ("Payment", "pack", False),
        ("Network", "cost", False),
        ("Old list price", "list_price", False),
        ("Net list price", "list_price", False),
        ("List price net", "cost", False),
        ("Shipping cost", "cost", False),
        ("End date", "dated", False),
        ("Unit price", "unit", False),
        ("Net weight", "cost", False),
        ("Net wt.", "cost", False),
        ("Net %", "cost", False),
        ("Dealer discount", "cost", False),
        ("List disc.", "list_price", False),
        ("Dealer, 20% off", "cost", True),
        ("PARTNO", "number", True),
        ("Std Pkg", "pack", True),
        ("U/M", "unit", True),
        ("Liste", "list_price", True),
    ],
)
def test_part_of_a_header(header: str, field: str, named: bool) -> None:
    """A word within another counts for nothing; a word against the field rules it out."""
    assert (header_score(header, field)[0] >= 60) is named


def test_words_against_are_for_fields_that_there_are() -> None:
    assert set(AGAINST) <= set(WORDS)


@pytest.mark.parametrize(
    ("header", "price"), [("Price", True), ("Stückpreis", True), ("Prix HT", True), ("Colour", False)]
)
def test_prices(header: str, price: bool) -> None:
    assert is_price_header(header) is price
