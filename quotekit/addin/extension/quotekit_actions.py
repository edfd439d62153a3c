"""The component of the menu: the office calls it with the word of the menu entry that was chosen."""

from __future__ import annotations

from typing import Any

import unohelper
from com.sun.star.lang import XServiceInfo
from com.sun.star.task import XJobExecutor
from quotekit_office import menu

NAME = "org.quotekit.Actions"


class Actions(unohelper.Base, XJobExecutor, XServiceInfo):
    """Carries out what was chosen in the menu."""

    def __init__(self, context: Any, *_: Any) -> None:
        self.context = context

    def trigger(self, word: str) -> None:
        """An entry was chosen."""
        menu.run(self.context, word)

    def getImplementationName(self) -> str:
        """The name of this component."""
        return NAME

    def supportsService(self, name: str) -> bool:
        """Whether it is what the office looks for."""
        return name == NAME

    def getSupportedServiceNames(self) -> tuple[str, ...]:
        """All it is."""
        return (NAME,)


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Actions, NAME, (NAME,))
