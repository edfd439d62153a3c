"""The sheets of the shop book that say what work and parts are and cost: Shop to Markup (DESIGN.md 3)."""

from __future__ import annotations

from quotekit.workbook.column import NEW_OR_USED_WORDS, Column, SheetColumns
from quotekit.workbook.shared_columns import (
    CAUTION_CODES,
    CUSTOMER_WORDING,
    LABOUR,
    MACHINE,
    PARTS_PER_SIDE,
    code_column,
    name_column,
)

SHOP = SheetColumns(
    name="Shop",
    help="One setting a row.",
    needed=True,
    columns=(name_column("Setting", "Name of the setting."), Column(header="Value", required=True, help="Its value.")),
)
LABOUR_RATES = SheetColumns(
    name="Labour rates",
    help="What an hour sells for. The first code is the default.",
    needed=True,
    columns=(
        code_column("A short code, such as MAIN."),
        Column(header="Name", help="What the rate is for."),
        Column(header="Rate per hour", kind="money", required=True, help="Selling price of one hour, before tax."),
        Column(header="Cost per hour", kind="money", help="What an hour costs the shop; blank leaves margin unknown."),
        Column(
            header="In force from",
            kind="date",
            help="First day of this rate; the latest not after the quote date wins.",
        ),
    ),
)
CONDITIONS = SheetColumns(
    name="Conditions",
    help="Extra time for rust and dirt.",
    columns=(
        code_column("A short code, such as RUSTY."),
        Column(header="Name", help="The condition in words."),
        Column(header="Allowance", kind="percent", required=True, help="Added to the net hours slowed by rust: 20%"),
        Column(header="At most hours", kind="hours", help="The allowance never adds more hours than this to a job."),
    ),
)
MACHINES = SheetColumns(
    name="Machines",
    help="Classes of machine the shop works on.",
    columns=(
        code_column("A short code, such as BLOWER-2."),
        name_column("Machine class", "The class in words."),
        Column(header="Positions", kind="sides", help="Places that come more than once; blank is left; right."),
        Column(header="Always", kind="codes", refers_to=("Operations",), help="Operations done once on every job."),
    ),
)
ACCESS = SheetColumns(
    name="Access",
    help="Opening and closing: charged once however many operations need it.",
    columns=(
        code_column("A short code, such as COVER."),
        name_column("Step", "The step in words."),
        Column(header="Hours to open", kind="hours", required=True, help="Hours, such as 0.4."),
        Column(header="Hours to close", kind="hours", required=True, help="Hours, such as 0.3."),
        Column(header="Needs", kind="codes", refers_to=("Access",), help="Access steps that must be open first."),
        Column(header="Each side", kind="yes/no", help="Yes where it is opened once per side; blank is No."),
        LABOUR,
        PARTS_PER_SIDE,
        CAUTION_CODES,
    ),
)
OPERATIONS = SheetColumns(
    name="Operations",
    help="Work once access is open: net hours only.",
    needed=True,
    columns=(
        code_column("A short code, such as BUSHING-FIT."),
        name_column("Operation", "The work in words."),
        Column(header="Net hours", kind="hours", required=True, help="Hours once access is open, such as 0.6."),
        Column(header="Second side hours", kind="hours", help="Hours for each further side; blank is the net hours."),
        Column(header="Each side", kind="yes/no", help="Yes where it is done once per side; blank is No."),
        LABOUR,
        PARTS_PER_SIDE,
        Column(header="Access", kind="codes", refers_to=("Access",), help="Access steps that must be open."),
        Column(
            header="Includes", kind="codes", refers_to=("Operations",), help="Operations this one makes unnecessary."
        ),
        Column(
            header="Requires", kind="codes", refers_to=("Operations",), help="Operations that must be done with it."
        ),
        Column(header="Slowed by rust", kind="yes/no", help="Yes where rust slows it; blank is No."),
        Column(header="Sublet cost", kind="money", help="What an outside shop asks for it."),
        Column(header="Sublet days", kind="whole", help="Working days the outside shop takes."),
        CAUTION_CODES,
        CUSTOMER_WORDING,
    ),
)
PARTS = SheetColumns(
    name="Parts",
    help="Parts as bought: whole packs. Prices before tax.",
    needed=True,
    columns=(
        code_column("The shop's part code, kept as text."),
        name_column("Part", "The part in words."),
        Column(header="Unit", help="What one is: each, foot, ounce."),
        Column(header="Pack quantity", kind="quantity", required=True, help="How many come in a pack."),
        Column(header="Pack cost", kind="money", required=True, help="What a pack costs the shop."),
        Column(header="List price each", kind="money", help="The price never goes above it."),
        Column(header="Fixed price each", kind="money", help="Sold at exactly this, whatever the markup says."),
        Column(header="Supplier", kind="code", required=True, refers_to=("Suppliers",), help="Who it is bought from."),
        Column(header="Supplier's number", help="The supplier's own number, kept as text."),
        Column(header="New or used", kind="word", words=NEW_OR_USED_WORDS, help="What the customer is getting."),
        Column(header="Replaced by", kind="code", refers_to=("Parts",), help="The part that now stands for this one."),
        Column(
            header="Also needs", kind="quantities", refers_to=("Parts",), help="Parts each unit of it needs as well."
        ),
        Column(header="Contains", kind="quantities", refers_to=("Parts",), help="For a kit: the parts one unit holds."),
        Column(header="Lead days", kind="whole", help="Working days to get it; blank takes the supplier's."),
        Column(header="Returnable", kind="yes/no", help="No where it cannot go back; blank is Yes."),
        Column(header="Core charge", kind="money", help="Charged per unit where the customer keeps the old part."),
        Column(header="Extra freight", kind="money", help="Freight per pack on top of the supplier's."),
        Column(header="Cost date", kind="date", help="When the cost was last looked up."),
        Column(header="Taxed as", help="A charge word of the Taxes sheet; blank is parts."),
    ),
)
PARTS_USED = SheetColumns(
    name="Parts used",
    help="Parts that depend on the side or the machine.",
    columns=(
        Column(
            header="Used by",
            kind="code",
            required=True,
            refers_to=("Operations", "Access", "Remedies", "Extras"),
            help="Code of the operation, access step, remedy or extra that uses it.",
        ),
        Column(header="Part", kind="code", required=True, refers_to=("Parts",), help="The part's code."),
        Column(header="Quantity", kind="quantity", required=True, help="How many, per side."),
        Column(header="Side", field="sides", kind="sides", help="Only on this side; blank is every side."),
        MACHINE,
    ),
)
OFFERS = SheetColumns(
    name="Offers",
    help="Other suppliers' prices, looked at when parts are ordered.",
    columns=(
        Column(header="Part", kind="code", required=True, refers_to=("Parts",), help="The part's code."),
        Column(header="Supplier", kind="code", required=True, refers_to=("Suppliers",), help="Who offers it."),
        Column(header="Supplier's number", help="That supplier's own number, kept as text."),
        Column(header="Pack quantity", kind="quantity", required=True, help="How many come in a pack."),
        Column(header="Pack cost", kind="money", required=True, help="What a pack costs the shop."),
        Column(header="Lead days", kind="whole", help="Working days to get it."),
        Column(header="Dated", kind="date", help="When the price was given."),
    ),
)
SUPPLIERS = SheetColumns(
    name="Suppliers",
    help="Terms of each supplier.",
    columns=(
        code_column("A short code, such as NORTH."),
        name_column("Supplier", "Its name."),
        Column(header="Minimum order", kind="money", help="Below this the small order fee is charged."),
        Column(header="Small order fee", kind="money", help="The fee on a small order."),
        Column(header="Freight", kind="money", help="Freight on an order."),
        Column(
            header="Free freight from", kind="money", help="Order value from which freight is free; blank is never."
        ),
        Column(header="Lead days", kind="whole", help="Working days to get parts."),
        Column(header="Restocking", kind="percent", help="Part of the cost kept on a return."),
        Column(header="Return days", kind="whole", help="Days within which parts may go back."),
        Column(header="Shelf", kind="yes/no", help="Yes for the shop's own stock."),
    ),
)
MARKUP = SheetColumns(
    name="Markup",
    help="Markup on unit cost, by bands without gap or overlap.",
    needed=True,
    columns=(
        Column(header="Cost over", kind="money", required=True, help="The band starts above this unit cost."),
        Column(header="Cost up to", kind="money", help="It ends here, included; blank has no end."),
        Column(header="Markup", kind="markup", required=True, help="Added to the cost: 45%"),
    ),
)
