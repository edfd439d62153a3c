"""Markup as values: whatever is not markup already is escaped, so that no text of a workbook becomes part of a page.

Characters a page may not hold (control characters, halves of pairs) are left out or shown as unknown.

>>> tag("p", "1 < 2 ", tag("b", "& more"), class_="a b")
'<p class="a b">1 &lt; 2 <b>&amp; more</b></p>'
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable

from quotekit.documents.half_letters import HALF

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff]")
_EMPTY = frozenset({"meta", "input", "br", "img"})


class Html(str):
    """Markup that is finished; any other text is escaped before it stands in a page."""

    __slots__ = ()


NOTHING = Html("")


def tag(name: str, /, *children: str, **attributes: str | bool | int) -> Html:
    """An element; `class_` and `aria_label` stand for `class` and `aria-label`, and a False attribute is left out."""
    pairs = (_attribute(key, value) for key, value in attributes.items() if value is not False)
    opening = f"<{name}{''.join(pairs)}>"
    return Html(opening if name in _EMPTY else f"{opening}{together(children)}</{name}>")


def together(children: Iterable[str]) -> Html:
    """Markup as it is, text escaped, one after the other."""
    return Html("".join(child if isinstance(child, Html) else escaped(child) for child in children))


def escaped(text: str) -> Html:
    """A text as a page shows it.

    >>> escaped('<script>"\\x00&')
    '&lt;script&gt;&quot;&amp;'
    """
    return Html(html.escape(plain(text)))


def plain(text: str) -> str:
    """A text without what a page may not hold; a line break stays."""
    return HALF.sub("\ufffd", _CONTROL.sub("", text.replace("\r\n", "\n").replace("\r", "\n")))


def _attribute(key: str, value: str | bool | int) -> str:
    name = key.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{escaped(str(value))}"'
