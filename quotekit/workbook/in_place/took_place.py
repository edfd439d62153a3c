"""Whether a change that was begun reached the file: whoever was stopped half way left the old file or the new one."""

from __future__ import annotations

from hashlib import sha256

from quotekit.workbook.in_place.changes import ChangedFile
from quotekit.workbook.in_place.contents import NOTHING, same_content
from quotekit.workbook.in_place.office_results import contents_of
from quotekit.workbook.package import BadPackage


def took_place(file: str, data: bytes, changed: ChangedFile) -> bool:
    """True where the file is as it was to become, or where some cell says what was put there and not what was before.

    A file that was saved since is judged by its cells: a change is made whole or not at all, so one of them is enough.
    """
    digest = sha256(data).hexdigest()
    if digest in (changed.before, changed.after):
        return digest == changed.after
    try:
        now = contents_of(file, data, {(one.sheet.casefold(), one.cell) for one in changed.cells})
    except BadPackage:
        return False
    held = ((now.get((one.sheet.casefold(), one.cell), NOTHING), one) for one in changed.cells)
    return any(same_content(found, one.new) and not same_content(found, one.old) for found, one in held)
