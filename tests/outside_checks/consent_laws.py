"""How far repair laws let a bill pass what was agreed, as dated rows: what an owner would set, and amounts on the edge.

READ: the text was seen in a stored copy in November 2026; READ-2: told by a source that was read; unverified: seen, and
thresholds must be checked before use. `read` is the month of reading: laws change, and none is a constant of quotekit.
`row` are the settings that say it. Amounts are worked out from the rule.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from quotekit.model.agreed import ConsentRule

READ_IN = "2026-11"


class Row(NamedTuple):
    """Settings of the Shop sheet; `at_most` None for no ceiling."""

    percent: str
    amount: str
    over: str
    compares: str
    at_most: str | None = None

    @property
    def rule(self) -> ConsentRule:
        """The settings as a rule."""
        return ConsentRule(
            over_percent=Decimal(self.percent),
            over_amount=Decimal(self.amount),
            over=self.over,  # type: ignore[arg-type]
            compares=self.compares,  # type: ignore[arg-type]
            at_most=None if self.at_most is None else Decimal(self.at_most),
        )


class Law(NamedTuple):
    """A law: where it stands, how it was read, the settings, and `(agreed, most that needs no consent)`."""

    name: str
    source: str
    flag: str
    row: Row
    edges: tuple[tuple[str, str], ...]
    read: str = READ_IN


LAWS = (
    Law(
        "Minnesota, devices for household use",
        "Minn. Stat. 325F.56-.66: at most 110 % of the estimate unless extra work is agreed",
        "READ",
        Row("0.10", "0", "the greater", "with tax"),
        (("150.00", "165.00"), ("123.45", "135.79"), ("7000.00", "7700.00")),
    ),
    Law(
        "Ohio, services",
        "Ohio Adm. Code 109:4-3-05: an excess over the greater of $5 or 10 % needs approval",
        "READ",
        Row("0.10", "5", "the greater", "with tax"),
        (("30.00", "35.00"), ("50.00", "55.00"), ("50.10", "55.11"), ("400.00", "440.00")),
    ),
    Law(
        "Ohio, motor vehicles",
        "Ohio Adm. Code 109:4-3-13: an excess over 10 % needs approval",
        "READ",
        Row("0.10", "0", "the greater", "with tax"),
        (("60.00", "66.00"), ("400.00", "440.00")),
    ),
    Law(
        "California, appliances",
        "16 CCR 2722: no excess without consent; tax is outside the estimate",
        "READ",
        Row("0", "0", "the lesser", "before tax"),
        (("100.00", "100.00"), ("0.00", "0.00")),
    ),
    Law(
        "California, vehicles",
        "B&P 9884.9; 16 CCR 3353-3357: extra work is authorised with its price and the revised total",
        "READ; statute READ-2",
        Row("0", "0", "the lesser", "with tax"),
        (("640.00", "640.00"),),
    ),
    Law(
        "Florida, vehicles",
        "Fla. Stat. 559.905, .909: notify over the greater of $10 or 10 %, at most $50",
        "READ",
        Row("0.10", "10", "the greater", "with tax", "50"),
        (("80.00", "90.00"), ("100.00", "110.00"), ("499.99", "549.98"), ("500.00", "550.00"), ("900.00", "950.00")),
    ),
    Law(
        "Michigan, vehicles, the stricter of two readings",
        "MCL 257.1307e: no excess without consent; threshold seen as the lesser of $10 or 10 %",
        "unverified",
        Row("0.10", "10", "the lesser", "with tax"),
        (("80.00", "88.00"), ("100.00", "110.00"), ("300.00", "310.00")),
    ),
    Law(
        "Michigan, vehicles, the other reading",
        "MCL 257.1307e: threshold seen as the lesser of 10 % or $50",
        "unverified",
        Row("0.10", "50", "the lesser", "with tax"),
        (("80.00", "88.00"), ("500.00", "550.00"), ("800.00", "850.00")),
    ),
    Law(
        "Washington, vehicles",
        "RCW 46.71: 10 % on the total before tax",
        "READ-2",
        Row("0.10", "0", "the greater", "before tax"),
        (("200.00", "220.00"), ("333.33", "366.66")),
    ),
    Law(
        "Massachusetts, vehicles",
        "940 CMR 5.05: more than $10 over needs consent",
        "READ-2",
        Row("0", "10", "the greater", "with tax"),
        (("40.00", "50.00"), ("2000.00", "2010.00")),
    ),
    Law(
        "Wisconsin, a firm price",
        "ATCP 132: a firm price is not passed without fresh consent",
        "READ",
        Row("0", "0", "the lesser", "with tax"),
        (("250.00", "250.00"),),
    ),
    Law(
        "European Union, the repair form with a maximum price",
        "Directive (EU) 2024/1799: the form states a price or a maximum",
        "form READ; rest from memory",
        Row("0", "0", "the lesser", "with tax"),
        (("89.00", "89.00"),),
    ),
)
