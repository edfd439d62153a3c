"""The forms of parts: a part of the table."""

from __future__ import annotations

from .form_fields import ANY, CHOICE, DATE, MONEY, NUMBER, PICK, SEVERAL, TEXT, YES, YES_NO, Choice, Field, Form
from .form_table_prices import PRICE_FORMS
from .form_usual import ON, PARTS, recorded

_ORDER = Field("order", "Order", CHOICE, ("{}",), needed=True, lists="orders")
_BECAUSE = Field("because", "Because", TEXT, ("--because={}",))

PARTS_FORMS = (
    Form(
        "order",
        "~Order parts ...",
        "The parts that accepted jobs need: from the shelf first, then where all together lands for least.",
        ("order",),
        (
            Field("jobs", "Jobs", SEVERAL, ("{}",), lists="jobs:agreed", hint="none: all that need parts"),
            Field("today", "At the prices of the shop book as it is now", YES_NO, ("--book={book}",)),
            Field("needed-by", "Needed by", DATE, ("--needed-by={}",), hint="blank: as promised"),
            Field("only-show", "Only show it: record and write nothing", YES_NO, ("--only-show",)),
            *recorded(ON),
        ),
        button="Order",
        group=PARTS,
    ),
    Form(
        "receive",
        "What came ~in ...",
        "What came in of an order, what the supplier put off, what goes back. One part at a time, or all.",
        ("receive",),
        (
            _ORDER,
            Field("all", "All that is open came in, but for the part below", YES_NO, ("--all",), default=YES),
            Field(
                "part", "A part", CHOICE, ("{what}={}", "--supplier={part.supplier}"), lists="lines of order",
                hint="blank: none",
            ),
            Field(
                "what",
                "What of it",
                CHOICE,
                default="--part",
                when=("part", ANY),
                choices=(
                    Choice("--part", "It came in"),
                    Choice("--back-ordered", "It was put off"),
                    Choice("--returned", "It goes back"),
                ),
            ),
            Field("packs", "Packs of it", NUMBER, ("--packs={}",), hint="blank: all", when=("part", ANY)),
            Field(
                "cost", "Charged for a pack", MONEY, ("--cost={}",), hint="blank: as ordered", when=("what", "--part")
            ),
            Field("expected", "Will come on", DATE, ("--expected={}",), when=("what", "--back-ordered")),
            Field("because", "Because", TEXT, ("--because={}",), hint="why it goes back"),
            *recorded(ON),
        ),
        group=PARTS,
        look="What came in",
    ),
    Form(
        "cancel-order",
        "What will ~not come ...",
        "What jobs still need of it is bought by the next order.",
        ("cancel-order",),
        (
            _ORDER,
            Field(
                "part", "A part", CHOICE, ("--part={}", "--supplier={part.supplier}"), lists="lines of order",
                hint="blank: all that is open",
            ),
            Field("packs", "Packs of it", NUMBER, ("--packs={}",), hint="blank: all", when=("part", ANY)),
            Field(
                "by",
                "Called off by",
                CHOICE,
                ("--by={}",),
                default="supplier",
                choices=(Choice("supplier", "The supplier"), Choice("shop", "The shop")),
            ),
            _BECAUSE._replace(needed=True),
            *recorded(ON),
        ),
        group=PARTS,
        look="What came in",
    ),
    Form(
        "shelf",
        "~Shelf ...",
        "What is on the shelf; units put there, taken, or counted.",
        ("shelf",),
        (
            Field(
                "do",
                "What",
                CHOICE,
                default="",
                choices=(
                    Choice("", "Only look"),
                    Choice("--put", "Put there"),
                    Choice("--take", "Take"),
                    Choice("--count", "Was counted"),
                ),
            ),
            Field(
                "part", "Part", PICK, ("{do}", "{}", "{quantity}"), needed=True, lists="shelf",
                when=("do", "--put", "--take", "--count"),
            ),
            Field("quantity", "How many", NUMBER, needed=True, when=("do", "--put", "--take", "--count")),
            Field("cost", "What one cost", MONEY, ("--cost={}",), when=("do", "--put")),
            Field(
                "job", "From or for job", CHOICE, ("--job={}",), lists="jobs:agreed", hint="blank: for none",
                when=("do", "--put", "--take"),
            ),
            *recorded(ON),
        ),
        button="Do it",
        group=PARTS,
        look="Shelf",
    ),
    *PRICE_FORMS,
)  # fmt: skip
