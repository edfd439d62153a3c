"""`quotekit addin build|install|remove`: the menu and the cell functions in LibreOffice.

The ladder of imports keeps `addin` and the commands apart; this verb reaches it by name when it runs, as `main` reaches
the verbs.
"""

from __future__ import annotations

import argparse
from importlib import import_module
from pathlib import Path
from typing import Any

from quotekit.cli.report import DONE

EXAMPLE = """\
examples:
  quotekit addin build                         writes quotekit.oxt
"""
FILE = Path("quotekit.oxt")


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and what can be done."""
    parser = verbs.add_parser(
        "addin",
        help="the menu and cell functions in LibreOffice: build, install, remove",
        description="Put quotekit into LibreOffice: a menu, a toolbar and cell functions.",
        epilog=EXAMPLE,
    )
    actions = parser.add_subparsers(title="what to do", metavar="ACTION", required=True)
    build = actions.add_parser("build", help="write the extension as a file")
    build.add_argument("--out", metavar="FILE", type=Path, default=FILE, help="where to write (default: quotekit.oxt)")
    build.set_defaults(run=_build)


def _build(options: argparse.Namespace) -> int:
    """Write the extension; it is the same bytes each time."""
    from quotekit.cli.answers.serve import version
    from quotekit.cli.output_files import these_bytes, write_together

    data = _addin("build").extension_bytes(version())
    write_together({options.out: these_bytes(data)})
    print(options.out)
    return DONE


def _addin(module: str) -> Any:
    return import_module(f"quotekit.addin.{module}")
