"""The program from Python: the five functions of the contract, from the package itself."""

from __future__ import annotations

from pathlib import Path

import pytest

import quotekit

TINY = Path(__file__).parents[1] / "examples" / "tiny example"


def test_a_quote_from_python(tmp_path: Path) -> None:
    """Read, build and write: the tiny example's two options."""
    book, book_problems = quotekit.read_shop_book(TINY / "shop book.xlsx")
    job, job_problems = quotekit.read_job(TINY / "job.xlsx", book)
    quote = quotekit.build_quote(book, job)
    quotekit.write_customer_quote(quote, tmp_path / "quote.xlsx")
    quotekit.write_costing(quote, tmp_path / "costing.xlsx")
    assert [str(tier.total) for tier in quote.offered] == ["120.00", "210.40"]
    assert [problem for problem in (*book_problems, *job_problems) if problem.severity == "error"] == []
    assert all((tmp_path / name).stat().st_size > 5_000 for name in ("quote.xlsx", "costing.xlsx"))


def test_other_names_are_not_there() -> None:
    with pytest.raises(AttributeError, match="no_such_name"):
        quotekit.no_such_name  # noqa: B018
    assert "build_quote" in dir(quotekit)
