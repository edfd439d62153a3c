"""`quotekit quote --page`: the page beside the workbook, of the same quote."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.cli.main import main
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.fingerprint import fingerprint_of
from quotekit.pricing import build_quote
from tests import build
from tests.cli.test_quote import BOOK, COSTING, CUSTOMER, Shop, a_worn_job, shop

__all__ = ["shop"]
PAGE = "J-1-1 quote.html"


def test_it_is_written_beside_the_workbooks_only_when_asked(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert shop.quote("--page") == 0
    assert shop.written() == {CUSTOMER, COSTING, PAGE}
    assert PAGE in capsys.readouterr().out
    assert shop.quote("--replace", "--out", str(shop.folder / "again")) == 0
    assert not (shop.folder / "again" / PAGE).exists()


def test_its_check_is_the_workbooks_fingerprint(shop: Shop) -> None:
    shop.quote("--page")
    fingerprint = fingerprint_of(lay_out_customer_quote(build_quote(BOOK, a_worn_job())))
    assert f"Check: {fingerprint[:12]}" in (shop.folder / PAGE).read_text(encoding="utf-8")


def test_the_same_inputs_give_the_same_bytes(shop: Shop) -> None:
    shop.quote("--page")
    first = (shop.folder / PAGE).read_bytes()
    shop.quote("--page", "--replace")
    assert (shop.folder / PAGE).read_bytes() == first


def test_an_earlier_page_is_not_written_over(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    (shop.folder / PAGE).write_text("earlier", encoding="utf-8")
    assert shop.quote("--page") == 3
    assert shop.written() == {PAGE}
    assert PAGE in capsys.readouterr().err
    assert shop.quote("--page", "--replace") == 0
    assert (shop.folder / PAGE).read_text(encoding="utf-8") != "earlier"


def test_an_earlier_page_that_no_longer_holds_is_told(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    (shop.folder / PAGE).write_text("earlier", encoding="utf-8")
    shop.gives(build.a_job())
    shop.quote("--page", "--replace")
    assert shop.written() == {COSTING, PAGE}
    assert "An earlier customer quote is still there" in capsys.readouterr().err


def test_help_names_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["quote", "--help"]) == 0
    assert "--page" in capsys.readouterr().out


def test_it_is_utf8_with_no_carriage_return(shop: Shop) -> None:
    shop.quote("--page")
    data = (shop.folder / PAGE).read_bytes()
    assert data.startswith(b"<!DOCTYPE html>\n") and b"\r" not in data and data.decode("utf-8")


def test_a_folder_that_is_not_there_is_made(shop: Shop) -> None:
    assert shop.quote("--page", "--out", str(shop.folder / "for" / "you")) == 0
    assert Path(shop.folder / "for" / "you" / PAGE).exists()
