"""The entries of the menu and of the toolbar, in order: what a person reads, and the module whose `run` does it.

The forms stand below the others, each in the submenu of its group.
"""

from __future__ import annotations

from typing import NamedTuple

from .form_table import FORMS


class Entry(NamedTuple):
    """One entry: `word` calls it, a `button` is on the toolbar too, above a `rule` stands a line."""

    word: str
    title: str
    module: str
    button: bool = False
    rule: bool = False
    group: str = ""
    """The submenu it stands in."""
    form: str = ""
    """The form it opens."""

    @property
    def label(self) -> str:
        """The title without the mark of its key.

        >>> Entry("check", "~Check this workbook", "check_workbook").label
        'Check this workbook'
        """
        return self.title.replace("~", "")


MENU_TITLE = "~Quote"

MENU = (
    Entry("check", "~Check this workbook", "check_workbook", button=True),
    Entry("price", "~Price this job", "price_job", button=True),
    Entry("costing", "~Open the costing", "open_costing", button=True),
    Entry("explain", "~Explain the selected cell", "explain_cell", button=True),
    Entry("finding", "Put a ~finding in the job", "put_finding", button=True),
    Entry("returned", "~Read a returned quote", "read_returned", button=True),
    *(Entry(one.name, one.menu, "forms", rule=one.rule, group=one.group, form=one.name) for one in FORMS),
)
