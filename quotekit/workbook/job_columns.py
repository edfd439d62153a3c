"""The job workbook's sheets, columns and fields, declared once for reader and blank workbook (DESIGN.md 4)."""

from __future__ import annotations

from quotekit.workbook.column import SEVERITY_WORDS, Column, Field, SheetColumns
from quotekit.workbook.work_columns import PARTS

ONE_OFF_KIND_WORDS = ("labour", "part", "sublet", "charge")
_SIDE = Column(header="Side", kind="sides", help="A position such as left, or both, all, or a list; blank for none.")

JOB = SheetColumns(
    name="Job",
    help="One machine brought in once.",
    needed=True,
    columns=(
        Column(header="Field", required=True, help="Name of the field."),
        Column(header="Value", help="Its value."),
    ),
)
JOB_FIELDS: tuple[Field, ...] = (
    Field(name="Job number", kind="code", required=True, help='Used in file names: no \\ / : * ? " < > |'),
    Field(name="Version", kind="whole", default="1", help="1 for the first quote, 2 for the next."),
    Field(name="Customer", required=True, help="The customer's name."),
    Field(name="Phone", help="The customer's phone."),
    Field(name="Email", help="The customer's email."),
    Field(name="Machine class", required=True, refers_to=("Machines",), help="Code or name of the class."),
    Field(name="Make", help="Who made it."),
    Field(name="Model", help="Its model."),
    Field(name="Serial", help="Its serial number, as text."),
    Field(name="Usage", help="Hours or miles, as read."),
    Field(name="Customer's words", required=True, help="The complaint, as the customer said it."),
    Field(name="Condition", kind="code", refers_to=("Conditions",), help="Condition code; blank for no allowance."),
    Field(name="Quote date", kind="date", required=True, help="Rates, taxes and savings of this day count."),
    Field(name="Customer class", default="household", help="household, business, exempt or the shop's own word."),
    Field(name="Exemption certificate", help="Its number; needed for the class exempt."),
    Field(name="Old parts", kind="word", words=("keep", "show", "dispose"), help="What the customer wants done."),
    Field(name="Spending limit", kind="money", help="What the customer will not go over, tax included."),
    Field(name="Inspection fee", kind="money", help="In place of the shop's; 0 for none."),
    Field(name="Paid so far", kind="money", default="0", help="Tax included."),
    Field(name="Reassembly hours if declined", kind="hours", help="To put it back together after a no."),
    Field(name="Labour rate", kind="code", refers_to=("Labour rates",), help="A rate code in the default's place."),
    Field(name="Fees", kind="quantities", refers_to=("Fees",), help="Fee codes and how many: PICKUP x 12"),
    Field(
        name="Customer's own parts",
        kind="codes",
        refers_to=("Parts",),
        help="Part codes the customer brings: fitted, not charged.",
    ),
    Field(name="Discount percent", kind="percent", default="0%", help="Of labour and parts after savings."),
    Field(name="Discount reason", help="Needed with a discount."),
    Field(name="New price", kind="money", help="What a new machine costs."),
    Field(name="Used value working", kind="money", help="What this one is worth when it works."),
    Field(name="Value as it stands", kind="money", help="What it is worth now."),
    Field(name="Upkeep a year after repair", kind="money", help="Expected upkeep once repaired."),
    Field(name="Upkeep a year new", kind="money", help="Expected upkeep of a new one."),
    Field(name="Years it could last", kind="years", help="How long the machine itself could last."),
    Field(name="Years to compare", kind="years", help="In place of the shop's."),
    Field(
        name="Value a new one loses",
        kind="percent",
        help="Of its price, over the years compared; blank takes the middle of what it can lose.",
    ),
)
JOB_FINDINGS = SheetColumns(
    name="Findings",
    help="What was found on this machine.",
    columns=(
        Column(
            header="Finding",
            kind="code",
            required=True,
            refers_to=("Findings",),
            help="From the list, or OTHER with a note and a severity.",
        ),
        _SIDE,
        Column(
            header="Measured",
            kind="number",
            help="A number, of what the column What to measure names, in the unit it names; another unit goes in Unit. "
            "Measure what is still good too. Blank where it is judged by eye.",
        ),
        Column(header="Unit", help="Unit of this row, such as mm; blank is the shop book's."),
        Column(header="Limit", kind="number", help="This machine's limit, in this row's unit."),
        Column(header="As new", kind="number", help="This machine's value as new, in this row's unit."),
        Column(header="Limit source", help="Where this machine's limit comes from."),
        Column(header="Severity", kind="word", words=SEVERITY_WORDS, help="In place of the book's; say why in Note."),
        Column(header="Note", help="What was seen."),
        Column(header="Photo", help="Name of a picture file beside this workbook."),
    ),
)
JOB_EXTRAS = SheetColumns(
    name="Extras",
    help="Extras to offer, or that the customer asked for.",
    columns=(
        Column(header="Extra", kind="code", required=True, refers_to=("Extras",), help="From the list."),
        _SIDE,
        Column(header="Customer asked", kind="yes/no", help="Yes puts it in every option; No or blank only offers it."),
    ),
)
JOB_PARTS = SheetColumns(
    name="Parts",
    help="A row stands for that part on this job only: this machine's number, pack and cost.",
    columns=PARTS.columns,
)
ONE_OFF = SheetColumns(
    name="One-off",
    help="Work and parts that the shop book does not have.",
    columns=(
        Column(header="Line", required=True, help="What it is."),
        Column(
            header="Kind", kind="word", required=True, words=ONE_OFF_KIND_WORDS, help="labour, part, sublet or charge."
        ),
        Column(header="Quantity", kind="quantity", required=True, help="How many; hours for labour."),
        Column(header="Unit cost", kind="money", help="For parts and sublet; priced as the shop prices."),
        Column(header="Unit price", kind="money", help="In place of that; required for a charge."),
        Column(header="Labour", kind="code", refers_to=("Labour rates",), help="Labour rate code."),
        Column(header="Access", kind="codes", refers_to=("Access",), help="Access steps that must be open."),
        Column(header="Supplier", kind="code", refers_to=("Suppliers",), help="Blank is from the shelf."),
        Column(header="Lead days", kind="whole", help="Working days to get it."),
        Column(header="Tier", kind="codes", refers_to=("Tiers",), help="Only in these; blank is all."),
        Column(header="Fixes", kind="codes", refers_to=("Findings",), help="Findings of this job it puts right."),
        Column(header="Slowed by rust", kind="yes/no", help="Yes where rust slows it; blank is No."),
    ),
)
PLAN = SheetColumns(
    name="Plan",
    help="Your own choice for an option, in place of the computed one.",
    columns=(
        Column(header="Tier", kind="code", required=True, refers_to=("Tiers",), help="The option's code."),
        Column(
            header="Item",
            kind="code",
            required=True,
            refers_to=("Remedies", "Extras", "Operations"),
            help="A remedy, extra or operation code.",
        ),
        _SIDE,
    ),
)
