"""A machine fetched from the customer, with an inspection that is credited from 100.00 of work.

Shop: 80.00 an hour, inspection 40.00. Every job ends with a test run of 0.2 h. Pick-up 1.50 a mile; oil disposal 2.00.

Labour   carburettor 0.5, oil 0.3, test run 0.2 = 1.0 x 80.00      =  80.00
Fees     disposal, once, and pick-up 12 x 1.50 = 18.00             =  20.00
Work                                                               = 100.00
         inspection 40.00, credited as 100.00 is reached           =   0.00
To pay                                                             = 100.00

At eleven miles the work is 98.50: no credit, and 138.50 to pay. That is the shop's rule, in so many words.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier, texts
from tests.scenarios.bill import bill


def quoted(fees: str) -> PricedTier:
    """The only option, with the job's own fees."""
    book = build.a_book(
        settings=build.settings(inspection_fee=40, inspection_fee_credited=Decimal(100)),
        labour_rates=[build.a_rate("MAIN", 80)],
        machines=[build.a_machine(always=["TEST-RUN"])],
        operations=[
            build.an_operation("CLEAN", "0.5"),
            build.an_operation("OIL", "0.3"),
            build.an_operation("TEST-RUN", "0.2"),
        ],
        findings=[build.a_finding("SURGES"), build.a_finding("BLACK-OIL")],
        remedies=[
            build.a_remedy("CLEAN-CARBURETTOR", ["SURGES"], ["CLEAN"], kind="repair"),
            build.a_remedy("NEW-OIL", ["BLACK-OIL"], ["OIL"]),
        ],
        fees=[build.a_fee("DISPOSAL", 2, applies_to=["OIL"]), build.a_fee("PICKUP", "1.50", unit="mile")],
    )
    return first_tier(book, build.a_finding_on("SURGES"), build.a_finding_on("BLACK-OIL"), fees=fees)


def test_the_bill() -> None:
    """As added up above."""
    tier = quoted("PICKUP x 12")
    assert bill(tier) == {
        "labour": "80.00",
        "fees": "20.00",
        "inspection": "40.00",
        "inspection_credit": "-40.00",
        "subtotal": "100.00",
        "total": "100.00",
    }
    assert [(line.key, str(line.amount)) for line in tier.fee_lines] == [("DISPOSAL", "2.00"), ("PICKUP", "18.00")]


@pytest.mark.parametrize(
    ("fees", "to_pay"),
    [
        ("PICKUP x 12", "100.00"),  # on the limit: credited
        ("PICKUP x 11", "138.50"),  # 98.50 + 40.00
        ("", "122.00"),  # 82.00 + 40.00
        ("DISPOSAL x 0; PICKUP x 12", "138.00"),  # disposal waived: 98.00 + 40.00
        ("DISPOSAL x 2; PICKUP x 12", "102.00"),  # two cans: 102.00, credited
    ],
)
def test_the_credit_turns_on_the_work(fees: str, to_pay: str) -> None:
    """The job's own quantity of a fee stands in place of the fee's own trigger."""
    assert str(quoted(fees).total) == to_pay


def test_both_repairs_share_the_test_run() -> None:
    """Half of 0.2 h each: 0.6 h and 0.4 h, 48.00 and 32.00."""
    first, second = quoted("").shares
    assert [first.item, *texts(first.hours, first.labour)] == ["CLEAN-CARBURETTOR", "0.6000", "48.00"]
    assert [second.item, *texts(second.hours, second.labour)] == ["NEW-OIL", "0.4000", "32.00"]
