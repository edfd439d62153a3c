"""Where the shop's own templates are: a folder that was named, else `workbook_templates` beside what is worked with."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

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


def _folder(text: str) -> Path:
    folder = Path(text)
    if not folder.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {text}")
    return folder
