"""Names of figures as the shop says them: `total` is the total to pay, `parts.SEAL.amount` the amount of that part."""

from __future__ import annotations

from collections.abc import Mapping

_PARTS: Mapping[str, str] = {
    "amount": "amount",
    "unit_price": "price each",
    "quantity": "how many",
    "packs": "packs bought",
}
_GROUPS: Mapping[str, str] = {
    "parts": "part",
    "shares": "share of",
    "extras": "offered beside it,",
    "bundles": "saving",
}
_HOURS: Mapping[str, str] = {
    "access": "Hours of opening and closing",
    "net": "Net hours",
    "allowance": "Hours for the condition",
    "off": "Hours off",
    "minimum_added": "Hours added by the minimum",
}
_SHARES: Mapping[str, str] = {"hours": "hours", "labour": "labour", "parts": "parts", "sublet": "sublet"}
_EXTRAS: Mapping[str, str] = {"price": "what it adds", "at_most": "at most", "why": "why it is offered"}


def figure_words(name: str) -> str:
    """A figure's name in words; the name itself where there are none.

    >>> figure_words("total"), figure_words("parts.SEAL-19.amount"), figure_words("hours.billed.MAIN")
    ('Total to pay', 'Part SEAL-19, amount', 'Hours billed at MAIN')
    >>> figure_words("taxes.State.amount"), figure_words("shares.BUSH@left.labour"), figure_words("declined.tax")
    ('State', 'Share of BUSH@left, labour', 'What a no costs, tax')
    >>> figure_words("why.levers.0.x")
    'why.levers.0.x'
    """
    from quotekit.workbook.read_costing import LABELS

    known = next((label for label, figure in LABELS.items() if figure == name), "")
    if known:
        return known
    group, _, rest = name.partition(".")
    if group == "declined":
        return "What a no costs" if rest == "total" else f"What a no costs, {rest}"
    if group == "taxes" and rest.endswith((".amount", ".base")):
        tax, _, last = rest.rpartition(".")
        return tax if last == "amount" else f"{tax}, charged on"
    if group == "hours":
        return _HOURS.get(rest, f"Hours billed at {rest[7:]}" if rest.startswith("billed.") else name)
    code, _, last = rest.rpartition(".")
    word = {**_PARTS, **_SHARES, **_EXTRAS}.get(last, last.replace("_", " "))
    if group in _GROUPS and code:
        start = _GROUPS[group]
        return f"{start[:1].upper()}{start[1:]} {code}, {word}"
    return f"{name[:1].upper()}{name[1:]}" if " " in name else name
