"""The sheets of the shop book that say what may be found and offered: Findings to Cautions (DESIGN.md 3)."""

from __future__ import annotations

from quotekit.model.shop_book import CHARGE_WORDS
from quotekit.workbook.column import (
    AIM_WORDS,
    FAILS_WHEN_WORDS,
    KIND_WORDS,
    SAVING_WORDS,
    SEVERITY_WORDS,
    Column,
    SheetColumns,
)
from quotekit.workbook.shared_columns import (
    CUSTOMER_WORDING,
    LIFE_YEARS,
    MACHINE,
    OPERATION_CODES,
    PARTS_PER_SIDE,
    code_column,
    name_column,
)

FINDINGS = SheetColumns(
    name="Findings",
    help="What may be found on a machine.",
    needed=True,
    columns=(
        code_column("A short code, such as BUSHING-WORN."),
        name_column("Finding", "The finding in words."),
        MACHINE,
        Column(header="Severity", kind="word", required=True, words=SEVERITY_WORDS, help="How much it matters."),
        Column(header="Measure", help="What to measure, and where."),
        Column(header="Unit", help="Unit of the limit: in, mm, psi."),
        Column(header="Fails when", kind="word", words=FAILS_WHEN_WORDS, help="Bad above or below the limit."),
        Column(header="Limit", kind="number", help="On the limit still passes."),
        Column(header="As new", kind="number", help="What a new one measures."),
        Column(header="Limit source", help="Where the limit comes from."),
        CUSTOMER_WORDING,
        Column(header="If left", help="What it may lead to."),
        Column(header="Also check", kind="codes", refers_to=("Findings",), help="Findings to look at next."),
    ),
)
REMEDIES = SheetColumns(
    name="Remedies",
    help="Ways to put findings right.",
    needed=True,
    columns=(
        code_column("A short code, such as BUSHING-NEW."),
        name_column("Remedy", "The remedy in words."),
        Column(header="Kind", kind="word", required=True, words=KIND_WORDS, help="Repair, replace or upgrade."),
        Column(header="Fixes", kind="codes", required=True, refers_to=("Findings",), help="Findings it puts right."),
        OPERATION_CODES,
        PARTS_PER_SIDE,
        Column(header="Needs fixed", kind="codes", refers_to=("Findings",), help="Findings to put right with it."),
        LIFE_YEARS,
        Column(header="Warranty days", kind="whole", help="Days of warranty on it."),
        CUSTOMER_WORDING,
        Column(header="Leaves", help="What it does not put right."),
    ),
)
FITS_ONLY_IF = SheetColumns(
    name="Fits only if",
    help="A remedy that fits only within measured limits.",
    columns=(
        Column(header="Remedy", kind="code", required=True, refers_to=("Remedies",), help="The remedy's code."),
        Column(header="Finding", kind="code", required=True, refers_to=("Findings",), help="The finding measured."),
        Column(header="From", field="from_", kind="number", help="Lowest value that fits; blank is open."),
        Column(header="To", kind="number", help="Highest value that fits; blank is open."),
    ),
)
EXTRAS = SheetColumns(
    name="Extras",
    help="Work to offer while it is open, or because the customer asks.",
    columns=(
        code_column("A short code, such as BELT-NEW."),
        name_column("Extra", "The extra in words."),
        MACHINE,
        OPERATION_CODES,
        PARTS_PER_SIDE,
        LIFE_YEARS,
        CUSTOMER_WORDING,
    ),
)
BUNDLES = SheetColumns(
    name="Bundles",
    help="Savings when all members are done together.",
    columns=(
        code_column("A short code."),
        name_column("Bundle", "The saving in words."),
        Column(
            header="Members", kind="codes", required=True, refers_to=("Remedies", "Extras"), help="Remedies and extras."
        ),
        Column(header="Saving", kind="word", required=True, words=SAVING_WORDS, help="What is taken off."),
        Column(header="Value", kind="saving", required=True, help="Hours, an amount, or a percent such as 10%."),
        Column(header="From", field="from_", kind="date", help="First day."),
        Column(header="To", kind="date", help="Last day."),
    ),
)
FEES = SheetColumns(
    name="Fees",
    help="Charges such as pick-up or disposal.",
    columns=(
        code_column("A short code, such as PICKUP."),
        name_column("Fee", "The fee in words."),
        Column(header="Amount", kind="money", required=True, help="Per unit, before tax."),
        Column(header="Unit", help="What is counted: mile, tire; blank is once."),
        Column(
            header="Applies to",
            kind="codes",
            refers_to=("Operations",),
            help="Operation codes, or always; blank is only when the job names it.",
        ),
        CUSTOMER_WORDING,
        Column(header="Required wording", help="Words the law wants on the quote."),
    ),
)
TAXES = SheetColumns(
    name="Taxes",
    help="No row, no tax. Prices in this book are before tax.",
    columns=(
        name_column("Tax", "Name of the tax as printed."),
        Column(header="Rate", kind="percent", required=True, help="Its rate: 7.25%"),
        Column(
            header="Charge",
            field="charges",
            kind="codes",
            required=True,
            words=CHARGE_WORDS,
            help="What it is on: charge words, fee codes or Taxed as words, separated by semicolons.",
        ),
        MACHINE,
        Column(header="Customer class", help="Only for this class of customer; blank is all."),
        Column(header="In force from", kind="date", help="First day."),
        Column(header="In force to", kind="date", help="Last day."),
    ),
)
TIERS = SheetColumns(
    name="Tiers",
    help="The options offered, from least to most.",
    columns=(
        code_column("A short code, such as good."),
        name_column("Tier", "What the option is called."),
        Column(header="Covers", kind="words", required=True, words=SEVERITY_WORDS, help="Severities it puts right."),
        Column(header="Aim", kind="word", required=True, words=AIM_WORDS, help="What it looks for."),
    ),
)
CAUTIONS = SheetColumns(
    name="Cautions",
    help="Lines printed on work sheets.",
    columns=(
        code_column("A short code."),
        name_column("Caution", "The caution in words."),
        Column(header="Source", field="caution_source", help="Where it comes from."),
        Column(header="For customer", kind="yes/no", help="Yes to print it for the customer too; blank is No."),
    ),
)
