"""What the office is told of the cell functions: names, help and types, all made from the table of the functions.

`CalcAddIns.xcu` is what a person reads in the office; the interface (IDL) says the types, and its type library is made
from it with `unoidl-write` of LibreOffice's development kit. The first parameter, which nobody sees, is the document.
The last one of each, `book`, names another shop book.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from quotekit.pricing.functions.known import FUNCTIONS, Argument, CellFunction

SERVICE = "org.quotekit.ShopFunctions"
INTERFACE = "XShopFunctions"
"""Names the type library too: `XShopFunctions.rdb`."""

BOOK = Argument(
    name="book",
    says="Another shop book, by the name of its file; left out, this workbook or the only shop book beside it.",
)

_START = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<oor:component-data xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"'
    ' oor:name="CalcAddIns" oor:package="org.openoffice.Office">'
)


def function_settings(functions: Iterable[CellFunction] = FUNCTIONS) -> str:
    """`CalcAddIns.xcu`: each function with its help and that of each argument."""
    lines = [_START, '<node oor:name="AddInInfo">', f'<node oor:name="{SERVICE}" oor:op="replace">']
    lines.append('<node oor:name="AddInFunctions">')
    for function in functions:
        lines += _function(function)
    return "\n".join([*lines, "</node>", "</node>", "</node>", "</oor:component-data>", ""])


def function_interface(functions: Iterable[CellFunction] = FUNCTIONS) -> str:
    """The interface: every argument an `any`, which may be left out and may be a range."""
    lines = ["module org { module quotekit {", f"interface {INTERFACE} {{"]
    for function in functions:
        words = "".join(f", [in] any {programmatic(one.name)}" for one in (*function.arguments, BOOK))
        caller = "[in] com::sun::star::beans::XPropertySet caller"
        lines.append(f"    any {method_of(function)}({caller}{words});")
    return "\n".join([*lines, "};", "}; };", ""])


def method_of(function: CellFunction) -> str:
    """The method behind a function.

    >>> method_of(FUNCTIONS[0])
    'sellingPrice'
    """
    return programmatic(function.name.replace("_", " ").lower())


def programmatic(name: str) -> str:
    """Words as one name.

    >>> programmatic("customer class")
    'customerClass'
    """
    first, *others = name.split()
    return first + "".join(word.capitalize() for word in others)


def _function(function: CellFunction) -> list[str]:
    lines = [f'<node oor:name="{method_of(function)}" oor:op="replace">']
    lines += [_said("DisplayName", function.name), _said("Description", function.says)]
    lines += ['<prop oor:name="Category"><value>Add-In</value></prop>', _said("CompatibilityName", function.name)]
    lines.append('<node oor:name="Parameters">')
    for argument in (*function.arguments, BOOK):
        shown = argument.name if argument.optional else f"{argument.name} (needed)"
        lines.append(f'<node oor:name="{programmatic(argument.name)}" oor:op="replace">')
        lines += [_said("DisplayName", shown), _said("Description", argument.says), "</node>"]
    return [*lines, "</node>", "</node>"]


def _said(name: str, words: str) -> str:
    return f'<prop oor:name="{name}"><value xml:lang="en-US">{escape(words)}</value></prop>'
