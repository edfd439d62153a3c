"""The functions a cell may use, with their arguments, and the door through which each is worked out.

This table is what the engine answers by, and what the spreadsheet's own help of each argument is made from.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, localcontext
from typing import Literal

from quotekit.money import EXACT
from quotekit.pricing.functions.asked import Asked, Reason, Refused
from quotekit.pricing.functions.remedy_price import remedy_price
from quotekit.pricing.functions.selling_price import selling_price
from quotekit.pricing.functions.shared_hours import shared_hours
from quotekit.pricing.functions.tax_on import tax_on_amount
from quotekit.record import record

Kind = Literal["number", "text", "list", "date", "yes or no"]


@record
class Argument:
    """One argument: its name, its help, what it holds, and whether it may be left out."""

    name: str
    says: str
    kind: Kind = "text"
    optional: bool = True


@record
class CellFunction:
    """A function of cells. `reads` are the sheets its answer depends on: an error in them stops it."""

    name: str
    says: str
    arguments: tuple[Argument, ...]
    reads: frozenset[str]
    works_out: Callable[[Asked], Decimal]


_MACHINE = Argument(
    name="machine",
    says="The machine class, by its code or name; left out, the only one of the shop book.",
)
_SIDE = "left, right, both, all or another position of the machine"
_DAY = Argument(name="date", kind="date", says="The day whose rows are in force; left out, today.")

FUNCTIONS = (
    CellFunction(
        name="SELLING_PRICE",
        says="What one unit of a part sells for at a cost, by the bands of the shop book's Markup sheet, rounded.",
        arguments=(
            Argument(
                name="cost",
                kind="number",
                optional=False,
                says="What one unit costs the shop: the pack's cost divided by the units in it. Blank is an error.",
            ),
            Argument(
                name="list price", kind="number", says="The price never goes above it; blank where there is none."
            ),
        ),
        reads=frozenset({"Shop", "Markup"}),
        works_out=selling_price,
    ),
    CellFunction(
        name="SHARED_HOURS",
        says=(
            "Hours sold for a set of operations, each access step opened once, rounded up as on a quote; "
            "without the job's minimum and without the work always done on the machine."
        ),
        arguments=(
            Argument(
                name="operations",
                kind="list",
                optional=False,
                says="Codes of Operations: a range of cells, or a text such as BELT; BUSHING@left.",
            ),
            Argument(name="side", says=f"Where operations done each side are done that have no side: {_SIDE}."),
            _MACHINE,
            Argument(name="condition", says="A code of Conditions, for rust; left out, no allowance."),
        ),
        reads=frozenset(
            {"Shop", "Labour rates", "Conditions", "Machines", "Access", "Operations", "Parts", "Parts used"}
        ),
        works_out=shared_hours,
    ),
    CellFunction(
        name="TAX_ON",
        says="The tax on an amount of one charge, by the rows of the Taxes sheet, in the shop's rounding.",
        arguments=(
            Argument(name="amount", kind="number", optional=False, says="The amount before tax."),
            Argument(
                name="charge",
                optional=False,
                says="What is charged: labour, parts, sublet, supplies, fees, freight, a fee code, or a Taxed as word.",
            ),
            _DAY,
            _MACHINE,
            Argument(name="customer class", says="household where left out; exempt pays no tax."),
        ),
        reads=frozenset({"Shop", "Machines", "Fees", "Taxes"}),
        works_out=tax_on_amount,
    ),
    CellFunction(
        name="REMEDY_PRICE",
        says=(
            "The price of one remedy by itself on a blank job: its work with its own access, the work always done on "
            "the machine, the minimum, parts, supplies, freight and the fees of its operations."
        ),
        arguments=(
            Argument(name="remedy", optional=False, says="A code of Remedies."),
            Argument(name="side", says=f"For a remedy done each side: {_SIDE}."),
            _MACHINE,
            Argument(name="with tax", kind="yes or no", says="Yes adds the tax; No or left out is before tax."),
            _DAY,
        ),
        reads=frozenset(
            {"Shop", "Labour rates", "Machines", "Access", "Operations", "Parts", "Parts used", "Suppliers", "Markup"}
            | {"Remedies", "Fees", "Taxes"}
        ),
        works_out=remedy_price,
    ),
)

BY_NAME = {function.name: function for function in FUNCTIONS}


def work_out(function: CellFunction, asked: Asked) -> Decimal | Reason:
    """The figure, exact and rounded as its rule says, or the reason why there is none. The book has no errors."""
    with localcontext(EXACT):
        try:
            return function.works_out(asked)
        except Refused as refused:
            return refused.reason
