"""`quotekit ledger check|backup|export`: whether the ledger is as it was written, a copy of it, everything as files."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, PROBLEMS, count_text, print_json, print_problems, say, step
from quotekit.cli.which_ledger import ENDING, add_ledger_options

if TYPE_CHECKING:
    from quotekit.ledger.check import Checked
    from quotekit.ledger.ledger import Ledger

EXAMPLE = """\
examples:
  quotekit ledger check
  quotekit ledger check --against "backups/2026-11.db"   also that it goes on from a backup
  quotekit ledger check --last 5f0c1be2a4                also that it holds what was last at an earlier check
  quotekit ledger backup "backups/2026-12.db"            while others work on
  quotekit ledger export "everything 2026"               JSON, CSV and every file it keeps
"""


_CHECK = """\
Go through every entry and every file the ledger keeps: any later change is told with its entry.

The last hash it prints, noted elsewhere and given with --last, also shows later that nothing was cut off the end.
Beside a file ledger the file LEDGER-end notes it by itself.

examples:
  quotekit ledger check
  quotekit ledger check --against "backups/2026-11.db"
  quotekit ledger check --last 5f0c1be2a4
"""
_BACKUP = """\
Copy the ledger to a new file while others work on. The copy is a ledger itself: `quotekit jobs --ledger FILE` reads it.

example:
  quotekit ledger backup "backups/2026-12.db"
"""
_EXPORT = """\
Write every entry as JSON and CSV and every file the ledger keeps to a new folder, with a README that says what is what.

example:
  quotekit ledger export "everything 2026"
"""


def _told(text: str) -> dict[str, Any]:
    """What a help says: a sentence, and what comes after the options."""
    description, _, epilog = text.partition("\n\n")
    return {"description": description, "epilog": epilog}


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and what it can do."""
    parser = verbs.add_parser(
        "ledger",
        help="check the ledger, copy it, or write everything in it as plain files",
        description="The ledger of what happened after each quote: check it, copy it, or take everything out.",
        epilog=EXAMPLE,
    )
    doing = parser.add_subparsers(title="what to do", metavar="WHAT", required=True)
    check = doing.add_parser("check", help="find any later change", **_told(_CHECK))
    check.add_argument("--against", metavar="BACKUP", help="a backup that it must go on from")
    check.add_argument("--last", metavar="HASH", type=_hash, help="the last entry of an earlier check")
    check.set_defaults(run=_check)
    backup = doing.add_parser("backup", help="a copy while it is in use; never over a file", **_told(_BACKUP))
    backup.add_argument("file", metavar="FILE", type=_place, help="the new file")
    backup.set_defaults(run=_backup)
    export = doing.add_parser("export", help="everything as JSON, CSV and files", **_told(_EXPORT))
    export.add_argument("folder", metavar="FOLDER", type=_place, help="the new folder")
    export.set_defaults(run=_export)
    for each in (check, backup, export):
        add_ledger_options(each, records=False)


def _check(options: argparse.Namespace) -> int:
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.documents.quote_json import problem_json
    from quotekit.ledger.check import check_against, check_ledger

    with opened_ledger(options) as ledger, step("Checking the ledger"):
        checked = check_ledger(ledger, options.last or "")
        problems = list(checked.problems)
        if options.against is not None:
            with _backup_named(options.against) as backup:
                problems += check_against(ledger, backup)
    print_problems(problems)
    if options.json:
        print_json(
            {
                "entries": checked.entries,
                "files": checked.files,
                "last_hash": checked.last_hash,
                "noted": checked.noted,
                "unchanged": not problems,
                "problems": [problem_json(problem) for problem in problems],
            }
        )
    elif not problems:
        print(f"{checked.entries} entries and {checked.files} files are as they were written.")
        print(f"Last entry: {checked.last_hash}")
        print(_end_text(checked, known=bool(options.last or options.against)))
    else:
        say(f"{checked.entries} entries and {checked.files} files: {count_text(problems)}")
    return PROBLEMS if problems else DONE


def _backup_named(name: str) -> Ledger:
    """The backup as it is; a fault speaks of the option that named it."""
    from dataclasses import replace

    from quotekit.ledger.fault import LedgerFault
    from quotekit.ledger.open_ledger import open_ledger

    try:
        return open_ledger(name, create=False, as_it_is=True)
    except LedgerFault as raised:
        remedy = raised.problem.remedy
        if raised.problem.code == "ledger-missing":
            remedy = "Check the name given with --against. `quotekit ledger backup FILE` makes a backup."
        raise LedgerFault(replace(raised.problem, remedy=remedy)) from raised


def _end_text(checked: Checked, *, known: bool) -> str:
    """How far it is known that nothing was cut off the end: a chain alone can't say."""
    if checked.noted is not None:
        return f"Nothing was cut off: entry {checked.noted}, the last noted beside the ledger, is there."
    if known:
        return "What was last then is there."
    if not checked.entries:
        return "It is empty."
    return "Whether entries were cut off the end is not known: no note is beside it. Give --last or --against."


def _hash(text: str) -> str:
    """A hash as printed by an earlier check, or how it begins."""
    if not 8 <= len(text) <= 64 or set(text.casefold()) - set("0123456789abcdef"):
        raise argparse.ArgumentTypeError(f"{text} is no hash: 8 to 64 of the digits 0-9 and a-f")
    return text.casefold()


def _place(text: str) -> Path:
    """A file or folder of this computer; the address of a server, which may hold a password, is not repeated."""
    if "://" in text:
        raise argparse.ArgumentTypeError("a name on this computer's disk is wanted, not the address of a server")
    return Path(text)


def _backup(options: argparse.Namespace) -> int:
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.ledger.backup import back_up

    with opened_ledger(options) as ledger, step("Copying the ledger"):
        back_up(ledger, options.file)
        path = ledger.address.path
    beside = path is not None and options.file.resolve().parent == path.resolve().parent
    if beside and options.file.name.endswith(ENDING):
        say("Its name ends as the ledger's, and commands would ask which is meant: keep it in another folder.")
    return _files(options, [options.file])


def _export(options: argparse.Namespace) -> int:
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.ledger.export import export_ledger

    with opened_ledger(options) as ledger, step("Writing everything"):
        written = export_ledger(ledger, options.folder)
    return _files(options, written)


def _files(options: argparse.Namespace, written: list[Path]) -> int:
    if options.json:
        print_json({"files": [str(path) for path in written]})
    else:
        print("\n".join(str(path) for path in written))
    return DONE
