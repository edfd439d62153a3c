"""Texts that try to be scripts, opened in a browser: nothing runs, nothing breaks, the reply is still read."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.documents.reply_text import read_reply
from quotekit.pricing import build_quote
from tests.browser.open_page import PHONE, SMALL_PHONE, Browser
from tests.browser.pages import CHECK, write_page_of
from tests.documents.test_page import HOSTILE, LONGEST
from tests.workbook.hostile import everywhere, in_field

ADDRESSES = ("a b@c.example", "a@b.example?bcc=c@d.example", "a@b.example&x=y", '"><x>@y.example')


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_nothing_runs(text: str, browser: Browser, tmp_path: Path) -> None:
    quote = build_quote(*everywhere(text))
    browser.open(write_page_of(quote, tmp_path), PHONE)
    browser.choose(0, [0, 1])
    assert browser.run("return window.hit === undefined && document.images.length === 0")
    assert browser.complaints() == []
    assert browser.requests() == []
    assert browser.figures()["total"] != ""
    assert browser.overflow() <= 0
    reply, problems = read_reply(browser.reply())
    assert problems == []
    assert (reply.tier, reply.check) == (quote.offered[0].code, CHECK[:12])


@pytest.mark.parametrize("text", [LONGEST, "W " * 16_383, "שלום " * 6000], ids=["one word", "words", "right to left"])
def test_a_text_of_32767_characters(text: str, browser: Browser, tmp_path: Path) -> None:
    """It is as wide as the window and no wider, on the smallest phone too."""
    browser.open(write_page_of(build_quote(*everywhere(text)), tmp_path), SMALL_PHONE)
    browser.choose(0, [0])
    assert browser.overflow() <= 0
    assert browser.complaints() == []


@pytest.mark.parametrize(
    "email", ["a b@c.example", "a@b.example?bcc=c@d.example", "a@b.example&x=y", '"><x>@y.example']
)
def test_an_address_is_only_an_address(email: str, browser: Browser, tmp_path: Path) -> None:
    """Whatever it says, it adds no other receiver and no other field to the mail."""
    browser.open(write_page_of(build_quote(*in_field("email", email)), tmp_path))
    browser.choose(0)
    address = str(browser.element("#mail").get_attribute("href"))
    assert address.startswith("mailto:")
    assert (address.count("?"), address.count("&"), address.count("@")) == (1, 1, 1)
