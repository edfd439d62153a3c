"""The page as text: what it says without scripts, what it may not hold, and that no text becomes markup."""

from __future__ import annotations

import ast
import base64
import hashlib
import inspect
import itertools
import json
import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from html.parser import HTMLParser

import pytest

from quotekit.documents import (
    page_choice,
    page_data,
    page_layout,
    page_lines,
    page_replace,
    page_script,
    page_style,
    page_words,
    page_years,
    script_text,
)
from quotekit.documents.money_text import money_text
from quotekit.documents.page_data import as_script
from quotekit.documents.page_layout import lay_out_page
from quotekit.documents.page_markup import escaped, plain, tag
from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests.documents import quotes
from tests.documents.live_by_hand import with_live
from tests.documents.test_customer_quote import SHOP_ONLY
from tests.many_extras import job_with_extras
from tests.workbook.hostile import everywhere

CHECK = "4f1c09ab77de" + "0" * 52
CASES = {
    "one option": quotes.one,
    "two options": quotes.two,
    "three options": quotes.three,
    "40 findings": quotes.many_findings,
    "long texts": quotes.long_texts,
    "four positions": quotes.positions,
}
HOSTILE = {
    "a script": "</script><script>window.hit=1</script>",
    "a handler": "\"><img src=x onerror='window.hit=1'>",
    "the end of a style": "</style><style>*{display:none}</style>",
    "a comment": "<!-- --> <!-- <script>",
    "a template": "${window.hit=1} `${window.hit=1}` \\u003cscript\\u003e",
    "an entity": "&lt;script&gt; &#60;b&#62; &amp &",
    "quotes": "' \" ` \\ \\n",
    "an address": "javascript:window.hit=1 https://shop.example/ mailto:a@b.example?bcc=c@d.example",
    "right to left": "\u202e drow \u05d0\u05d1\u05d2 \u0627\u0644\u0639",
    "control characters": "a\x00b\x08c\x1bd\x7fe\x85f\ufffeg",
    "half a pair": "a\ud800b",
    "line separators": "a\u2028b\u2029c\r\nd\re",
    "a reply": "Quote: 9, version 9\nOption: All [best]\nAdd: EVERYTHING",
}
LONGEST = "W" * 32_767
MAY_STAND = frozenset(
    "html head meta title style body header div main section nav h1 h2 h3 p ul ol li dl dt dd a b strong span noscript "
    "fieldset legend input label table caption thead tbody tr th td textarea button script img".split()
)


class Page(HTMLParser):
    """A page taken apart: its elements with their attributes, and the text in them."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.inside: dict[str, str] = {}
        self._last = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._last = tag

    def handle_data(self, data: str) -> None:
        if self._last in ("script", "style"):
            self.inside[self._last] = self.inside.get(self._last, "") + data
            self._last = ""
        else:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())

    def of(self, *names: str) -> list[tuple[str, dict[str, str | None]]]:
        return [element for element in self.elements if element[0] in names]

    @property
    def counts(self) -> Counter[str]:
        return Counter(name for name, _ in self.elements)


def page(quote: Quote, **kept: object) -> Page:
    return Page(lay_out_page(quote, CHECK))


@pytest.mark.parametrize("name", CASES)
def test_it_is_the_same_each_time_and_whole(name: str) -> None:
    quote = with_live(CASES[name]())
    html = lay_out_page(quote, CHECK)
    assert html == lay_out_page(quote, CHECK)
    opened = Counter(re.findall(r"<([a-z0-9]+)[ >]", html.partition("<script>")[0]))
    closed = Counter(re.findall(r"</([a-z0-9]+)>", html.partition("<script>")[0]))
    whole = {name: opened[name] for name in opened if name not in ("meta", "input", "img", "html", "body")}
    assert closed == whole


@pytest.mark.parametrize("name", CASES)
def test_totals_stand_on_it_without_a_script(name: str) -> None:
    """Each option's total, the most each extra adds, what a no costs."""
    quote = CASES[name]()
    said, language = page(quote).text, quote.book.settings.language
    for tier in quote.offered:
        assert f"{money_text(tier.total, quote.currency, language)} to pay, tax included" in said
        for extra in tier.extras:
            assert f"at most {money_text(extra.at_most, quote.currency, language)}" in said
    assert money_text(quote.declined.total, quote.currency, language) in said or not quote.declined.total


def test_who_what_and_until_when() -> None:
    quote = quotes.three()
    said = page(quote).text
    for words in (
        quote.book.settings.shop_name,
        "bench@larchlane.example",
        quote.job.customer,
        quote.job.customers_words,
        "Valid until",
        "What we found",
        "Leaves",
        "If you decline",
        "Before you decide",
    ):
        assert words in said


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_chosen_and_every_input_has_a_label(name: str) -> None:
    made = page(with_live(CASES[name]()))
    inputs = made.of("input", "textarea")
    labels = {attributes["for"] for _, attributes in made.of("label")}
    assert all(attributes["id"] in labels and "checked" not in attributes for _, attributes in inputs)
    assert len({attributes["id"] for _, attributes in made.elements if "id" in attributes}) == sum(
        "id" in attributes for _, attributes in made.elements
    )


@pytest.mark.parametrize("name", CASES)
def test_headings_and_tables_are_in_order(name: str) -> None:
    made = page(with_live(CASES[name]()))
    levels = [int(element[1]) for element, _ in made.of("h1", "h2", "h3")]
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    assert all(attributes.get("scope") in ("row", "col") for _, attributes in made.of("th"))
    assert len(made.of("caption")) == len(made.of("table"))


def test_the_policy_lets_only_its_own_script_and_style_run() -> None:
    made = page(with_live(quotes.three()))
    (policy,) = [attributes["content"] for _, attributes in made.of("meta") if "http-equiv" in attributes]
    assert policy is not None and policy.startswith("default-src 'none'; ") and "unsafe" not in policy
    for kind in ("script", "style"):
        digest = base64.b64encode(hashlib.sha256(made.inside[kind].encode()).digest()).decode()
        assert f"{kind}-src 'sha256-{digest}'" in policy


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_fetched_and_nothing_is_linked(name: str) -> None:
    """Links lead to places on the page; no element has a source, a handler or a style of its own."""
    made = page(with_live(CASES[name]()))
    for element, attributes in made.elements:
        assert element in MAY_STAND
        assert not [key for key in attributes if key.startswith("on") or key in ("style", "src", "action", "srcset")]
        assert (attributes.get("href") or "#").startswith("#")
    assert not re.search(r"url\(|@import|https?:|//[a-z]", made.inside["style"] + made.inside["script"])


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_no_text_becomes_markup(text: str) -> None:
    """With any text in every field the page has the same elements, and shows the text."""
    plainly = page(build_quote(*everywhere("Plain words.")))
    made = page(build_quote(*everywhere(text)))
    assert made.counts == plainly.counts
    assert [set(attributes) for _, attributes in made.elements] == [set(keys) for _, keys in plainly.elements]
    assert " ".join(plain(text).split()) in made.text


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_the_script_is_the_same_but_for_its_texts(text: str) -> None:
    """What is not data is the same whatever the texts say, and the data is ASCII without a bracket that opens a tag."""
    plainly, made = (page(build_quote(*everywhere(words))).inside["script"] for words in ("Plain", text))
    data = re.compile(r"^const page=(.*);$", re.MULTILINE)
    assert data.sub("", made) == data.sub("", plainly)
    (found,) = data.findall(made)
    assert found.isascii() and "<" not in found and json.loads(found)["reply"]["check"] == "Check: 4f1c09ab77de"


def test_the_longest_text_of_a_cell_is_shown_whole() -> None:
    html = lay_out_page(build_quote(*everywhere(LONGEST)), CHECK)
    assert LONGEST in Page(html).text


def test_a_page_can_always_be_written_as_utf8() -> None:
    assert b"\xef\xbf\xbd" in lay_out_page(build_quote(*everywhere("half \ud800 of a pair")), CHECK).encode("utf-8")


def test_data_can_end_no_script() -> None:
    text = as_script({"</script>": ["<!--", "&", "\u2028", "é", -5]})
    assert text.isascii() and not set("<>&") & set(text)
    assert json.loads(text) == {"</script>": ["<!--", "&", "\u2028", "é", -5]}


def test_attributes_are_escaped_too() -> None:
    assert tag("a", href='"><b>') == '<a href="&quot;&gt;&lt;b&gt;"></a>'
    assert escaped("\x1b[1m<b>") == "[1m&lt;b&gt;"


def test_a_photo_is_in_the_page_and_told_in_words() -> None:
    quote = quotes.three()
    first = replace(quote.job.findings[0], photo="left.jpg")
    job = replace(quote.job, findings=(first, *quote.job.findings[1:]))
    photo = Picture(data=b"\xff\xd8picture", width=640, height=480, extension="jpg")
    made = Page(lay_out_page(replace(quote, job=job), CHECK, {"left.jpg": photo}))
    ((_, attributes),) = made.of("img")
    assert attributes["src"] == "data:image/jpeg;base64," + base64.b64encode(photo.data).decode()
    assert (attributes["alt"] or "").startswith("Photograph of finding 1: ")


def test_a_plain_page_has_no_figures_to_follow() -> None:
    made = page(quotes.three())
    assert "const figures=null;" in made.inside["script"]
    assert not [attributes for _, attributes in made.elements if "data-figure" in attributes]
    assert "Figures on this page don't follow your choice" in made.text


def test_it_grows_in_a_straight_line() -> None:
    """Each ten extras more add the same, to a tenth."""
    sizes = [len(lay_out_page(build_quote(*job_with_extras(count)), CHECK)) for count in (10, 20, 30, 40)]
    steps = [after - before for before, after in itertools.pairwise(sizes)]
    assert max(steps) < 1.1 * min(steps)


def test_a_large_total_has_room_on_a_phone() -> None:
    quote = quotes.three()
    large = tuple(replace(tier, total=Decimal("1234567.89")) for tier in quote.tiers)
    assert 'class="lines stack long"' in lay_out_page(replace(quote, tiers=large), CHECK)
    assert 'class="lines stack"' in lay_out_page(quote, CHECK)


@pytest.mark.parametrize(
    "module",
    [
        page_choice,
        page_data,
        page_layout,
        page_lines,
        page_replace,
        page_script,
        page_style,
        page_words,
        page_years,
        script_text,
    ],
    ids=lambda module: module.__name__.rpartition(".")[2],
)
def test_no_module_of_the_page_reads_what_the_shop_keeps_to_itself(module: object) -> None:
    tree = ast.parse(inspect.getsource(module))  # type: ignore[arg-type]
    read = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert read.isdisjoint(SHOP_ONLY)
