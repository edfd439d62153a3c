"""Where the shop's own templates are: a folder that was named, else `workbook_templates` beside what is worked with."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.documents.filling import SheetFilling
    from quotekit.problems import Problem
    from quotekit.workbook.find_template import TemplateName

FOLDER = "workbook_templates"


def add_template_option(parser: argparse.ArgumentParser) -> None:
    """The option of every command that fills a template."""
    parser.add_argument(
        "--templates",
        metavar="FOLDER",
        type=_folder,
        help=f"the shop's templates (default: {FOLDER} beside the ledger); what it lacks is the program's own",
    )


def template_folders(options: argparse.Namespace, beside: Iterable[Path | None] = ()) -> list[Path]:
    """Folders in which a template is looked for, the first first."""
    if options.templates is not None:
        return [options.templates]
    return list(dict.fromkeys(place / FOLDER for place in (*beside, Path()) if place is not None))


def filled(
    name: TemplateName, folders: Sequence[Path], language: str, sheets: Sequence[SheetFilling]
) -> tuple[bytes | None, list[Problem]]:
    """A document filled into its template, as bytes, on the paper of the language; or what is wrong with it."""
    from quotekit.documents.money_text import paper_of
    from quotekit.workbook.fill_template import fill_template
    from quotekit.workbook.find_template import find_template

    template, problems = find_template(name, folders, paper_of(language))
    if template is None:
        return None, problems
    data, more = fill_template(template, sheets)
    return data, [*problems, *more]


def _folder(text: str) -> Path:
    folder = Path(text)
    if not folder.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {text}")
    return folder
