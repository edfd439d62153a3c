"""What the page's script is told: codes and texts as JSON that can't end a script, and whole numbers."""

from __future__ import annotations

import json
from collections.abc import Mapping

from quotekit.documents.customer_extras import extra_keys
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_form
from quotekit.documents.page_markup import plain
from quotekit.documents.reply_text import ADD, CHECK, CHECK_DIGITS, NOTHING, OPTION, QUOTE, SEPARATOR, TOTAL, VERSION
from quotekit.documents.script_text import figure_names
from quotekit.model.live import LivePricing, Place
from quotekit.model.quote import PricedTier, Quote

_PLACES: Mapping[Place, int] = {"none": 0, "offered": 1, "included": 2}


def page_data(quote: Quote, check: str) -> dict[str, object]:
    """Options and extras by their codes, how money is written, and the words of the reply."""
    live, valid = quote.live, quote.valid_until
    form = money_form(quote.currency, quote.book.settings.language)
    limit = quote.job.spending_limit
    return {
        "options": [_option(quote, tier) for tier in quote.offered],
        "extras": [_extra(quote, key) for key in extra_keys(quote)],
        "ticks": len(live.extras) if live else 0,
        "figures": list(figure_names(live)) if live else [],
        "money": form._asdict(),
        "limit": None if limit is None else int(limit.scaleb(form.digits)),
        "until": [valid.year, valid.month, valid.day],
        "reply": _reply(quote, check),
        "mail": _one_line(quote.book.settings.email),
    }


def as_script(value: object) -> str:
    """A value as JSON in ASCII in which nothing can end a script or begin a comment.

    >>> as_script({"name": "</script>"})
    '{"name":"\\\\u003c/script\\\\u003e"}'
    """
    text = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _option(quote: Quote, tier: PricedTier) -> dict[str, object]:
    """Its code, its label in the reply, and which of the live options it is."""
    labels = {option.code: (n, option.label) for n, option in enumerate(quote.live.options)} if quote.live else {}
    number = option_number(quote, tier)
    same = [other for other in quote.offered if other.name.casefold() == tier.name.casefold()]
    live, label = labels.get(tier.code, (0, f"{number}: {tier.name}" if len(same) > 1 else tier.name))
    title = f"{number}: {_one_line(tier.name)}"
    return {"code": _one_line(tier.code), "label": _one_line(label), "number": number, "title": title, "live": live}


def _extra(quote: Quote, key: str) -> dict[str, object]:
    """Its key, where it is offered, and which of the live extras it is."""
    live = _live_extra(quote.live, key)
    return {"key": _one_line(key), "places": [_place(key, tier) for tier in quote.offered], "live": live}


def _live_extra(live: LivePricing | None, key: str) -> int:
    keys = [extra.key for extra in live.extras] if live else []
    return keys.index(key) if key in keys else -1


def _place(key: str, tier: PricedTier) -> int:
    if any(extra.extra == key for extra in tier.extras):
        return _PLACES["offered"]
    return _PLACES["included" if any(item.key == key for item in tier.items) else "none"]


def _reply(quote: Quote, check: str) -> dict[str, str]:
    number = _one_line(quote.job.job_number)
    return {
        "subject": f"{QUOTE} {number}{VERSION}{quote.job.version}",
        "quote": f"{QUOTE}: {number}{VERSION}{quote.job.version}",
        "option": f"{OPTION}: ",
        "add": f"{ADD}: ",
        "nothing": NOTHING,
        "separator": SEPARATOR,
        "total": f"{TOTAL}: ",
        "check": f"{CHECK}: {check[:CHECK_DIGITS]}",
    }


def _one_line(text: str) -> str:
    """A text without line breaks, as the reply is read by lines."""
    return " ".join(plain(text).split())
