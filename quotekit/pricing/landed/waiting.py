"""A job waits for its last part: where one can't be there by the job's day, its others need not be there sooner.

Statement: the day of every need of a job is the later of its own day and the day on which the last of the job's late
parts can be there at the soonest. A part whose day is not known puts nothing off. Source: needing five and having four
is none, the machine can't be finished (TRADE.md 4); shop policy.

Worked example: shoes and a hub kit are needed by Wednesday; the shoes can't be there before Monday. The kit may come on
Monday too, from the supplier who sends the shoes, which spares another supplier's freight.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from quotekit.model.landed import OrderTask
from quotekit.pricing.landed.in_time import late_needs


def waiting_together(task: OrderTask) -> OrderTask:
    """The same order with the days of jobs that wait anyway put off."""
    days: dict[str, date] = {}
    for late in late_needs(task):
        if late.there is not None:
            days[late.need.job] = max(late.there, days.get(late.need.job, late.there))
    needs = tuple(replace(need, by=max(need.by, days.get(need.job, need.by))) for need in task.needs)
    return replace(task, needs=needs)
