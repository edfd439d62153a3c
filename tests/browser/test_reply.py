"""The reply a customer copies or sends from the page, and what reads it back."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit

import pytest

from quotekit.cli.main import main
from quotekit.documents.customer_extras import extra_keys
from quotekit.documents.reply_text import read_reply, reply_lines
from quotekit.model.quote import Quote
from tests.browser.open_page import PHONE, Browser
from tests.browser.pages import CHECK, EXAMPLE, example, write_page_of
from tests.documents import quotes
from tests.documents.live_by_hand import with_live


@pytest.fixture
def opened(browser: Browser, tmp_path: Path) -> Quote:
    """The first example's page, opened on a phone, with two things added to the first option."""
    _, _, quote = example()
    browser.open(write_page_of(quote, tmp_path), PHONE)
    browser.choose(0, [0, 2])
    return quote


def test_it_is_what_the_reader_would_write(browser: Browser, opened: Quote) -> None:
    tier, keys = opened.offered[0], extra_keys(opened)
    lines = reply_lines(
        job_number=opened.job.job_number,
        version=opened.job.version,
        option=tier.name,
        tier=tier.code,
        extras=(keys[0], keys[2]),
        total=browser.figures()["total"],
        fingerprint=CHECK,
    )
    assert browser.reply().split("\n") == list(lines)


def test_copied_and_read_back(browser: Browser, opened: Quote) -> None:
    browser.command("Browser.grantPermissions", permissions=["clipboardReadWrite", "clipboardSanitizedWrite"])
    browser.click("#copy")
    wait = "const done = arguments[0]; setTimeout(() => navigator.clipboard.readText().then(done, done), 100);"
    copied = browser.driver.execute_async_script(wait)
    assert copied == browser.reply()
    assert browser.text("#copied") == "Copied. Paste it into a message to us."
    reply, problems = read_reply(copied)
    assert problems == []
    assert (reply.job_number, reply.version, reply.tier) == ("2611-01", 1, "good")
    assert reply.extras == tuple(extra_keys(opened)[n] for n in (0, 2))
    assert reply.total_shown == browser.figures()["total"]
    assert reply.check == CHECK[:12]


def test_where_the_clipboard_is_refused_the_text_is_selected(browser: Browser, opened: Quote) -> None:
    browser.run("""
        Object.defineProperty(navigator, "clipboard", {value: undefined});
        document.execCommand = () => false;
    """)
    browser.click("#copy")
    assert browser.text("#copied").startswith("The reply is selected.")
    selected = (
        "const reply = document.activeElement; return reply.value.slice(reply.selectionStart, reply.selectionEnd)"
    )
    assert browser.run(selected) == browser.reply()


def test_the_mail_holds_the_same_lines(browser: Browser, opened: Quote) -> None:
    address = urlsplit(str(browser.element("#mail").get_attribute("href")))
    values = parse_qs(address.query)
    assert (address.scheme, unquote(address.path)) == ("mailto", opened.book.settings.email)
    assert values["subject"] == ["Quote 2611-01, version 1"]
    assert values["body"][0].split("\r\n") == [*browser.reply().split("\n"), ""]


def test_without_an_address_there_is_no_mail(browser: Browser, tmp_path: Path) -> None:
    quote = with_live(quotes.two())
    settings = replace(quote.book.settings, email="")
    browser.open(write_page_of(replace(quote, book=replace(quote.book, settings=settings)), tmp_path))
    browser.choose(0)
    assert browser.run("return document.getElementById('mail')") is None
    assert browser.complaints() == []


def test_nothing_added_is_said(browser: Browser, opened: Quote) -> None:
    browser.choose(1)
    assert "\nAdd: nothing\n" in browser.reply()


def test_without_live_figures_the_choice_is_still_told(browser: Browser, tmp_path: Path) -> None:
    """No total is shown that could be wrong; the option and the ticks go into the reply."""
    _, _, quote = example()
    browser.open(write_page_of(replace(quote, live=None, not_live="a figure is too large"), tmp_path))
    browser.choose(0, [1])
    reply, problems = read_reply(browser.reply())
    assert problems == []
    assert (reply.tier, reply.extras, reply.total_shown) == ("good", (extra_keys(quote)[1],), "")
    assert browser.text("#told") == "Option 1, 1 added."
    assert browser.complaints() == []


def test_from_the_command_to_the_choice_and_back(
    browser: Browser, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Quoted with the page beside it, chosen on a phone, mailed, read, and priced: the total the customer saw."""
    book, job = (tmp_path / name for name in ("shop book.xlsx", "job.xlsx"))
    shutil.copy(EXAMPLE / "shop book.xlsx", book)
    shutil.copy(next(EXAMPLE.glob("2611-01 *.xlsx")), job)
    assert main(["quote", str(book), str(job), "--page"]) == 0
    browser.open(tmp_path / "2611-01-1 quote.html", PHONE)
    browser.choose(1, [0])
    reply = tmp_path / "reply.txt"
    reply.write_text("Yes please!\n> " + browser.reply().replace("\n", "\n> "), encoding="utf-8")
    capsys.readouterr()
    read = ["read-choice", "--text", str(reply), "--job", str(job), "--on", "2026-11-20", "--json"]
    assert main(read) == 0
    choice = json.loads(capsys.readouterr().out)
    assert (choice["tier"], choice["unchanged"], choice["problems"]) == ("better", True, [])
    extras = [word for key in choice["extras"] for word in ("--extra", key)]
    assert main(["choice", str(book), str(job), "--tier", choice["tier"], *extras, "--json"]) == 0
    priced = json.loads(capsys.readouterr().out)
    assert f"${priced['total']}" == browser.figures()["total"]
