"""`quotekit ledger check|backup|export`: whether the ledger is as it was written, a copy of it, everything as files."""

from __future__ import annotations

import argparse
from pathlib import Path

from quotekit.cli.report import DONE, PROBLEMS, count_text, print_json, print_problems, say, step
from quotekit.cli.which_ledger import add_ledger_options

EXAMPLE = """\
examples:
  quotekit ledger check
  quotekit ledger check --against "backups/2026-11.db"   also that it goes on from a backup
  quotekit ledger backup "backups/2026-12.db"            while others work on
  quotekit ledger export "everything 2026"               JSON, CSV and every file it keeps
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and what it can do."""
    parser = verbs.add_parser(
        "ledger",
        help="check the ledger, copy it, or write everything in it as plain files",
        description="The ledger of what happened after each quote: check it, copy it, or take everything out.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    doing = parser.add_subparsers(title="what to do", metavar="WHAT", required=True)
    check = doing.add_parser("check", help="find any later change")
    check.add_argument("--against", metavar="BACKUP", type=Path, help="a backup that it must go on from")
    check.set_defaults(run=_check)
    backup = doing.add_parser("backup", help="a copy while it is in use; never over a file")
    backup.add_argument("file", metavar="FILE", type=Path, help="the new file")
    backup.set_defaults(run=_backup)
    export = doing.add_parser("export", help="everything as JSON, CSV and files")
    export.add_argument("folder", metavar="FOLDER", type=Path, help="the new folder")
    export.set_defaults(run=_export)
    for each in (check, backup, export):
        add_ledger_options(each, records=False)


def _check(options: argparse.Namespace) -> int:
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.documents.quote_json import problem_json
    from quotekit.ledger.check import check_against, check_ledger
    from quotekit.ledger.open_ledger import open_ledger

    with opened_ledger(options) as ledger, step("Checking the ledger"):
        checked = check_ledger(ledger)
        problems = list(checked.problems)
        if options.against is not None:
            with open_ledger(options.against, create=False, as_it_is=True) as backup:
                problems += check_against(ledger, backup)
    print_problems(problems)
    if options.json:
        print_json(
            {
                "entries": checked.entries,
                "files": checked.files,
                "last_hash": checked.last_hash,
                "unchanged": not problems,
                "problems": [problem_json(problem) for problem in problems],
            }
        )
    elif not problems:
        print(f"{checked.entries} entries and {checked.files} files are as they were written.")
        print(f"Last entry: {checked.last_hash}")
    else:
        say(f"{checked.entries} entries and {checked.files} files: {count_text(problems)}")
    return PROBLEMS if problems else DONE


def _backup(options: argparse.Namespace) -> int:
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.ledger.backup import back_up

    with opened_ledger(options) as ledger, step("Copying the ledger"):
        back_up(ledger, options.file)
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
