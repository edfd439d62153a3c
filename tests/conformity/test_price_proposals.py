"""Price proposals pass the Open XML SDK's validator and the lint, with hostile texts and with nothing to tick too."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from quotekit.documents.price_proposals import lay_out_price_proposals
from quotekit.model.proposed_prices import ProposedPrices
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.lint import faults
from tests.conformity.open_xml import errors_of, program_in
from tests.pricing.proposals.a_shop import everything

HOSTILE = ("=1+1", "+A1", "@SUM(1)", "a\x01b\x0bc", "<t>&amp;", "_x0041_", "x" * 2000, "\ud83d\ude00 ☃", "a\nb")


@cache
def cases() -> dict[str, ProposedPrices]:
    """Proposals by name."""
    used = everything({"pin": 100, "seal": 10})
    first = used.proposals[0]
    hostile = tuple(
        replace(
            first,
            row=replace(first.row, code=words, name=words, terms=replace(first.row.terms, number=words)),
            list_number=words,
            quotes=(words,),
            remedies=(words,) * 50,
        )
        for words in HOSTILE
    )
    quotes = tuple(replace(quote, customer=words, trouble="") for quote in used.quotes for words in HOSTILE)
    left = tuple(replace(one, nearest=HOSTILE, about=HOSTILE[0]) for one in used.left)
    return {
        "used": used,
        "no ledger": everything(),
        "nothing": replace(used, proposals=(), quotes=(), left=()),
        "hostile": replace(
            used, proposals=hostile, quotes=quotes, left=left, shop_name=HOSTILE[3], book_file=HOSTILE[0]
        ),
    }


@cache
def written() -> dict[str, bytes]:
    """Every workbook by name."""
    return {name: workbook_bytes(lay_out_price_proposals(found)) for name, found in cases().items()}


def test_no_fault_that_a_validator_misses() -> None:
    assert {name: found for name, data in written().items() if (found := faults(data))} == {}


def test_the_open_xml_sdk_finds_no_fault(npm_folder: Path, tmp_path: Path) -> None:
    assert errors_of(program_in(npm_folder), written(), tmp_path) == {}


def test_no_text_became_a_formula() -> None:
    from quotekit.documents.sheet import placed

    for found in cases().values():
        value = lay_out_price_proposals(found)
        assert not [cell for page in value.sheets for line in page.rows for _, cell in placed(line) if cell.formula]
