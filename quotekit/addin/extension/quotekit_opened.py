"""The component that the office calls when a document was opened: cells with the functions are worked out anew."""

from __future__ import annotations

from typing import Any

import unohelper
from com.sun.star.task import XJob
from quotekit_office.component import Component
from quotekit_office.opened import document_opened

NAME = "org.quotekit.Opened"


class Opened(Component, XJob):
    """Looks at each document once, when it was opened."""

    NAME, SERVICES = NAME, (NAME,)

    def execute(self, arguments: Any) -> Any:
        """A document was opened; nothing is handed back."""
        document_opened(self.context, arguments)


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Opened, NAME, (NAME,))
