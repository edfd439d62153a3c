"""Request `functions`: each answer is that of the request `function`, in the order asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from quotekit.cli.answers.kinds import QUICK, answer_of
from tests.cli.small_shop import shop_book, write_book


def words(book: Path, name: str, *arguments: Any) -> dict[str, Any]:
    return {"name": name, "arguments": list(arguments), "document": str(book), "book": None}


def test_as_each_by_itself(tmp_path: Path) -> None:
    """Figures and reasons, several functions, the same twice."""
    book = write_book(tmp_path / "shop book.xlsx", shop_book())
    one, many = answer_of("function"), answer_of("functions")
    assert one is not None and many is not None
    asked = [words(book, "SELLING_PRICE", 1 + number / 100) for number in range(300)]
    asked += [words(book, "TAX_ON", 100, "parts"), words(book, "SELLING_PRICE", -4), words(book, "DANCE", 1), asked[0]]
    told = many({"asked": asked})["answers"]
    assert told == [one(each) for each in asked]
    assert told[300]["value"] == "7.00" and "negative" in told[301]["reason"]


def test_one_that_can_not_be_told_leaves_the_others(tmp_path: Path) -> None:
    """A question without its words is null: that cell asks by itself and hears what is wrong."""
    book = write_book(tmp_path / "shop book.xlsx", shop_book())
    many = answer_of("functions")
    assert many is not None
    told = many({"asked": [{"document": str(book)}, words(book, "SELLING_PRICE", 5.5)]})["answers"]
    assert told[0] is None and told[1]["value"] == "8.25"
    assert many({"asked": []}) == {"answers": []}, "whether the engine is there is asked so"


def test_it_does_not_wait_for_an_action() -> None:
    """A spreadsheet is worked out while a job is being priced."""
    assert "functions" in QUICK
