"""The settings of the Shop sheet, declared once for the reader and for the blank workbook (DESIGN.md 3.1)."""

from __future__ import annotations

from quotekit.workbook.column import Field

NEVER = "never"
WHEN_WORK_GOES_AHEAD = "when work goes ahead"

SHOP_SETTINGS: tuple[Field, ...] = (
    Field(name="Shop name", required=True, help="As printed on the quote."),
    Field(name="Address", help="Printed on the quote."),
    Field(name="Phone", help="Printed on the quote."),
    Field(name="Email", help="Printed on the quote."),
    Field(name="Licence", help="Licence or registration number, printed on the quote."),
    Field(name="Tax number", help="Printed on the quote."),
    Field(name="Currency", required=True, help="Three letters, such as USD (ISO 4217)."),
    Field(name="Language", default="en_US", help="For money and dates, such as en_US."),
    Field(name="Hours step", kind="hours", default="0.1", help="Hours are rounded up to this step."),
    Field(name="Minimum labour hours", kind="hours", required=True, help="The least that is billed; 0 for none."),
    Field(name="Supplies percent of labour", kind="percent", default="0%", help="Shop supplies, on labour."),
    Field(name="Supplies cap", kind="money", help="Supplies never come to more; blank has no cap."),
    Field(name="Supplies shown as", kind="word", default="amount", words=("amount", "off"), help="Off charges none."),
    Field(name="Sublet markup", kind="percent", default="0%", help="Added to an outside shop's bill."),
    Field(
        name="Freight to customer",
        kind="word",
        default="none",
        words=("none", "this job alone"),
        help="Whether the customer pays freight.",
    ),
    Field(name="Inspection fee", kind="money", default="0", help="Charged for finding out; 0 for none."),
    Field(
        name="Inspection fee credited",
        kind="credit",
        default=NEVER,
        words=(NEVER, WHEN_WORK_GOES_AHEAD),
        help="never, when work goes ahead, or an amount: when the work comes to at least that.",
    ),
    Field(
        name="Prices shown",
        kind="word",
        default="before tax",
        words=("before tax", "with tax"),
        help="How prices are printed.",
    ),
    Field(
        name="Labour shown", kind="word", default="in total", words=("in total", "by repair"), help="How it is printed."
    ),
    Field(
        name="Tax rounding", kind="word", default="invoice", words=("invoice", "line"), help="Once, or line by line."
    ),
    Field(name="Show hours", kind="yes/no", default="No", help="Whether the customer sees hours."),
    Field(name="Quote valid days", kind="whole", default="30", help="Days the quote holds."),
    Field(name="Price age limit days", kind="whole", default="90", help="Older costs are warned of."),
    Field(name="Queue days", kind="whole", default="0", help="Working days before work can start."),
    Field(name="Deposit on ordered parts", kind="percent", default="0%", help="Percent of their selling price."),
    Field(
        name="Deposit on non-returnable parts", kind="percent", default="0%", help="In place of the other, for those."
    ),
    Field(name="Years to compare", kind="years", default="5", help="How far ahead options are compared."),
    Field(name="Interest a year", kind="percent", default="0%", help="Makes later spending count less."),
    Field(name="Call the customer when over percent", kind="percent", default="0%", help="Over the agreed price."),
    Field(name="Call the customer when over amount", kind="money", default="0", help="Over the agreed price."),
    Field(
        name="Call when over",
        kind="word",
        default="the lesser",
        words=("the greater", "the lesser"),
        help="Which of the two counts.",
    ),
    Field(name="Call when over at most", kind="money", help="However much the price; blank has no ceiling."),
    Field(
        name="Call compares",
        kind="word",
        default="with tax",
        words=("before tax", "with tax"),
        help="Which price is compared.",
    ),
)
