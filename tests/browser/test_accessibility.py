"""Every page at every size, before and after a choice: the accessibility checker finds nothing; nothing is fetched."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from quotekit.model.quote import Quote
from tests.browser.open_page import DESKTOP, PHONE, SMALL_PHONE, ZOOMED, Browser
from tests.browser.pages import example, write_page_of
from tests.documents import quotes
from tests.documents.live_by_hand import with_live

SIZES = {"desktop": DESKTOP, "phone": PHONE, "small phone": SMALL_PHONE, "desktop at 200 %": ZOOMED}
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
_CHECK = """
const done = arguments[1];
axe.run(document, {runOnly: arguments[0], resultTypes: ["violations"]}).then(
  found => done(found.violations.map(rule => `${rule.id}: ${rule.nodes.map(node => node.target).join(", ")}`)),
  fault => done([String(fault)]));
"""
_IN_SIGHT = """
const at = document.activeElement, box = at.getBoundingClientRect();
const top = document.elementFromPoint(box.left + box.width / 2, Math.max(box.top + box.height / 2, 1));
const seen = at === document.body || at === top || at.contains(top);
return [at.id || at.textContent.trim().slice(0, 40) || at.tagName, seen];
"""


def findings(browser: Browser, npm_folder: Path) -> list[str]:
    """What the checker finds, each rule with its elements."""
    browser.run((npm_folder / "axe-core" / "axe.min.js").read_text(encoding="utf-8"))
    found = browser.driver.execute_async_script(_CHECK, RULES)
    assert isinstance(found, list)
    return found


@cache
def pages() -> dict[str, Quote]:
    """Examples with one, two and three options, and the longest quotes made by hand."""
    made = {start: example(start)[2] for start in ("2611-01", "2611-03", "2611-04")}
    by_hand = {
        "40 findings": quotes.many_findings(),
        "long texts": quotes.long_texts(),
        "positions": quotes.positions(),
    }
    return made | {name: with_live(quote) for name, quote in by_hand.items()}


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
@pytest.mark.parametrize("name", pages())
def test_nothing_is_found(name: str, size: tuple[int, int], browser: Browser, npm_folder: Path, tmp_path: Path) -> None:
    """It fits at every size; the checker looks at the widest and the narrowest, which are laid out differently."""
    looked_at = size in (DESKTOP, SMALL_PHONE)
    browser.open(write_page_of(pages()[name], tmp_path), size)
    assert not looked_at or findings(browser, npm_folder) == []
    assert browser.overflow() <= 0
    browser.choose(0, [0, 1])
    assert not looked_at or findings(browser, npm_folder) == []
    assert browser.overflow() <= 0


def test_a_plain_page(browser: Browser, npm_folder: Path, tmp_path: Path) -> None:
    """The page of a quote whose figures can't follow a choice."""
    quote = example()[2]
    browser.open(write_page_of(replace(quote, live=None, not_live="a figure is too large"), tmp_path))
    assert findings(browser, npm_folder) == []


def test_the_checker_sees_what_is_wrong(browser: Browser, npm_folder: Path, tmp_path: Path) -> None:
    browser.open(write_page_of(example()[2], tmp_path))
    browser.run("document.querySelector('label').remove(); document.querySelector('h1').style.color = '#ddd'")
    found = " ".join(findings(browser, npm_folder))
    assert "label:" in found and "color-contrast:" in found


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_what_has_the_focus_is_in_sight(size: tuple[int, int], browser: Browser, tmp_path: Path) -> None:
    """Neither the bar at the bottom nor the edge of the window hides it (WCAG 2.2, 2.4.11)."""
    browser.open(write_page_of(example()[2], tmp_path), size)
    browser.choose(0, [0])
    browser.run("scrollTo(0, 0); document.activeElement.blur()")
    names = []
    for _ in range(30):
        ActionChains(browser.driver).send_keys(Keys.TAB).perform()
        name, seen = browser.run(_IN_SIGHT)
        assert seen, name
        names.append(name)
    assert {"option-0", "extra-0", "reply", "copy", "mail"} <= set(names)


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_nothing_is_asked_of_a_network(size: tuple[int, int], browser: Browser, tmp_path: Path) -> None:
    browser.open(write_page_of(example()[2], tmp_path), size)
    browser.choose(0, [0])
    assert browser.requests() == []
    assert browser.complaints() == []


def test_the_policy_stops_what_would_be_fetched(browser: Browser, tmp_path: Path) -> None:
    """Even a script that got in could load no picture and no other script; and the log sees that it was tried."""
    browser.open(write_page_of(example()[2], tmp_path))
    browser.run("const seen = new Image(); seen.src = 'https://pictures.example/seen.png'")
    browser.run(
        "const more = document.createElement('script'); more.text = 'window.hit = 1'; document.body.append(more)"
    )
    assert browser.run("return window.hit === undefined")
    assert len([words for words in browser.complaints() if "Content Security Policy" in words]) == 2
    assert browser.requests() == ["https://pictures.example/seen.png"]


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
@pytest.mark.parametrize("start", ["2611-01", "2611-03"])
def test_letters_twice_as_large_still_fit(start: str, size: tuple[int, int], browser: Browser, tmp_path: Path) -> None:
    """WCAG 1.4.4, by the size of the letters alone."""
    browser.open(write_page_of(example(start)[2], tmp_path), size)
    browser.choose(0, [0, 1])
    browser.run("document.documentElement.style.fontSize = '200%'")
    assert browser.overflow() <= 0


def test_targets_can_be_hit_with_a_thumb(browser: Browser, tmp_path: Path) -> None:
    """At least 24 by 24 pixels each, as WCAG 2.2 asks (2.5.8)."""
    browser.open(write_page_of(example()[2], tmp_path), PHONE)
    browser.choose(0)
    sizes = browser.run("""
        return [...document.querySelectorAll("input, button, .button, #see, nav a")].map(
          target => [target.id || target.textContent, target.offsetWidth, target.offsetHeight])
    """)
    assert [target for target in sizes if min(target[1:]) < 24] == []


def test_without_scripts_it_is_a_plain_quote(browser: Browser, tmp_path: Path) -> None:
    """The totals and what may be added are there; what only a script can fill is not."""
    quote = example()[2]
    browser.open(write_page_of(quote, tmp_path), PHONE, scripts=False)
    root = browser.command("DOM.getDocument", depth=-1)["root"]["nodeId"]
    found = browser.command("DOM.querySelector", nodeId=root, selector="noscript p")["nodeId"]
    assert "scripts are off" in browser.command("DOM.getOuterHTML", nodeId=found)["outerHTML"]
    for hidden in ("#side", "#sending", "#bar"):
        node = browser.command("DOM.querySelector", nodeId=root, selector=hidden)["nodeId"]
        attributes = browser.command("DOM.getAttributes", nodeId=node)["attributes"]
        assert "hidden" in attributes
