"""New folders: a first shop book with a blank job, the worked example, the tiny example. Nothing is written over.

Every file of a folder is made in memory first; then all of them are written, or none.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from errno import EEXIST
from importlib.resources.abc import Traversable
from pathlib import Path

from quotekit.documents.money_text import paper_of
from quotekit.model.shop_book import ShopBook
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.find_template import TEMPLATES_FOLDER, default_templates
from quotekit.workbook.read_example import example_folder, folder_names, read_example
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes

SHOP_BOOK_FILE = "shop book.xlsx"
JOB_FILE = "job.xlsx"


def write_new_folder(folder: Path) -> list[Path]:
    """A shop book of seven sheets with one invented line each, a blank job with its drop-downs, and the templates."""
    data = shop_book_bytes(read_example(example_folder("new", "shop_book"), SHOP_BOOK))
    book = _book_of(data)
    return _write_all(folder, {SHOP_BOOK_FILE: data, JOB_FILE: job_bytes(book), **_templates(book)})


def write_blank_job(path: Path, book: ShopBook | None = None) -> None:
    """The next job of a shop book, ready to fill in; the book is not touched."""
    _write_all(path.parent, {path.name: job_bytes(book)})


def write_demo_folder(folder: Path) -> list[Path]:
    """The worked example: the filled shop book, then its jobs in order.

    Photos, templates, and a supplier's price list with its mapping lie beside them.
    """
    source = example_folder("worked_example")
    rows = read_example(source.joinpath("shop_book"), SHOP_BOOK)
    data = shop_book_bytes(rows, title=rows["Shop"][0]["Value"])
    book = _book_of(data)
    files = {SHOP_BOOK_FILE: data}
    for name in folder_names(source.joinpath("jobs")):
        job = read_example(source.joinpath("jobs", name), JOB_WORKBOOK)
        files[f"{name}.xlsx"] = job_bytes(book, job, title=name)
    beside = _copies(source.joinpath("photos"), ".jpg") | _copies(source.joinpath("lists"), ".csv", ".toml")
    written = _write_all(folder, files | beside | _templates(book))
    return written[: len(files)]


def write_tiny_folder(folder: Path) -> list[Path]:
    """The least that gives a true quote: seven sheets, three parts, three operations, one job."""
    source = example_folder("tiny")
    data = shop_book_bytes(read_example(source.joinpath("shop_book"), SHOP_BOOK), only_used=True)
    job = read_example(source.joinpath("job"), JOB_WORKBOOK)
    return _write_all(folder, {SHOP_BOOK_FILE: data, JOB_FILE: job_bytes(_book_of(data), job, only_used=True)})


def write_templates_folder(folder: Path) -> list[Path]:
    """A shop book with every sheet and no line, a job without drop-downs of codes, and the templates of documents."""
    data = shop_book_bytes({}, all_sheets=True)
    blank = {f"blank {SHOP_BOOK_FILE}": data, f"blank {JOB_FILE}": job_bytes(None)}
    return _write_all(folder, {**blank, **default_templates()})


def _write_all(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write every file, none of which exists yet; when one fails, those already written are taken away.

    Raises FileExistsError, naming the file, before anything is written.
    """
    targets = {folder / name: data for name, data in files.items()}
    for path in targets:
        if path.exists():
            raise FileExistsError(EEXIST, "the file exists already; nothing was written", str(path))
    written: list[Path] = []
    try:
        for path, data in targets.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as file:
                written.append(path)
                file.write(data)
    except BaseException:
        _take_away(written)
        raise
    return written


def _take_away(paths: Iterable[Path]) -> None:
    for path in paths:
        path.unlink(missing_ok=True)
        if path.parent.name == TEMPLATES_FOLDER:
            with suppress(OSError):  # the owner's own templates are in it
                path.parent.rmdir()


def _templates(book: ShopBook) -> dict[str, bytes]:
    """The templates of documents, on the paper of the shop's country, by their place in the folder."""
    made = default_templates(paper_of(book.settings.language))
    return {f"{TEMPLATES_FOLDER}/{name}": data for name, data in made.items()}


def _copies(folder: Traversable, *endings: str) -> dict[str, bytes]:
    names = sorted(each.name for each in folder.iterdir() if each.name.endswith(endings))
    return {name: folder.joinpath(name).read_bytes() for name in names}


def _book_of(data: bytes) -> ShopBook:
    """The records of a shop book in memory, for the drop-downs of its jobs."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / SHOP_BOOK_FILE
        path.write_bytes(data)
        book, problems = read_shop_book(path)
    if book is None:
        raise ValueError(f"the example does not read: {problems}")
    return book
