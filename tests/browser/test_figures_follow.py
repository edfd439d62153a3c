"""Choices made on the page by mouse and keyboard: every figure is the engine's, to the cent, as money is written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import islice
from pathlib import Path
from random import Random

import pytest
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from quotekit.documents.customer_extras import extra_keys
from quotekit.documents.money_text import money_text
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote, price_combination
from tests.browser.open_page import DESKTOP, PHONE, Browser
from tests.browser.pages import example, write_page_of
from tests.recalculation.combinations import choices, figures_of, live_cases, priced

FIRST = range(820_000, 820_300, 100)
CASES, CHOICES = 12, 6
_OUTLINE = """
const style = getComputedStyle(document.activeElement);
return `${style.outlineStyle} ${style.outlineWidth}`;
"""


def shown_by(quote: Quote, tier: PricedTier) -> dict[str, str]:
    """What the page must show of a priced tier, by the names of its cells."""
    assert quote.live is not None
    amounts = figures_of(tier)
    shown = {name: amount for name, amount in amounts.items() if not name.startswith("tax ")}
    for number, (name, _) in enumerate(quote.live.taxes, start=1):
        shown[f"tax {number}"] = amounts.get(f"tax {name}", tier.tax * 0)
    return {name: money_text(amount, quote.currency, quote.book.settings.language) for name, amount in shown.items()}


@pytest.mark.parametrize("first", FIRST)
def test_random_choices_on_random_quotes(first: int, browser: Browser, tmp_path: Path) -> None:
    """Currencies with none, two and three decimals; what an option does not offer can't be ticked."""
    for seed, case, quote in islice(live_cases(first), CASES):
        browser.open(write_page_of(quote, tmp_path), PHONE)
        keys, codes = extra_keys(quote), [tier.code for tier in quote.offered]
        for choice in choices(quote, Random(seed), CHOICES):
            browser.choose(codes.index(choice.option), [keys.index(key) for key in choice.ticked])
            shown, right = browser.figures(), shown_by(quote, priced(*case, choice))
            assert shown == {name: right[name] for name in shown}, (seed, choice)
            assert {"subtotal", "total"} <= shown.keys()
        assert browser.complaints() == []


def test_each_number_of_decimals_is_met() -> None:
    assert {quote.currency for _, _, quote in islice(live_cases(FIRST[0]), CASES)} >= {"JPY", "USD", "KWD"}


def test_nothing_is_chosen_at_first(browser: Browser, tmp_path: Path) -> None:
    _, _, quote = example()
    browser.open(write_page_of(quote, tmp_path))
    assert browser.run("return document.querySelectorAll('input:checked').length") == 0
    assert set(browser.figures().values()) == {""}
    assert browser.visible_figures() == set()
    assert browser.text("#told") == "No option is chosen yet."
    assert not browser.element("#reply").is_displayed()


def test_the_exact_difference_beside_each_tick(browser: Browser, tmp_path: Path) -> None:
    """With the other ticks as they are, before tax and with it; never more than was said before."""
    book, job, quote = example()
    keys, language = extra_keys(quote), quote.book.settings.language
    offered = [n for n, key in enumerate(keys) if key in {extra.extra for extra in quote.offered[0].extras}]
    browser.open(write_page_of(quote, tmp_path))
    for ticked in ([], offered[:1], offered[1:3]):
        browser.choose(0, ticked)
        for number in offered:
            others = [keys[n] for n in ticked if n != number]
            without = price_combination(book, job, quote.offered[0].code, others)
            with_it = price_combination(book, job, quote.offered[0].code, [*others, keys[number]])
            pay, work = (
                money_text(amount, quote.currency, language)
                for amount in (with_it.total - without.total, with_it.work - without.work)
            )
            verb = "adds" if number in ticked else "would add"
            said = f"It {verb} {pay} to what you pay with Option 1 ({work} before tax)."
            assert browser.text(f"#extra-{number}-exact") == said


def test_a_tick_stays_where_an_option_does_not_offer_it(browser: Browser, tmp_path: Path) -> None:
    """It counts for nothing there, says why, and counts again on the way back."""
    _, _, quote = example()
    number = extra_keys(quote).index("BELT-DRIVE-NEW")
    browser.open(write_page_of(quote, tmp_path))
    browser.choose(0, [number])
    first = browser.figures()["total"]
    browser.run("document.querySelectorAll('#options input')[1].click()")
    box = browser.element(f"#extra-{number}")
    assert not box.is_selected() and not box.is_enabled()
    assert browser.text(f"#extra-{number}-exact") == "Not offered with Option 2."
    assert browser.figures()["total"] == money_text(quote.offered[1].total, quote.currency, "en_US")
    browser.run("document.querySelectorAll('#options input')[0].click()")
    assert box.is_selected() and browser.figures()["total"] == first


def test_the_keyboard_alone_is_enough(browser: Browser, tmp_path: Path) -> None:
    """Tab to the options, arrows and space to choose, tab and space to tick, tab on to copy."""
    book, job, quote = example()
    browser.open(write_page_of(quote, tmp_path), DESKTOP)
    press(browser, Keys.TAB, until="#option-0")
    press(browser, Keys.SPACE)
    press(browser, Keys.ARROW_DOWN)
    assert browser.element("#option-1").is_selected()
    press(browser, Keys.ARROW_UP)
    assert browser.element("#option-0").is_selected()
    press(browser, Keys.TAB, until="#extra-0")
    press(browser, Keys.SPACE)
    total = price_combination(book, job, quote.offered[0].code, [extra_keys(quote)[0]]).total
    assert browser.figures()["total"] == money_text(total, quote.currency, "en_US")
    press(browser, Keys.TAB, until="#copy")
    press(browser, Keys.ENTER)
    assert browser.complaints() == []


def press(browser: Browser, key: str, until: str = "") -> None:
    """Press a key, once or until an element has the focus; what has the focus must be seen to have it."""
    for _ in range(60):
        ActionChains(browser.driver).send_keys(key).perform()
        if not until:
            return
        assert browser.run(_OUTLINE) == "solid 3px"
        if browser.run("return document.activeElement === document.querySelector(arguments[0])", until):
            return
    raise AssertionError(f"{until} can't be reached")


def test_what_is_announced(browser: Browser, tmp_path: Path) -> None:
    """The total with what is added, in a region that is read out when it changes."""
    _, _, quote = example()
    browser.open(write_page_of(quote, tmp_path), PHONE)
    browser.choose(0, [0])
    told = browser.element("#told")
    assert told.get_attribute("aria-live") == "polite"
    assert told.text == f"Option 1, 1 added: {browser.figures()['total']} to pay, tax included."


def test_a_zero_is_no_row_but_totals_always_are(browser: Browser, tmp_path: Path) -> None:
    _, _, quote = example()
    browser.open(write_page_of(quote, tmp_path))
    browser.choose(0)
    visible = browser.visible_figures()
    assert "savings" not in visible and {"labour", "parts", "subtotal", "total"} <= visible


@pytest.mark.parametrize(("until", "told"), [(date(2020, 2, 29), True), (date(2199, 12, 31), False)])
def test_a_quote_that_has_expired_says_so(until: date, told: bool, browser: Browser, tmp_path: Path) -> None:
    """By the date of the customer's own device."""
    browser.open(write_page_of(replace(example()[2], valid_until=until), tmp_path))
    assert browser.element("#expired").is_displayed() is told


def test_the_last_day_still_counts(browser: Browser, tmp_path: Path) -> None:
    today = date.fromisoformat(browser.run("return new Date().toLocaleDateString('sv')"))
    browser.open(write_page_of(replace(example()[2], valid_until=today), tmp_path))
    assert not browser.element("#expired").is_displayed()


def test_the_limit_follows_the_choice(browser: Browser, tmp_path: Path) -> None:
    book, job, quote = example()
    limit = quote.offered[0].total + 1
    browser.open(write_page_of(replace(quote, job=replace(job, spending_limit=limit)), tmp_path))
    browser.choose(0)
    shown = money_text(limit, quote.currency, "en_US")
    assert browser.text("#limit") == f"Within your limit of {shown}."
    browser.choose(0, [0])
    over = price_combination(book, job, quote.offered[0].code, [extra_keys(quote)[0]]).total - limit
    assert browser.text("#limit") == f"{money_text(over, quote.currency, 'en_US')} over your limit of {shown}."


def test_what_was_paid_is_taken_off(browser: Browser, tmp_path: Path) -> None:
    """A negative amount due is shown with its sign."""
    book, job, _ = example()
    job = replace(job, paid_so_far=Decimal(5000))
    quote = build_quote(book, job)
    browser.open(write_page_of(quote, tmp_path))
    browser.choose(0, [0])
    due = price_combination(book, job, quote.offered[0].code, [extra_keys(quote)[0]]).due
    assert due < 0 and browser.figures()["due"] == money_text(due, quote.currency, "en_US")
    assert "due" in browser.visible_figures()
