"""The page's own parts in words: who and what, what was found, what to know before deciding, and what a no means."""

from __future__ import annotations

import base64
from collections.abc import Mapping

from quotekit.documents.customer_facts import contact_words, facts
from quotekit.documents.customer_findings import finding_sentences, severity_words
from quotekit.documents.customer_options import option_number, words_after_a_no
from quotekit.documents.customer_terms import ASK_OLD_PARTS, CHOOSE_OLD_PARTS, no_costs, terms
from quotekit.documents.money_text import money_text
from quotekit.documents.page_markup import NOTHING, Html, tag, together
from quotekit.documents.sheet import Picture
from quotekit.documents.wording import DECLINE, finding_name, sentence
from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote

Photos = Mapping[str, Picture]


def shop_part(quote: Quote) -> Html:
    """The shop's name and how to reach it."""
    ways = [tag("li", way, dir="auto") for way in contact_words(quote)]
    name = tag("p", quote.book.settings.shop_name, class_="shop", dir="auto")
    return tag("header", tag("div", name, tag("ul", *ways) if ways else NOTHING, class_="inside"))


def short_part(quote: Quote) -> Html:
    """Each option with its total, as a way down to it."""
    ways = [
        tag(
            "li",
            tag("a", f"{option_number(quote, tier)}: {tier.name}", href=f"#option-{n}", dir="auto"),
            " ",
            tag("b", money_text(tier.total, quote.currency, quote.book.settings.language)),
        )
        for n, tier in enumerate(quote.offered)
    ]
    title = "To pay, tax included, for each option"
    return tag(
        "nav", tag("p", title, id="short-title"), tag("ul", *ways), aria_labelledby="short-title", class_="at-a-glance"
    )


def fact_part(quote: Quote) -> Html:
    """Customer, machine, the customer's words and what the machine is worth."""
    pairs = [
        tag("div", tag("dt", label), tag("dd", words, dir="auto"))
        for label, words in facts(quote)
        if words and label != "Quote"
    ]
    return tag("dl", *pairs, class_="facts")


def finding_part(quote: Quote, photos: Photos) -> Html:
    """What was found, each with the options that put it right."""
    findings = quote.job.findings
    if not findings:
        body = tag("p", "Nothing was found that is out of order.")
    else:
        listed = [_finding(number, found, quote, photos) for number, found in enumerate(findings, start=1)]
        body = together((tag("p", severity_words(findings), class_="quiet"), tag("ol", *listed, class_="findings")))
    return section("found", "What we found", body)


def term_part(quote: Quote) -> Html:
    """What the prices leave out, old parts, cautions and terms."""
    pairs = [
        tag("div", tag("dt", label), tag("dd", words.replace(CHOOSE_OLD_PARTS, ASK_OLD_PARTS), dir="auto"))
        for label, words in terms(quote)
    ]
    return section("terms", "Before you decide", tag("dl", *pairs, class_="terms"))


def decline_part(quote: Quote) -> Html:
    """What a no costs and what stays."""
    cost = tag("p", *no_costs(quote))
    stays = tag("p", words_after_a_no(quote), dir="auto")
    return section("decline", DECLINE, cost, stays, tag("p", "To decline, tell us so in your own words."))


def section(name: str, title: str, *body: str) -> Html:
    """A part of the page under its heading."""
    return tag("section", tag("h2", title, id=f"{name}-title"), *body, id=name, aria_labelledby=f"{name}-title")


def _finding(number: int, found: FoundFinding, quote: Quote, photos: Photos) -> Html:
    title = tag("h3", finding_name(found), " ", tag("span", found.severity, class_=f"severity {found.severity}"))
    said = tag("p", " ".join(finding_sentences(found, quote.book.settings.language)))
    answer = tag("p", _put_right(found, quote), class_="answer") if found.fault else NOTHING
    words = tag("div", title, said, answer, dir="auto")
    return tag("li", tag("div", words, _picture(number, found, photos), class_="finding"))


def _put_right(found: FoundFinding, quote: Quote) -> str:
    """By which options it is put right."""
    fixing = [tier for tier in quote.offered if found.key in tier.fixed]
    if not fixing:
        return "Not put right in any option."
    if len(fixing) == len(quote.offered) > 1:
        return "Put right in every option."
    names = " and ".join(option_number(quote, tier) for tier in fixing)
    return sentence(f"Put right in {names}" + (" only" if len(quote.offered) > 1 else ""))


def _picture(number: int, found: FoundFinding, photos: Photos) -> Html:
    photo = photos.get(found.photo) if found.photo else None
    if photo is None:
        return NOTHING
    kind = "png" if photo.extension == "png" else "jpeg"
    data = base64.b64encode(photo.data).decode("ascii")
    alt = f"Photograph of finding {number}: {finding_name(found)}"
    return tag("img", src=f"data:image/{kind};base64,{data}", alt=alt, width=photo.width, height=photo.height)
