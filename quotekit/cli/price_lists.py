"""Which lists prices are proposed from: as named, else of each supplier with a mapping beside the book the newest."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem
    from quotekit.suppliers.mapping import PriceMapping

LISTS = frozenset({".csv", ".tsv", ".txt", ".xlsx", ".ods", ".zip"})
OURS = " price proposals "
"""In the name of what is written, which is no list."""


@record
class ChosenList:
    """A list, how it is read, and whose it is."""

    path: Path
    mapping: PriceMapping
    supplier: str
    """Code of the supplier in the shop book, or its free text."""


def chosen_lists(options: argparse.Namespace, book: ShopBook) -> tuple[list[ChosenList], list[Problem]]:
    """The lists to compare, with every problem in the way."""
    found: list[ChosenList] = []
    problems: list[Problem] = []
    for path, supplier, mapping_file in _named(options) or _beside(options):
        chosen, told = _chosen(path, supplier, mapping_file, book)
        problems += told
        if chosen is not None:
            problems += _twice(chosen, found)
            found.append(chosen)
    if not found and not problems:
        problems.append(_no_list(options))
    return found, problems


def _named(options: argparse.Namespace) -> list[tuple[Path, str, Path]]:
    """Lists that were named, each with its supplier and mapping."""
    from quotekit.suppliers.mapping import mapping_path

    lists: Sequence[Path] = options.list
    named = []
    for place, path in enumerate(lists):
        supplier = options.supplier[place] if place < len(options.supplier) else ""
        mapping = options.mapping[place] if place < len(options.mapping) else None
        if mapping is None and not supplier:
            mapping = _fitting(path, options.book.parent)
        named.append((path, supplier, mapping or mapping_path(options.book.parent, supplier or path.stem)))
    return named


def _fitting(path: Path, folder: Path) -> Path | None:
    """The only mapping of a folder whose supplier begins the name of a list."""
    fitting = [mapping for mapping in _mappings(folder) if _is_of(path, _supplier_of(mapping))]
    return fitting[0] if len(fitting) == 1 else None


def _beside(options: argparse.Namespace) -> list[tuple[Path, str, Path]]:
    """The newest list of each mapping beside the shop book; of the suppliers named, where some are."""
    from quotekit.suppliers.mapping import mapping_path

    folder: Path = options.book.parent
    wanted = [mapping_path(folder, name) for name in options.supplier] or [*options.mapping] or _mappings(folder)
    found = []
    for mapping in wanted:
        newest = _newest(folder, _supplier_of(mapping), options.book)
        if newest is not None:
            found.append((newest, "", mapping))
    return found


def _mappings(folder: Path) -> list[Path]:
    from quotekit.suppliers.mapping import ENDING

    return sorted(folder.glob(f"*{ENDING}"))


def _supplier_of(mapping: Path) -> str:
    from quotekit.suppliers.mapping import ENDING

    return mapping.name.removesuffix(ENDING)


def _newest(folder: Path, supplier: str, book: Path) -> Path | None:
    """The list of a supplier that was changed last; of equally new ones the last by name."""
    lists = [path for path in folder.iterdir() if path.suffix.lower() in LISTS and _is_of(path, supplier)]
    lists = [path for path in lists if path.is_file() and OURS not in path.name and path.resolve() != book.resolve()]
    return max(lists, key=lambda path: (path.stat().st_mtime_ns, path.name), default=None)


def _is_of(path: Path, supplier: str) -> bool:
    """True where a file's name begins with a supplier's, as a word of its own."""
    name, start = path.stem.casefold(), supplier.casefold()
    return bool(start) and name.startswith(start) and not name[len(start) : len(start) + 1].isalnum()


def _chosen(path: Path, supplier: str, file: Path, book: ShopBook) -> tuple[ChosenList | None, list[Problem]]:
    from quotekit.suppliers.mapping import read_mapping

    mapping, problems = read_mapping(file)
    if mapping is None:
        return None, problems
    name = supplier or mapping.supplier or _supplier_of(file)
    code, wrong = supplier_in(book, name)
    if wrong is not None:
        return None, [*problems, wrong]
    return ChosenList(path=path, mapping=mapping, supplier=code), problems


def supplier_in(book: ShopBook, name: str) -> tuple[str, Problem | None]:
    """A supplier as the shop book calls it, by code or name in any case; a problem where no row names it."""
    from quotekit.problems import Place, error
    from quotekit.workbook.names import did_you_mean

    used = dict.fromkeys([part.supplier for part in book.parts.values()] + [offer.supplier for offer in book.offers])
    terms = {row.supplier.casefold(): code for code, row in (book.suppliers or {}).items()}
    by_name = terms | {code.casefold(): code for code in used}
    code = by_name.get(name.strip().casefold(), "")
    if code in used:
        return code, None
    message = f"no row of Parts or Offers names the supplier {name}"
    remedy = f"{did_you_mean(name, [*used, *terms])}Name one of the shop book with --supplier."
    return "", error(Place(book.file, "Parts"), "unknown-supplier", message, remedy)


def _twice(chosen: ChosenList, before: Sequence[ChosenList]) -> list[Problem]:
    from quotekit.problems import Place, error

    same = next((one for one in before if one.supplier == chosen.supplier), None)
    if same is None:
        return []
    message = f"{same.path.name} is of the supplier {chosen.supplier} too: which of the two counts can't be told"
    remedy = "Give one list for each supplier; propose from the other one later."
    return [error(Place(chosen.path.name), "supplier-twice", message, remedy)]


def _no_list(options: argparse.Namespace) -> Problem:
    from quotekit.problems import Place, error

    mappings = [path.name for path in _mappings(options.book.parent)]
    message = (
        f"no price list is named, and none beside the shop book begins like {', '.join(mappings)}"
        if mappings
        else "no price list is named, and no mapping is beside the shop book"
    )
    remedy = (
        "Name the list: quotekit prices propose BOOK --list LIST --supplier NAME. "
        "A mapping says how a supplier's lists are read; quotekit prices map LIST makes one."
    )
    return error(Place(str(options.book)), "no-price-list", message, remedy)
