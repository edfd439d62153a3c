"""The entries of the menu and of the toolbar, in order: what a person reads, and the module whose `run` does it."""

from __future__ import annotations

from typing import NamedTuple


class Entry(NamedTuple):
    """One entry: `word` calls it, a `button` is on the toolbar too, above a `rule` stands a line."""

    word: str
    title: str
    module: str
    button: bool = False
    rule: bool = False

    @property
    def label(self) -> str:
        """The title without the mark of its key.

        >>> Entry("check", "~Check this workbook", "check_workbook").label
        'Check this workbook'
        """
        return self.title.replace("~", "")


MENU_TITLE = "~Quote"

MENU = (Entry("check", "~Check this workbook", "check_workbook", button=True),)
