"""What the office is told of the cell functions: names, help and types, all made from the table of the functions.

`CalcAddIns.xcu` is what a person reads in the office; the interface (IDL) says the types, and its type library is made
from it with `unoidl-write` of LibreOffice's development kit. The first parameter, which nobody sees, is the document.
The last one of each, `book`, names another shop book.
"""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.addin.settings_xml import node, said, settings_file, within
from quotekit.pricing.functions.known import FUNCTIONS, Argument, CellFunction

SERVICE = "org.quotekit.ShopFunctions"
INTERFACE = "XShopFunctions"
"""Names the type library too: `XShopFunctions.rdb`."""

BOOK = Argument(
    name="book",
    says="Another shop book, by the name of its file; left out, this workbook or the only shop book beside it.",
)


def function_settings(functions: Iterable[CellFunction] = FUNCTIONS) -> str:
    """`CalcAddIns.xcu`: each function with its help and that of each argument."""
    inner = node(SERVICE, within("AddInFunctions", map(_function, functions)))
    return settings_file("CalcAddIns", within("AddInInfo", [inner]))


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


def _function(function: CellFunction) -> str:
    parameters = [
        node(
            programmatic(one.name),
            [
                said("DisplayName", one.name if one.optional else f"{one.name} (needed)"),
                said("Description", one.says),
            ],
        )
        for one in (*function.arguments, BOOK)
    ]
    lines = [said("DisplayName", function.name), said("Description", function.says)]
    lines += ['<prop oor:name="Category"><value>Add-In</value></prop>', said("CompatibilityName", function.name)]
    return node(method_of(function), [*lines, *within("Parameters", parameters)])
