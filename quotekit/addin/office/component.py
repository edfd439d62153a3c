"""What every component of the extension tells the office of itself."""

from __future__ import annotations

from typing import Any, Tuple

import unohelper
from com.sun.star.lang import XServiceInfo


class Component(unohelper.Base, XServiceInfo):
    """A component by its name; `SERVICES` is all it can be asked for as."""

    NAME = ""
    SERVICES: Tuple[str, ...] = ()

    def __init__(self, context: Any, *_: Any) -> None:
        self.context = context

    def getImplementationName(self) -> str:
        """The name of this component."""
        return self.NAME

    def supportsService(self, name: str) -> bool:
        """Whether it is what the office looks for."""
        return name in self.SERVICES

    def getSupportedServiceNames(self) -> Tuple[str, ...]:
        """All it is."""
        return self.SERVICES
