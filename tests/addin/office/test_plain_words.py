"""Nobody at a menu is told to type a command."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import quotekit.cli
import quotekit.documents
from quotekit.addin.office.form_table import FORMS, form_named
from quotekit.addin.office.menu_words import MENU
from quotekit.addin.office.plain_words import ELSEWHERE, said_plainly, short_name


@pytest.mark.parametrize(
    ("said", "form", "plain"),
    [
        ("Next: quotekit bill 117", "close", "Next: “Bill” of the menu"),
        ("Run `quotekit close` again.", "clock", "Run “Close the job” of the menu again."),
        (
            "  quotekit accept --job 117 --by phone --who NAME --phone NUMBER --note TEXT",
            "revise",
            "“The customer's yes, by telephone or in person” of the menu",
        ),
        ("What came in goes back with `quotekit receive 3 --returned \"BELT\"`.", "cancel-order",
         "What came in goes back with “What came in” of the menu."),
        ("`quotekit jobs 117` tells what was ordered for it.", "shelf",
         "“What happened to a job” of the menu tells what was ordered for it."),
        ("`quotekit jobs` lists those that were issued; `quotekit issue` adds one.", "pay",
         "“Where each job stands” of the menu lists those that were issued; “Issue the quote” of the menu adds one."),
        ("--note: Consent is not recorded without it.\n    Add --note TEXT, in your own words.", "accept-told",
         "“What was said”: Consent is not recorded without it.\n    Add “What was said”, in your own words."),
        ("usage: quotekit pay [-h] JOB\n   AMOUNT\nquotekit pay: argument --on: no date\n"
         "    quotekit pay --help explains with examples.", "pay", "argument “Day it happened”: no date"),
        ("`quotekit prices undo` takes it back.", "prices-apply", "“Undo new prices” of the menu takes it back."),
        ("Type Yes, then: quotekit prices apply 'shop book.xlsx' 'shop book price proposals 2026-11-29.xlsx'",
         "prices-propose", "Type Yes, then: “Take over the prices you ticked” of the menu"),
        ("`quotekit prices map LIST` makes one.", "price-list", "“How a price list is read” of the menu makes one."),
        ("`quotekit take-over --undo` takes it back.", "take-over",
         "“Undo times taken over” of the menu takes it back."),
        ("run `quotekit ledger check`.", "jobs", "run “Check the ledger” of the menu."),
        ("Check it with `quotekit check`.", "issue", "Check it with “Check this workbook” of the menu."),
        ("Job 117: 60.00 USD taken, deposit (cash).", "pay", "Job 117: 60.00 USD taken, deposit (cash)."),
        ("An option --nobody knows.", "pay", "An option --nobody knows."),
    ],
)  # fmt: skip
def test_commands_become_entries_and_options_fields(said: str, form: str, plain: str) -> None:
    """As the commands say it at a terminal, and as a person at the menu reads it."""
    assert said_plainly(said, form_named(form)) == plain


def test_files_are_told_by_name() -> None:
    """A button opens them; the whole path says nothing more."""
    said = "Job 117, version 1, is issued.\n/shop/117-1 quote.xlsx"
    files = ["/shop/117-1 quote.xlsx"]
    assert said_plainly(said, form_named("issue"), files) == "Job 117, version 1, is issued.\nWritten: 117-1 quote.xlsx"


def _told_commands() -> list[str]:
    """Every command between backquotes in what commands and documents say."""
    found: set[str] = set()
    for package in (quotekit.cli, quotekit.documents):
        for path in Path(str(package.__file__)).parent.rglob("*.py"):
            text = re.sub(r'"""[\s\S]*?"""', "", path.read_text())
            found |= set(re.findall(r"`quotekit [^`\n]*`", text))
    return sorted(found)


@pytest.mark.parametrize("command", _told_commands())
def test_no_remedy_names_a_command_that_the_menu_lacks(command: str) -> None:
    """Every command a remedy names is an entry of the menu, but those that no form runs and that need none."""
    plain = said_plainly(f"Do {command} now.", form_named("jobs"))
    assert plain.startswith("Do “") or command.strip("`").split()[1] in ("addin", "demo", "watch"), plain


def test_entries_that_are_no_forms_are_in_the_menu() -> None:
    """The words are those of the menu itself."""
    labels = {entry.label for entry in MENU if not entry.form}
    assert set(ELSEWHERE.values()) <= labels
    assert not set(ELSEWHERE) & {form.words[0] for form in FORMS}


def test_long_names_lose_their_middle() -> None:
    """A button is only so wide: the beginning and the kind of file stay."""
    name = "2611-01 snow thrower of the volunteer fire company, worn bushings.xlsx"
    assert len(short_name(name)) <= 40 and short_name(name).startswith("2611-01") and short_name(name).endswith("xlsx")
    assert short_name("117-1 quote.xlsx") == "117-1 quote.xlsx"
