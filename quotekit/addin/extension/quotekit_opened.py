"""The component that the office calls when a document was opened: cells with the functions are worked out anew."""

from __future__ import annotations

from typing import Any

import unohelper
from com.sun.star.lang import XServiceInfo
from com.sun.star.task import XJob
from quotekit_office.opened import document_opened

NAME = "org.quotekit.Opened"


class Opened(unohelper.Base, XJob, XServiceInfo):
    """Looks at each document once, when it was opened."""

    def __init__(self, context: Any, *_: Any) -> None:
        self.context = context

    def execute(self, arguments: Any) -> Any:
        """A document was opened; nothing is handed back."""
        document_opened(self.context, arguments)

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
g_ImplementationHelper.addImplementation(Opened, NAME, (NAME,))
