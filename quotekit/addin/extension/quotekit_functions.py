"""The component of the cell functions: the office calls a method for each cell that holds one."""

from __future__ import annotations

from typing import Any

import unohelper
from com.sun.star.lang import XServiceName
from org.quotekit import XShopFunctions
from quotekit_office.cell_functions import figure
from quotekit_office.component import Component

NAME = "org.quotekit.ShopFunctions"
SERVICES = (NAME, "com.sun.star.sheet.AddIn")


class ShopFunctions(Component, XShopFunctions, XServiceName):
    """The functions, under the names that the interface gives them."""

    NAME, SERVICES = NAME, SERVICES

    def sellingPrice(self, caller: Any, cost: Any, listPrice: Any, book: Any) -> Any:
        """SELLING_PRICE."""
        return self._figure("SELLING_PRICE", caller, book, cost, listPrice)

    def sharedHours(self, caller: Any, operations: Any, side: Any, machine: Any, condition: Any, book: Any) -> Any:
        """SHARED_HOURS."""
        return self._figure("SHARED_HOURS", caller, book, operations, side, machine, condition)

    def taxOn(
        self, caller: Any, amount: Any, charge: Any, date: Any, machine: Any, customerClass: Any, book: Any
    ) -> Any:
        """TAX_ON."""
        return self._figure("TAX_ON", caller, book, amount, charge, date, machine, customerClass)

    def remedyPrice(self, caller: Any, remedy: Any, side: Any, machine: Any, withTax: Any, date: Any, book: Any) -> Any:
        """REMEDY_PRICE."""
        return self._figure("REMEDY_PRICE", caller, book, remedy, side, machine, withTax, date)

    def _figure(self, name: str, caller: Any, book: Any, *arguments: Any) -> float:
        found: float = figure(self.context, name, caller, arguments, book)
        return found

    def getServiceName(self) -> str:
        """What the office knows it by."""
        return NAME


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(ShopFunctions, NAME, SERVICES)
