"""The forms of money and of the season, and of the ledger: a part of the table."""

from __future__ import annotations

from .form_fields import (
    CHOICE,
    DATE,
    FILE,
    FOLDER,
    MONEY,
    NEW_FILE,
    NUMBER,
    PICK,
    SEVERAL,
    TEXT,
    YES,
    YES_NO,
    Choice,
    Field,
    Form,
)
from .form_table_prices import BECAUSE, CHANGE
from .form_usual import HISTORY, JOB, ON, recorded

BILLS, SEASON = "~Money", "The ~season"

MONEY_FORMS = (
    Form(
        "bill",
        "~Bill ...",
        "What was agreed and done, less what was paid. Run again with nothing new it writes the same bill again.",
        ("bill",),
        (
            JOB("jobs:bill"),
            Field(
                "core-back", "Old parts handed back since", SEVERAL, ("--core-back={}",), lists="cores of job",
                hint="with a core charge",
            ),
            Field("taxes", "Taxes by the shop book as it is now", YES_NO, ("--taxes={book}",)),
            *recorded(ON),
        ),
        button="Bill it",
        over=True,
        group=BILLS,
    ),
    Form(
        "pay",
        "Money ~taken or given back ...",
        "What the customer paid, or got back.",
        ("pay",),
        (
            JOB("jobs:due"),
            Field("amount", "Amount", MONEY, ("{}",), needed=True, default="{job.due}"),
            Field(
                "purpose",
                "What for",
                CHOICE,
                ("--for={}",),
                choices=(
                    Choice("", "What is owed"),
                    Choice("deposit", "Deposit"),
                    Choice("part-payment", "Part payment"),
                    Choice("bill", "The bill"),
                    Choice("refund", "Given back"),
                ),
            ),
            Field(
                "how",
                "How",
                PICK,
                ("--how={}",),
                choices=(Choice("cash", "cash"), Choice("card", "card"), Choice("check", "check"),
                         Choice("transfer", "transfer")),
            ),
            Field("rounded", "Cash rounded to the coin", MONEY, ("--rounded-to={}",), hint="as 0.05; blank: not"),
            *recorded(ON),
        ),
        group=BILLS,
        look=HISTORY,
    ),
)  # fmt: skip

SEASON_FORMS = (
    Form(
        "review",
        "~Review ...",
        "What the jobs of some days taught: profit, times, quotes won and lost, and times worth changing.",
        ("review",),
        (
            Field("from", "From", DATE, ("--from={}",), hint="blank: a year"),
            Field("to", "To", DATE, ("--to={}",), default="today"),
            Field("as-now", "By the shop book as it is now", YES_NO, ("--book={book}",), default=YES),
        ),
        button="Review",
        over=True,
        group=SEASON,
    ),
    Form(
        "take-over",
        "~Take over the times you ticked ...",
        "The proposed times that you ticked, into a new shop book beside yours or into yours itself.",
        ("take-over",),
        (
            Field("proposals", "Proposed times", FILE, ("{}", "{book}"), needed=True, lists="files:proposed times"),
            Field(
                "where",
                "Into",
                CHOICE,
                ("{}",),
                default="",
                choices=(
                    Choice("", "A new shop book beside yours, which stays"),
                    Choice("--in-place", "Your shop book itself; a dated copy is kept"),
                ),
            ),
            *recorded(ON),
        ),
        button="Take over",
        over=True,
        here=("--in-place",),
        group=SEASON,
    ),
    Form(
        "take-over-undo",
        "~Undo times taken over ...",
        "Takes back the times that were last taken over into your shop book itself.",
        ("take-over", "--undo", "{book}"),
        (CHANGE, BECAUSE, *recorded(ON)),
        button="Undo",
        here=("--undo",),
        group=SEASON,
    ),
    Form(
        "batch",
        "All ~jobs of a folder at once ...",
        "Prices every job of a folder as it was saved: which open quotes would lose money today, and every job.",
        ("batch", "{book}"),
        (
            Field("folder", "Folder of jobs", FOLDER, ("{}",), needed=True, default="{folder}"),
            Field("before", "Results of an earlier run", FILE, ("--before={}",), hint="blank: by the ledger"),
        ),
        button="Price them",
        opens=True,
        group=SEASON,
    ),
    Form(
        "rate",
        "What an ~hour must sell for ...",
        "From the costs and hours on the sheet Rate builder of the shop book.",
        ("rate", "{book}"),
        (
            Field("sold", "Other numbers of sold hours", TEXT, ("--sold-hours={}",), hint="as 1400; 1600"),
            Field("on", "Rates of the day", DATE, ("--on={}",), default="today"),
        ),
        button="Work it out",
        over=True,
        group=SEASON,
    ),
    Form(
        "compare",
        "~Compare two shop books ...",
        "What changed between them, and what it does to the price of a job. Nothing is written.",
        ("compare",),
        (
            Field("old", "As it was", FILE, ("{}",), needed=True, lists="files:shop book"),
            Field("new", "As it is", FILE, ("{}",), needed=True, lists="files:shop book", default="{book}"),
            Field("workbook", "Price this job on both", FILE, ("--job={}",), lists="files:job", hint="blank: none"),
        ),
        button="Compare",
        group=SEASON,
    ),
    Form(
        "life",
        "How ~long a part lasts ...",
        "A life in years from a formula, for the column Life years. Nothing is read or written.",
        ("life",),
        (
            Field(
                "kind",
                "Formula",
                CHOICE,
                ("{}",),
                default="bearing",
                choices=(Choice("bearing", "A bearing, from its rating"), Choice("replace", "Replacing in time")),
            ),
            *(
                Field(name, label, NUMBER, (f"--{name}={{}}",), needed=True, when=("kind", kind), hint=hint)
                for name, label, kind, hint in (
                    ("rating", "Load rating", "bearing", "from the maker's list"),
                    ("load", "Load on it", "bearing", "in the unit of the rating"),
                    ("speed", "Turns a minute", "bearing", ""),
                    ("hours-a-year", "Hours a year", "bearing", ""),
                    ("planned-cost", "Cost when planned", "replace", ""),
                    ("failure-cost", "Cost of a failure", "replace", "with what it breaks"),
                    ("scale", "Years", "replace", "by which 63 in 100 failed"),
                    ("shape", "Weibull shape", "replace", "above 1 for wear"),
                )
            ),
            Field("roller", "A roller bearing", YES_NO, ("--roller",), when=("kind", "bearing")),
        ),
        button="Work it out",
        wants="nothing",
        group=SEASON,
    ),
    Form(
        "ledger-check",
        "Chec~k the ledger ...",
        "Whether everything is as it was written.",
        ("ledger", "check"),
        (
            Field("against", "It goes on from the backup", FILE, ("--against={}",), hint="blank: not compared"),
            Field("last", "Last entry noted before", TEXT, ("--last={}",), hint="as an earlier check told it"),
        ),
        button="Check it",
        group=SEASON,
        rule=True,
    ),
    Form(
        "ledger-backup",
        "~Back the ledger up ...",
        "A copy, while others work on. Then keep it on another disk as well.",
        ("ledger", "backup"),
        (Field("file", "New file", NEW_FILE, ("{}",), needed=True, default="{folder}/backup {today}.db"),),
        button="Copy it",
        group=SEASON,
    ),
    Form(
        "ledger-export",
        "~Everything as plain files ...",
        "All that the ledger keeps, as JSON, CSV and files, in a new folder.",
        ("ledger", "export"),
        (Field("folder", "New folder", FOLDER, ("{}",), needed=True, default="{folder}/everything {today}"),),
        button="Write it",
        group=SEASON,
    ),
)
