"""The work of one job in the order in which it is done."""

from quotekit.pricing.work_order.build import build_work_order

__all__ = ["build_work_order"]
