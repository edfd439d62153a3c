"""A mapping as the text of its file: TOML that a person can read, with the reason of each guess beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from quotekit.suppliers.encodings import SHOWN_NAMES
from quotekit.suppliers.mapping import FIELDS, PriceMapping

_SEPARATORS = {"\t": "tab", ",": "comma", ";": "semicolon", "|": "bar"}
_GROUPING = {"": "", " ": "space", "'": "apostrophe", ",": ",", ".": "."}


def mapping_text(mapping: PriceMapping, reasons: Mapping[str, str], doubts: Iterable[str] = ()) -> str:
    """The file's text; reading it gives the same mapping."""
    lines = [
        f"# How the price lists of {_plain(mapping.supplier)} are read.",
        "# Made by `quotekit prices map` from a list: change what is wrong. A line with # in front counts for nothing.",
        *(f"# LOOK AT THIS: {_plain(doubt)}" for doubt in doubts),
        "",
        f"supplier = {_quoted(mapping.supplier)}",
        "",
        "[file]",
        *_file(mapping, reasons),
        "",
        "[amounts]",
        *_amounts(mapping, reasons),
        "",
        *_columns(mapping, reasons),
    ]
    return "\n".join(lines) + "\n"


def _file(mapping: PriceMapping, reasons: Mapping[str, str]) -> Iterator[str]:
    yield from _line("kind", _quoted(mapping.kind), reasons.get("kind", ""))
    if mapping.member:
        yield from _line("member", _quoted(mapping.member), "the file within the zip")
    if mapping.kind in ("xlsx", "ods"):
        yield from _line("sheet", _quoted(mapping.sheet), reasons.get("sheet", ""))
    else:
        shown = SHOWN_NAMES.get(mapping.encoding, mapping.encoding)
        yield from _line("encoding", _quoted(mapping.encoding), f"{shown}: {reasons.get('encoding', '')}")
    if mapping.kind == "delimited":
        name = _SEPARATORS.get(mapping.separator, mapping.separator)
        yield from _line("separator", _quoted(name), reasons.get("separator", ""))
        if not mapping.quotes:
            yield from _line("quotes", "false", "a quote is a character like any other")
    yield from _line("header_row", str(mapping.header_row), reasons.get("header_row", ""))


def _amounts(mapping: PriceMapping, reasons: Mapping[str, str]) -> Iterator[str]:
    yield from _line("decimal_mark", _quoted(mapping.style.decimal_mark), reasons.get("decimal_mark", ""))
    yield from _line("grouping_mark", _quoted(_GROUPING[mapping.style.grouping_mark]), "between thousands")
    yield from _line("currency", _quoted(mapping.currency), reasons.get("currency", ""))
    yield from _line(
        "cost_is_for",
        _quoted(mapping.cost_is_for),
        f"each, pack or a number such as 100: {reasons.get('cost_is_for', '')}",
    )
    if mapping.list_is_for != "each" or "list_is_for" in reasons:
        yield from _line("list_is_for", _quoted(mapping.list_is_for), reasons.get("list_is_for", ""))
    if mapping.date_order or {"dated", "until"} & (mapping.columns.keys() | mapping.places.keys()):
        yield from _line("date_order", _quoted(mapping.date_order), reasons.get("date_order", ""))


def _columns(mapping: PriceMapping, reasons: Mapping[str, str]) -> Iterator[str]:
    """Every field, those that the list lacks behind a #."""
    if mapping.kind == "fixed width":
        yield "[places]  # first and last character of the line, from 1; last 0: to its end"
        named = {name: f"[{cut.start}, {cut.end}]" for name, cut in mapping.places.items()}
    else:
        yield '[columns]  # the headers of the list; "column 3" where a header is blank or stands twice'
        named = {name: _quoted(header) for name, header in mapping.columns.items()}
    for name, meaning in FIELDS.items():
        if name in named:
            yield from _line(name, named[name], f"{meaning}: {reasons[name]}" if name in reasons else meaning)
        else:
            yield f"# {name} =  # {meaning}"


def _line(name: str, value: str, reason: str) -> Iterator[str]:
    yield f"{name} = {value}" + (f"  # {_plain(reason)}" if reason else "")


def _plain(text: str) -> str:
    """A text that stays on its line."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def _quoted(text: str) -> str:
    """A TOML text."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(letter if letter.isprintable() else f"\\U{ord(letter):08x}" for letter in escaped) + '"'
