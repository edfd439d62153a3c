"""The forms of suppliers' prices, from a list to the shop book: a part of the table."""

from __future__ import annotations

from .form_fields import DATE, FILE, FOLDER, NUMBER, TEXT, Field, Form
from .form_usual import ON, PARTS, recorded

BECAUSE = Field("because", "Because", TEXT, ("--because={}",))

CHANGE = Field("change", "Number of the change", NUMBER, ("--change={}",), hint="blank: the last that stands")
"""Which change of the shop book itself is taken back."""

PRICE_FORMS = (
    Form(
        "price-list",
        "What a price list sa~ys ...",
        "Which rows of a supplier's list count, and what becomes of all the others. Nothing is changed.",
        ("prices", "read", "--book={book}"),
        (
            Field("list", "Price list", FILE, ("{}",), needed=True),
            Field("supplier", "Supplier", TEXT, ("--supplier={}",), hint="blank: by the file's name"),
            Field("member", "Which file of a zip", TEXT, ("--member={}",)),
            Field("find", "Numbers to look up", TEXT, ("--find={}",), hint="as AB-100; AB-200"),
            Field("on", "Prices of the day", DATE, ("--on={}",), default="today"),
        ),
        button="Read it",
        group=PARTS,
        rule=True,
    ),
    Form(
        "price-list-map",
        "How a price list is ~read ...",
        "Guesses which column is which, and writes it as a small text file beside the shop book.",
        ("prices", "map", "--book={book}"),
        (
            Field("list", "Price list", FILE, ("{}",), needed=True),
            Field("supplier", "Supplier", TEXT, ("--supplier={}",), hint="blank: by the file's name"),
            Field("member", "Which file of a zip", TEXT, ("--member={}",)),
        ),
        button="Guess",
        over=True,
        group=PARTS,
    ),
    Form(
        "prices-propose",
        "What ne~w prices would do ...",
        "Holds price lists against the shop book; what differs goes into a workbook to tick. Nothing else changes.",
        ("prices", "propose", "{book}"),
        (
            Field("list", "Price list", FILE, ("--list={}",), hint="blank: each supplier's newest"),
            Field("supplier", "Supplier", TEXT, ("--supplier={}",), hint="blank: by the file's name"),
            Field("jobs", "Jobs not issued yet", FOLDER, ("--jobs={}",), hint="blank: left out"),
            Field("limit", "Second tick beyond", NUMBER, ("--limit={}",), hint="in percent; blank: 20"),
            Field("on", "Prices of the day", DATE, ("--on={}",), default="today"),
        ),
        button="Propose",
        over=True,
        loses="What was ticked in it is lost.",
        opens=True,
        group=PARTS,
    ),
    Form(
        "prices-apply",
        "~Take over the prices you ticked ...",
        "The ticked prices into your shop book itself, all or none. A dated copy of it as it was is kept beside it.",
        ("prices", "apply", "{book}"),
        (
            Field("proposals", "Price proposals", FILE, ("{}",), needed=True, lists="files:price proposals"),
            BECAUSE,
            *recorded(ON),
        ),
        button="Take over",
        here=("apply",),
        group=PARTS,
    ),
    Form(
        "prices-undo",
        "~Undo new prices ...",
        "Takes back what was last taken over. The shop book becomes the old one, or its changed cells are put back.",
        ("prices", "undo", "{book}"),
        (CHANGE, BECAUSE, *recorded(ON)),
        button="Undo",
        here=("undo",),
        group=PARTS,
    ),
)
