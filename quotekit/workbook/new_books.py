"""New folders: a first shop book with a blank job, the worked example, the tiny example. Nothing is written over."""

from __future__ import annotations

from collections.abc import Mapping
from errno import EEXIST
from importlib.resources.abc import Traversable
from pathlib import Path

from quotekit.model.shop_book import ShopBook
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.read_example import example_folder, folder_names, read_example
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes
from quotekit.workbook.write_input_book import write_new_file

SHOP_BOOK_FILE = "shop book.xlsx"
JOB_FILE = "job.xlsx"


def write_new_folder(folder: Path) -> list[Path]:
    """A shop book of seven sheets with one invented line each, and a blank job with its drop-downs."""
    book_path, job_path = _clear(folder, SHOP_BOOK_FILE, JOB_FILE)
    write_new_file(book_path, shop_book_bytes(read_example(example_folder("new", "shop_book"), SHOP_BOOK)))
    write_blank_job(job_path, _book_at(book_path))
    return [book_path, job_path]


def write_blank_job(path: Path, book: ShopBook | None = None) -> None:
    """The next job of a shop book, ready to fill in; the book is not touched."""
    write_new_file(path, job_bytes(book))


def write_demo_folder(folder: Path) -> list[Path]:
    """The worked example: the filled shop book, then its jobs in order; photos lie beside the jobs."""
    source = example_folder("worked_example")
    jobs = folder_names(source.joinpath("jobs"))
    photos = _photos(source)
    book_path, *job_paths = _clear(folder, SHOP_BOOK_FILE, *(f"{name}.xlsx" for name in jobs), beside=photos)
    rows = read_example(source.joinpath("shop_book"), SHOP_BOOK)
    write_new_file(book_path, shop_book_bytes(rows, title=rows["Shop"][0]["Value"]))
    book = _book_at(book_path)
    for name, path in zip(jobs, job_paths, strict=True):
        write_new_file(path, job_bytes(book, read_example(source.joinpath("jobs", name), JOB_WORKBOOK), title=name))
    for name, photo in photos.items():
        write_new_file(folder / name, photo.read_bytes())
    return [book_path, *job_paths]


def write_tiny_folder(folder: Path) -> list[Path]:
    """The least that gives a true quote: seven sheets, three parts, three operations, one job."""
    source = example_folder("tiny")
    book_path, job_path = _clear(folder, SHOP_BOOK_FILE, JOB_FILE)
    rows = read_example(source.joinpath("shop_book"), SHOP_BOOK)
    write_new_file(book_path, shop_book_bytes(rows, only_used=True))
    job = read_example(source.joinpath("job"), JOB_WORKBOOK)
    write_new_file(job_path, job_bytes(_book_at(book_path), job, only_used=True))
    return [book_path, job_path]


def write_templates_folder(folder: Path) -> list[Path]:
    """A shop book with every sheet and no line, and a job without drop-downs of codes."""
    book_path, job_path = _clear(folder, f"blank {SHOP_BOOK_FILE}", f"blank {JOB_FILE}")
    write_new_file(book_path, shop_book_bytes({}, all_sheets=True))
    write_blank_job(job_path)
    return [book_path, job_path]


def _clear(folder: Path, *names: str, beside: Mapping[str, Traversable] | None = None) -> list[Path]:
    """The paths to write, none of which exists; the folder is made.

    Raises FileExistsError, naming the file, before anything is written.
    """
    for name in (*names, *(beside or ())):
        if (folder / name).exists():
            raise FileExistsError(EEXIST, "the file exists already; nothing was written", str(folder / name))
    folder.mkdir(parents=True, exist_ok=True)
    return [folder / name for name in names]


def _photos(source: Traversable) -> dict[str, Traversable]:
    found = source.joinpath("photos")
    names = sorted(each.name for each in found.iterdir()) if found.is_dir() else []
    return {name: found.joinpath(name) for name in names if name.endswith(".jpg")}


def _book_at(path: Path) -> ShopBook:
    book, problems = read_shop_book(path)
    if book is None:
        raise ValueError(f"the example does not read: {problems}")
    return book
