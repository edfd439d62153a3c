"""Which supplier, which mapping, which currency: what the commands about price lists ask for alike."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.problems import Problem
    from quotekit.suppliers.mapping import PriceMapping


def add_list_options(parser: argparse.ArgumentParser) -> None:
    """The list, the supplier, the shop book and the mapping."""
    parser.add_argument("list", metavar="LIST", type=Path, help="the price list: .csv, .tsv, .txt, .xlsx, .ods or .zip")
    parser.add_argument(
        "--supplier", metavar="NAME", help="the supplier's code or name (default: the list's file name)"
    )
    parser.add_argument("--book", metavar="BOOK", type=Path, help="the shop book, beside which the mapping is kept")
    parser.add_argument("--mapping", metavar="FILE", type=Path, help="the mapping, where it is kept elsewhere")
    parser.add_argument("--member", metavar="FILE", default="", help="which file of a zip is the list")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def supplier_of(options: argparse.Namespace) -> str:
    """The supplier named, else the list's file name without its ending."""
    return (options.supplier or options.list.stem).strip() or "supplier"


def mapping_file(options: argparse.Namespace) -> Path:
    """Where the supplier's mapping is or will be: as named, beside the shop book, else beside the list."""
    from quotekit.suppliers.mapping import mapping_path

    if options.mapping is not None:
        named: Path = options.mapping
        return named
    folder = options.list.parent if options.book is None else options.book.parent
    return mapping_path(folder, supplier_of(options))


def mapping_in_use(options: argparse.Namespace) -> tuple[PriceMapping | None, list[Problem]]:
    """The supplier's mapping; a file of a zip that is named on the command line takes the place of its own."""
    from dataclasses import replace

    from quotekit.suppliers.mapping import read_mapping

    mapping, problems = read_mapping(mapping_file(options))
    if mapping is not None and options.member:
        mapping = replace(mapping, member=options.member)
    return mapping, problems


def shop_currency(options: argparse.Namespace, mapping: PriceMapping) -> tuple[str, list[Problem]]:
    """The shop's currency: as typed, as in the shop book, else the list's; empty with a problem where nothing says."""
    from quotekit.problems import Place, error

    if options.currency:
        return options.currency, []
    if options.book is not None:
        from quotekit.cli.inputs import read_inputs

        inputs = read_inputs(options.book)
        if inputs.book is None:
            return "", list(inputs.problems)
        return inputs.book.settings.currency, []
    if mapping.currency:
        return mapping.currency, []
    message = "nothing says in which currency the shop counts"
    remedy = "Name the shop book with --book, or the currency with --currency USD."
    return "", [error(Place(options.list.name), "no-currency", message, remedy)]


def currency_code(text: str) -> str:
    """A currency as typed on the command line."""
    from quotekit.workbook.currencies import CURRENCIES

    if text.upper() not in CURRENCIES:
        raise argparse.ArgumentTypeError(f"{text} is no currency in use: type three letters, such as USD")
    return text.upper()
