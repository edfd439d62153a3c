"""The customer's quote as one page of HTML that needs nothing else: no server, no other file, no network.

It reads no field that holds a cost, a margin, a markup, a supplier or packs. Its policy lets run only the one script
and the one style that are in it, each by its fingerprint. Without a script it is a plain quote.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from hashlib import sha256

from quotekit.documents.money_text import date_text, territory_of
from quotekit.documents.page_choice import bar_part, extra_part, option_part, send_part, yours_part
from quotekit.documents.page_data import as_script, page_data
from quotekit.documents.page_lines import line_part
from quotekit.documents.page_markup import NOTHING, Html, tag, together
from quotekit.documents.page_script import SCRIPT
from quotekit.documents.page_style import STYLE
from quotekit.documents.page_words import decline_part, fact_part, finding_part, shop_part, short_part, term_part
from quotekit.documents.page_years import year_part
from quotekit.documents.script_text import script_function
from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote

_NO_SCRIPT = (
    "Figures can't follow your choice here, because scripts are off in this program. Open the page in a browser, "
    "or read on: every option's total is below. To say yes, tell us which option and what to add."
)
_NOT_LIVE = "Figures on this page don't follow your choice; before any work is done, we tell you what all comes to."


def lay_out_page(quote: Quote, check: str, photos: Mapping[str, Picture] | None = None) -> str:
    """The whole page; `check` is the fingerprint of the quote that goes with it."""
    script = _script(quote, check)
    body = (
        shop_part(quote),
        tag("main", *_parts(quote, photos or {}), bar_part()),
        Html(f"<script>{script}</script>"),
    )
    html = tag("html", _head(quote, script), tag("body", *body), lang=_language(quote))
    return f"<!DOCTYPE html>\n{html}\n"


def _parts(quote: Quote, photos: Mapping[str, Picture]) -> tuple[Html, ...]:
    """The page from top to bottom."""
    choice = tag("div", option_part(quote), extra_part(quote))
    return (
        tag("h1", "Quote ", tag("span", f"{quote.job.job_number},", class_="whole"), f" version {quote.job.version}"),
        *_dates(quote),
        tag("noscript", tag("p", _NO_SCRIPT, class_="notice")),
        short_part(quote),
        fact_part(quote),
        finding_part(quote, photos),
        tag("div", choice, yours_part(quote), class_="choose"),
        send_part(quote),
        decline_part(quote),
        year_part(quote),
        _weighed(quote),
        term_part(quote),
        line_part(quote),
    )


def _weighed(quote: Quote) -> Html:
    """Repair or replace, where the job gives what a machine is worth."""
    if not quote.job.asks_worth:
        return NOTHING
    from quotekit.documents.page_replace import replace_part

    return replace_part(quote)


def _dates(quote: Quote) -> tuple[Html, ...]:
    language = quote.book.settings.language
    until = date_text(quote.valid_until, language)
    said = tag("p", f"Of {date_text(quote.job.quote_date, language)}. Valid until {until}.", class_="dates")
    expired = f"This quote was valid until {until}. Please ask us for a new one before you decide."
    live = "" if quote.live else _NOT_LIVE
    return (
        said,
        tag("p", expired, class_="notice", id="expired", hidden=True),
        tag("p", live, class_="notice") if live else NOTHING,
    )


def _head(quote: Quote, script: str) -> Html:
    policy = (
        f"default-src 'none'; style-src '{_fingerprint(STYLE)}'; script-src '{_fingerprint(script)}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )
    title = f"Quote {quote.job.job_number}, version {quote.job.version}: {quote.book.settings.shop_name}"
    return together((
        Html("<head>"),
        tag("meta", charset="utf-8"),
        Html(f'<meta http-equiv="Content-Security-Policy" content="{policy}">'),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="referrer", content="no-referrer"),
        tag("meta", name="format-detection", content="telephone=no, date=no, address=no, email=no"),
        tag("title", title),
        Html(f"<style>{STYLE}</style></head>"),
    ))  # fmt: skip


def _script(quote: Quote, check: str) -> str:
    """The data, the figures where they can follow, and what listens to the customer."""
    figures = script_function(quote.live) if quote.live is not None else "const figures=null;"
    return f'(function(){{"use strict";\nconst page={as_script(page_data(quote, check))};\n{figures}\n{SCRIPT}}})();'


def _fingerprint(text: str) -> str:
    return "sha256-" + base64.b64encode(sha256(text.encode()).digest()).decode("ascii")


def _language(quote: Quote) -> str:
    """The page is in English, spelled as the shop's country does."""
    return "en-US" if territory_of(quote.book.settings.language) == "US" else "en-GB"
