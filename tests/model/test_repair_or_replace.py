"""A value of the comparison by its name: a blank one is unknown, zero is known."""

from __future__ import annotations

from decimal import Decimal as D

from quotekit.model.repair_or_replace import AS_IT_STANDS, COMPARED, NEW_PRICE, RepairOrReplace, WorthInput
from quotekit.problems import Place

PLACE = Place("job.xlsx", "Job", "B9")


def test_an_input_by_its_name() -> None:
    """Zero is a value: a machine may be worth nothing as it stands."""
    inputs = (
        WorthInput(name=NEW_PRICE, value=D(900), place=PLACE),
        WorthInput(name=AS_IT_STANDS, value=D(0), place=PLACE),
        WorthInput(name=COMPARED, value=None, place=PLACE),
    )
    found = RepairOrReplace(inputs=inputs, repair=D(180), left_out=D(0))
    assert [found.value(name) for name in (NEW_PRICE, AS_IT_STANDS, COMPARED)] == [900, 0, None]
