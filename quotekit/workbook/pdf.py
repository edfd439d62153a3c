"""Prints the customer workbook as a PDF with LibreOffice.

Only the customer's quote is ever printed so; hidden sheets are not part of it.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from quotekit.documents.sheet import Picture
from quotekit.model.quote import Quote
from quotekit.problems import Place, Problem, error
from quotekit.workbook.cannot_write import NoPdf
from quotekit.workbook.office import PROGRAM_SETTING, Failed, TimeOut, find_office, run_office
from quotekit.workbook.write_sheet import write_customer_quote

SECONDS = 120.0
"""As long as LibreOffice may take; it needs one or two."""

_BY_HAND = "or leave --pdf out and print the workbook from a spreadsheet program."


def write_pdf(quote: Quote, path: Path, photos: Mapping[str, Picture] | None = None) -> None:
    """The customer's quote as it prints. Raises NoPdf."""
    with TemporaryDirectory(prefix="quotekit-") as folder:
        workbook = Path(folder) / "quote.xlsx"
        write_customer_quote(quote, workbook, photos)
        print_workbook(workbook, path, language=quote.book.settings.language)


def print_workbook(workbook: Path, path: Path, *, language: str) -> None:
    """Any workbook as a PDF. Raises NoPdf."""
    program = find_office()
    if program is None:
        raise NoPdf(no_office(path))
    with TemporaryDirectory(prefix="quotekit-") as folder:
        arguments = ["--convert-to", "pdf", "--outdir", folder, str(workbook.resolve())]
        try:
            run_office(program, arguments, language=language, seconds=SECONDS)
        except TimeOut:
            raise NoPdf(_time_out(path)) from None
        except Failed as fault:
            raise NoPdf(_failed(path, str(fault))) from None
        printed = Path(folder) / f"{workbook.stem}.pdf"
        if not printed.exists() or not printed.read_bytes().startswith(b"%PDF"):
            raise NoPdf(_failed(path, "It made no file, and said nothing."))
        shutil.move(printed, path)


def office_missing(path: Path) -> list[Problem]:
    """A problem where the PDF can't be made for want of LibreOffice, to be known before anything is written."""
    return [] if find_office() else [no_office(path)]


def no_office(path: Path) -> Problem:
    """LibreOffice is not there."""
    message = "The PDF is made by LibreOffice, which was not found on this computer."
    remedy = f"Install it (Debian: libreoffice-calc), or set {PROGRAM_SETTING} to its program soffice, {_BY_HAND}"
    return error(Place(path.name), "no-libreoffice", message, remedy)


def _time_out(path: Path) -> Problem:
    message = f"LibreOffice had not made the PDF after {SECONDS:g} seconds and was stopped."
    return error(Place(path.name), "pdf-time-out", message, f"Run it again when the computer is less busy, {_BY_HAND}")


def _failed(path: Path, said: str) -> Problem:
    message = "LibreOffice ended without making the PDF."
    return error(Place(path.name), "pdf-failed", message, f"See that LibreOffice itself starts, {_BY_HAND}", said)
