"""`quotekit addin build|install|remove|status`: the menu and the cell functions in LibreOffice.

The ladder of imports keeps `addin` and the commands apart; this verb reaches it by name when it runs, as `main` reaches
the verbs.
"""

from __future__ import annotations

import argparse
from importlib import import_module
from pathlib import Path
from typing import Any

from quotekit.cli.report import DISK, DONE, print_problems

EXAMPLE = """\
examples:
  quotekit addin install                       puts it into the LibreOffice of this computer, for you
  quotekit addin status                        what is in it
  quotekit addin remove                        takes it out again
  quotekit addin build                         writes quotekit.oxt, to be added by hand
"""
FILE = Path("quotekit.oxt")


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and what can be done."""
    parser = verbs.add_parser(
        "addin",
        help="the menu and cell functions in LibreOffice: build, install, remove",
        description="Put quotekit into LibreOffice: a menu, a toolbar and cell functions. LibreOffice must be closed.",
        epilog=EXAMPLE,
    )
    actions = parser.add_subparsers(title="what to do", metavar="ACTION", required=True)
    build = actions.add_parser("build", help="write the extension as a file")
    build.add_argument("--out", metavar="FILE", type=Path, default=FILE, help="where to write (default: quotekit.oxt)")
    build.set_defaults(run=_build)
    for name, run, about in (
        ("install", _install, "put it into LibreOffice, over an older one"),
        ("remove", _remove, "take it out of LibreOffice"),
        ("status", _status, "what is in LibreOffice, and whether it fits this program"),
    ):
        action = actions.add_parser(name, help=about)
        action.add_argument("--profile", metavar="FOLDER", type=Path, help="another folder of LibreOffice's settings")
        action.set_defaults(run=_refusing(run))


def _build(options: argparse.Namespace) -> int:
    """Write the extension; it is the same bytes each time."""
    from quotekit.cli.output_files import these_bytes, write_together

    data = _addin("build").extension_bytes(_version())
    write_together({options.out: these_bytes(data)})
    print(options.out)
    return DONE


def _install(options: argparse.Namespace) -> int:
    """Put it in."""
    done = _addin("install").install(_version(), options.profile)
    print(f"quotekit {done.after} is in LibreOffice now: a menu Quote, a toolbar and cell functions.")
    if done.before is not None:
        print(f"    {done.before} was there before.")
    _print_where(done.office, done.profile)
    print("Start LibreOffice and open a shop book or a job.")
    print("`quotekit addin remove` takes it out again.")
    return DONE


def _remove(options: argparse.Namespace) -> int:
    """Take it out."""
    done = _addin("install").remove(options.profile)
    if done.before is None:
        print("quotekit was not in LibreOffice: nothing was changed.")
    else:
        print(f"quotekit {done.before} was taken out of LibreOffice. Your workbooks are as they were.")
    _print_where(done.office, done.profile)
    return DONE


def _status(options: argparse.Namespace) -> int:
    """Tell what is in."""
    found = _addin("install").look(options.profile)
    if found.version is None:
        print("quotekit is not in LibreOffice. `quotekit addin install` puts it there.")
    else:
        fits = "fits" if found.version == _version() else f"does not fit: this is {_version() or '?'}"
        print(f"quotekit {found.version} is in LibreOffice, which {fits}.")
        print(f"    program  {' '.join(found.command) or 'quotekit, from the path'}")
        if found.said:
            print(f"    It does not answer: {found.said} `quotekit addin install` mends it.")
    _print_where(found.office, found.profile)
    return DONE


def _print_where(office: str, profile: str) -> None:
    print(f"    office   {office}")
    print(f"    settings {profile}")


def _refusing(run: Any) -> Any:
    """The action, with what stops it said as a problem."""

    def refusing(options: argparse.Namespace) -> int:
        try:
            code: int = run(options)
        except _addin("refusals").CannotInstall as refused:
            print_problems([refused.problem])
            return DISK
        return code

    return refusing


def _version() -> str:
    from quotekit.cli.answers.serve import version

    return version()


def _addin(module: str) -> Any:
    return import_module(f"quotekit.addin.{module}")
