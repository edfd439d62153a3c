"""Small .ods workbooks, made by hand: their sheets by name, nothing in them."""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import quoteattr
from zipfile import ZipFile

_START = (
    '<?xml version="1.0" encoding="UTF-8"?>{kind}<office:document-content '
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" office:version="1.3">'
    "<office:body><office:spreadsheet>"
)
_END = "</office:spreadsheet></office:body></office:document-content>"


def write_ods(path: Path, *sheets: str, kind: str = "") -> Path:
    """A workbook with these sheets; `kind` stands where a document type would."""
    tables = "".join(f"<table:table table:name={quoteattr(name)}><table:table-row/></table:table>" for name in sheets)
    with ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", _START.format(kind=kind) + tables + _END)
    return path
