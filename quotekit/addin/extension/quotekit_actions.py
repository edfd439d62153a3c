"""The component of the menu: the office calls it with the word of the menu entry that was chosen."""

from __future__ import annotations

import unohelper
from com.sun.star.task import XJobExecutor
from quotekit_office import menu
from quotekit_office.component import Component

NAME = "org.quotekit.Actions"


class Actions(Component, XJobExecutor):
    """Carries out what was chosen in the menu."""

    NAME, SERVICES = NAME, (NAME,)

    def trigger(self, word: str) -> None:
        """An entry was chosen."""
        menu.run(self.context, word)


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Actions, NAME, (NAME,))
