"""The forms, in the order of the menu: each a command of the day. A new one is a few lines here.

A form names the words of its command; `--help` of the command tells what each of them does.
"""

from __future__ import annotations

from typing import Dict

from .form_fields import CHOICE, DATE, FILE, FOLDER, PICK, SEVERAL, TEXT, TIME, YES_NO, Choice, Field, Form
from .form_table_money import MONEY_FORMS, SEASON_FORMS
from .form_table_parts import PARTS_FORMS
from .form_usual import BY, HISTORY, JOB, ON, recorded

NEW, AFTER, WORK = "~New", "~After the quote", "~Work"

NEW_FORMS = (
    Form(
        "new-shop",
        "A ~shop folder ...",
        "A folder of its own with a shop book and a blank job to fill in. Nothing that is there is written over.",
        ("new",),
        (
            Field("folder", "Folder", FOLDER, ("{}",), needed=True, hint="it is made if it is not there"),
            Field("demo", "With the worked example: a filled shop book and six jobs", YES_NO, ("--demo",)),
        ),
        button="Make it",
        wants="nothing",
        group=NEW,
    ),
    Form(
        "new-job",
        "The ~next job ...",
        "A blank job workbook whose lists are taken from your shop book.",
        ("new", "--book={book}"),
        (Field("folder", "Folder", FOLDER, ("{}",), needed=True, default="{folder}"),),
        button="Make it",
        group=NEW,
    ),
)

QUOTE_FORMS = (
    Form(
        "issue",
        "~Issue the quote ...",
        "The quote as a numbered version, frozen with all it was made from. It is what the customer is sent.",
        ("issue", "{book}"),
        (
            Field("workbook", "Job workbook", FILE, ("{}",), needed=True, lists="files:job"),
            Field("pdf", "Also as a PDF", YES_NO, ("--pdf",)),
            Field("page", "Also as a page for a phone", YES_NO, ("--page",)),
            *recorded(ON),
        ),
        button="Issue it",
        over=True,
        group=AFTER,
        look=HISTORY,
    ),
    Form(
        "accept",
        "The customer's yes, from what was sent ~back ...",
        "The choice in the quote or the reply that came back, held against what was issued.",
        ("accept",),
        (
            Field("returned", "Quote or reply", FILE, ("{}",), needed=True, lists="files:quote"),
            Field("who", "Who says so", PICK, ("--who={}",), hint="blank: the customer"),
            Field("phone", "Telephone", TEXT, ("--phone={}",)),
            Field("note", "What else was said", TEXT, ("--note={}",)),
            Field("hold", "Held though expired, because", TEXT, ("--hold-expired={}",)),
            *recorded(ON),
        ),
        group=AFTER,
    ),
    Form(
        "accept-told",
        "The customer's yes, by ~telephone or in person ...",
        "What was said, by whom and when: without these a spoken yes is not recorded.",
        ("accept",),
        (
            Field("job", "Job", CHOICE, ("--job={}",), needed=True, lists="jobs:waits"),
            Field("tier", "Option", CHOICE, ("--tier={}",), needed=True, lists="options of job"),
            Field("extra", "Extras taken", SEVERAL, ("--extra={}",), lists="extras of tier"),
            Field("by", "How it was said", CHOICE, ("--by={}",), needed=True, default="phone", choices=BY),
            Field("who", "Who said it", TEXT, ("--who={}",), needed=True, default="{job.customer}"),
            Field("phone", "Telephone", TEXT, ("--phone={}",), needed=True, default="{job.phone}"),
            Field("note", "What was said", TEXT, ("--note={}",), needed=True, hint="in your own words"),
            Field("on", "Day", DATE, ("--on={}",), needed=True, default="today"),
            Field("at", "Time", TIME, ("--at={}",), needed=True, default="now"),
            Field("hold", "Held though expired, because", TEXT, ("--hold-expired={}",)),
            *recorded(),
        ),
        group=AFTER,
    ),
    Form(
        "decline",
        "The customer's ~no ...",
        "A no to the quote; or to what waits, a change or a newer quote: then what was agreed before holds.",
        ("decline",),
        (
            Field("job", "Job", CHOICE, ("{}",), needed=True, lists="jobs:waits"),
            Field(
                "reason",
                "Why",
                CHOICE,
                ("--reason={}",),
                needed=True,
                choices=(
                    Choice("price", "Price"),
                    Choice("time", "Time"),
                    Choice("not-worth-it", "Not worth it"),
                    Choice("went-elsewhere", "Went elsewhere"),
                    Choice("no-answer", "No answer"),
                    Choice("other", "Other, as noted"),
                ),
            ),
            Field("who", "Who said so", TEXT, ("--who={}",), hint="blank: the customer"),
            Field("note", "What was said", TEXT, ("--note={}",), hint="needed with Other"),
            Field("all", "To all the work, not to a change alone", YES_NO, ("--all",)),
            *recorded(ON),
        ),
        group=AFTER,
    ),
    Form(
        "revise",
        "More was ~found: a change ...",
        "The changed job against what the customer agreed to: what is new, and whether to ask.",
        ("revise", "{book}"),
        (
            Field("workbook", "Changed job workbook", FILE, ("{}",), needed=True, lists="files:job"),
            Field("extra", "An extra taken besides", TEXT, ("--extra={}",), hint="its code"),
            *recorded(ON),
        ),
        button="Hold it against what was agreed",
        group=AFTER,
    ),
    Form("jobs", "Where each job ~stands", "", ("jobs",), group=AFTER, rule=True),
    Form(
        "history",
        "What ~happened to a job ...",
        "All that is recorded of a job, by day.",
        ("jobs",),
        (Field("job", "Job", CHOICE, ("{}",), needed=True, lists="jobs"),),
        button="Show it",
        group=AFTER,
    ),
)

WORK_FORMS = (
    Form(
        "work-order",
        "~Work order ...",
        "The agreed work for the bench: steps in order, cautions, parts, cells to fill in.",
        ("work-order",),
        (
            JOB("jobs:agreed"),
            Field("on", "Day on the sheet", DATE, ("--on={}",), default="today"),
        ),
        button="Write it",
        over=True,
        group=WORK,
    ),
    Form(
        "clock",
        "~Hours ...",
        "Hours of a person on a job, or on one line of its work order; typed, or by start and stop.",
        ("clock",),
        (
            JOB("jobs:agreed"),
            Field(
                "what",
                "What",
                CHOICE,
                ("{}",),
                default="",
                choices=(
                    Choice("", "Hours that were worked"),
                    Choice("--start", "Work begins"),
                    Choice("--stop", "Work ends"),
                ),
            ),
            Field(
                "hours",
                "Hours",
                "number",
                ("--hours={}",),
                needed=True,
                hint="below zero takes back",
                when=("what", ""),
            ),
            Field("at", "Time", TIME, ("--at={}",), hint="blank: now", when=("what", "--start", "--stop")),
            Field("work", "Line of work", CHOICE, ("--work={}",), lists="work of job", hint="blank: the whole job"),
            Field("person", "Whose", PICK, ("--person={}",), lists="people", hint="blank: who records it"),
            Field("note", "Note", TEXT, ("--note={}",)),
            *recorded(ON),
        ),
        group=WORK,
        look=HISTORY,
    ),
    Form(
        "close",
        "~Close the job ...",
        "What the work took, from the filled work order and the clock. Without a work order: as clocked and as agreed.",
        ("close",),
        (
            JOB("jobs:agreed"),
            Field("from", "Filled work order", FILE, ("--from={}",), lists="files:work order"),
            Field("sheet-alone", "The work order alone counts, not the clock", YES_NO, ("--sheet-alone",)),
            *recorded(ON),
        ),
        button="Close it",
        group=WORK,
    ),
    Form(
        "comeback",
        "A job that comes ~back ...",
        "The new job is billed at nothing, or at the share you say; its cost is charged to the first one.",
        ("comeback",),
        (
            Field("job", "The new job", CHOICE, ("{}",), needed=True, lists="jobs:agreed"),
            Field("of", "Comes back to", CHOICE, ("--of={}",), needed=True, lists="jobs"),
            Field(
                "cause",
                "Why",
                CHOICE,
                ("--cause={}",),
                needed=True,
                choices=(
                    Choice("workmanship", "Workmanship"),
                    Choice("part", "A part"),
                    Choice("training", "Training"),
                    Choice("other", "Other"),
                ),
            ),
            Field("charged", "Share the customer pays", TEXT, ("--charged={}",), hint="as 50%; blank: nothing"),
            Field("note", "What happened", TEXT, ("--note={}",)),
            *recorded(ON),
        ),
        group=WORK,
    ),
)

FORMS = (*NEW_FORMS, *QUOTE_FORMS, *WORK_FORMS, *PARTS_FORMS, *MONEY_FORMS, *SEASON_FORMS)

NOT_A_FORM: Dict[str, str] = {
    "demo": "A shop folder with the worked example, then a price for each of its jobs, does the same.",
    "check": "The menu checks the workbook in front.",
    "quote": "The menu prices the job in front.",
    "explain": "The menu explains the selected cell.",
    "read-choice": "The menu reads a returned quote.",
    "choice": "The quote works a choice out by itself; a recorded yes says what it comes to.",
    "watch": "It prices what other programs save; here the menu does.",
    "addin": "It puts this menu into the office.",
    "answer": "It is the engine of this menu.",
}
"""Commands that no form is of, and why."""


def form_named(name: str) -> Form:
    """The form of a name."""
    return next(form for form in FORMS if form.name == name)
