"""The text of a reply: from a file, a saved e-mail or the standard input."""

from __future__ import annotations

import re
import sys
from pathlib import Path

from quotekit.problems import Place, Problem, error

MOST_BYTES = 4 << 20
_HEADERS = re.compile(rb"(?mi)^(?:mime-version|content-type|content-transfer-encoding):")
_TAG = re.compile(r"<(?:style|script|head)\b.*?</(?:style|script|head)>|<[^>]*>", re.IGNORECASE | re.DOTALL)
_LINE = re.compile(r"<(?:br|/p|/div|/li|/tr|/h[1-6])\b[^>]*>", re.IGNORECASE)


def read_reply_file(path: Path) -> tuple[str | None, list[Problem]]:
    """The text, or why there is none; `-` is the standard input."""
    try:
        data = sys.stdin.buffer.read(MOST_BYTES + 1) if str(path) == "-" else _bytes(path)
    except FileNotFoundError:
        message = f"there is no file {path.name}"
        return None, [error(Place(path.name), "missing-file", message, "Check the name and the folder.")]
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "it cannot be read"
        return None, [error(Place(path.name), "unreadable-file", f"{path.name} cannot be read: {reason}", "Check it.")]
    if len(data) > MOST_BYTES or data[:2] == b"PK":
        message = (
            "This is no text: a returned workbook is read without --text." if data[:2] == b"PK" else "It is too long."
        )
        return None, [error(Place(path.name), "not-a-reply", message, "Give the reply as a text of a few lines.")]
    return text_of(data), []


def text_of(data: bytes) -> str:
    """Bytes as text: an e-mail's own words, UTF-8, UTF-16 with its mark, else Western European.

    >>> text_of("Größe".encode()), text_of("Größe".encode("utf-16")), text_of("Größe".encode("cp1252"))
    ('Größe', 'Größe', 'Größe')
    """
    if _HEADERS.search(data[: 64 << 10]) and re.match(rb"[!-9;-~]+:|From ", data):
        return _of_mail(data)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _bytes(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(MOST_BYTES + 1)


def _of_mail(data: bytes) -> str:
    """The words of an e-mail: its plain text, else its HTML without the tags."""
    import html
    from email import message_from_bytes
    from email.policy import default

    body = message_from_bytes(data, policy=default).get_body(("plain", "html"))
    if body is None:
        return ""
    try:
        text = str(body.get_content())
    except (LookupError, ValueError):
        text = data.decode("utf-8", errors="replace")
    if body.get_content_type() == "text/html":
        text = html.unescape(_TAG.sub("", _LINE.sub("\n", text)))
    return text
