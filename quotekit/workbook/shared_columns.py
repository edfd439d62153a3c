"""Columns that stand on several sheets of the shop book."""

from __future__ import annotations

from quotekit.workbook.column import Column


def code_column(help_line: str) -> Column:
    """The first column of most sheets."""
    return Column(header="Code", kind="code", required=True, help=help_line)


def name_column(header: str, help_line: str) -> Column:
    """A required text."""
    return Column(header=header, required=True, help=help_line)


LABOUR = Column(
    header="Labour", kind="code", refers_to=("Labour rates",), help="Labour rate code; blank takes the first rate."
)
CAUTION_CODES = Column(
    header="Cautions", kind="codes", refers_to=("Cautions",), help="Caution codes, separated by semicolons."
)
PARTS_PER_SIDE = Column(
    header="Parts",
    kind="quantities",
    refers_to=("Parts",),
    help="Parts used, per side where there are sides: SEAL-19 x 2; GASKET",
)
CUSTOMER_WORDING = Column(header="Customer wording", help="What the customer reads; blank takes the name.")
LIFE_YEARS = Column(header="Life years", kind="life", help="How long it should last, in years; an estimate.")
OPERATION_CODES = Column(
    header="Operations",
    kind="codes",
    required=True,
    refers_to=("Operations",),
    help="The operations it takes, separated by semicolons.",
    if_blank="Name its operations; where it is parts alone, an operation of 0 net hours.",
)
MACHINE = Column(
    header="Machine", field="machines", kind="codes", refers_to=("Machines",), help="Machine class codes; blank is all."
)
