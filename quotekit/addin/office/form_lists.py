"""The lines a form's lists show, made of what the engine lists of the ledger and of the workbooks that lie in the shop.

`jobs:waits` puts the jobs that wait for an answer first (of several none but those); `options of job` are the options
of the job picked in the field of that name. No window, no office.
"""

from __future__ import annotations

import os
from typing import Any, Callable, Dict, List, Mapping, Sequence

from .form_fields import SEVERAL, Choice, Field, Form, Values

Lists = Mapping[str, Any]

FROM_LEDGER = {
    "jobs": "jobs", "options": "jobs", "extras": "jobs", "work": "jobs", "cores": "jobs",
    "orders": "orders", "lines": "orders", "shelf": "shelf", "people": "people",
}  # fmt: skip
"""Which list of the engine a field's lines are made of."""


def lists_for(form: Form) -> List[str]:
    """What the engine must list for a form."""
    return sorted({FROM_LEDGER[name] for name in map(_kind, form.fields) if name in FROM_LEDGER})


def lines_of(field: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    """The lines of a field, those of its own first."""
    makes = _LINES.get(_kind(field))
    return [*field.choices, *(makes(field, lists, values) if makes is not None else ())]


def picked_facts(field: Field, lines: Sequence[Choice], value: str) -> Values:
    """What is known beside the picked line, under `field.fact`."""
    line = next((one for one in lines if one.word == value), None)
    return {f"{field.name}.{name}": text for name, text in (line.facts if line is not None else ())}


def the_only(field: Field, lists: Lists, lines: Sequence[Choice]) -> str:
    """What is picked beforehand where one line alone comes into question; else nothing."""
    kind, _, wanted = field.lists.partition(":")
    if kind == "jobs" and wanted:
        fit = [one["job"] for one in lists.get("jobs", ()) if _FITS[wanted](one)]
    elif kind == "orders":
        fit = [one["number"] for one in lists.get("orders", ()) if one["open"]]
    else:
        fit = [one.word for one in lines] if kind.startswith("options") else []
    return str(fit[0]) if len(fit) == 1 else ""


def job_of_file(name: str, jobs: Sequence[str]) -> str:
    """The job that a file is of, by how its name begins.

    >>> job_of_file("117-2 quote.xlsx", ["11", "117"]), job_of_file("117 blower.xlsx", ["117"]), job_of_file("a", ["1"])
    ('117', '117', '')
    """
    stem = os.path.basename(name).casefold()
    fit = [job for job in jobs if stem.startswith(job.casefold()) and stem[len(job) : len(job) + 1] in ("-", " ", ".")]
    return max(fit, key=len) if fit else ""


def _kind(field: Field) -> str:
    return field.lists.partition(":")[0].partition(" of ")[0]


def _jobs(field: Field, lists: Lists, _: Mapping[str, str]) -> List[Choice]:
    wanted = field.lists.partition(":")[2]
    jobs = list(lists.get("jobs", ()))
    if wanted and field.kind == SEVERAL:
        jobs = [one for one in jobs if _FITS[wanted](one)]
    elif wanted:
        jobs.sort(key=lambda one: not _FITS[wanted](one))
    return [Choice(one["job"], f"{one['job']}  {one['customer']}: {one['state']}", _job_facts(one)) for one in jobs]


def _job_facts(job: Mapping[str, Any]) -> Any:
    due = job["due"] or ""
    return (
        ("customer", job["customer"] or ""),
        ("phone", job["phone"] or ""),
        ("due", "" if due.startswith("-") or not due.strip("0.") else due),
    )


_FITS: Dict[str, Callable[[Mapping[str, Any]], bool]] = {
    "waits": lambda job: bool(job["waits"]),
    "agreed": lambda job: bool(job["agreed"]) and not job["done"] and not job["billed"],
    "bill": lambda job: bool(job["done"]) and not job["billed"],
    "due": lambda job: bool((job["due"] or "").strip("-0.")),
}
"""Which jobs come first in the list of a form."""


def _job(lists: Lists, values: Mapping[str, str]) -> Mapping[str, Any]:
    return next((one for one in lists.get("jobs", ()) if one["job"] == values.get("job")), {})


def _options(_: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    job = _job(lists, values)
    if job.get("change"):
        return []
    return [Choice(one["code"], f"{one['name']}, {one['total']} {job['currency']}") for one in job.get("options", ())]


def _extras(_: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    options = _job(lists, values).get("options", ())
    option: Mapping[str, Any] = next((one for one in options if one["code"] == values.get("tier")), {})
    return [
        Choice(one["code"], f"{one['code']}, at most {one['at_most']}" if one["at_most"] else one["code"])
        for one in option.get("extras", ())
    ]


def _work(_: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    return [Choice(one["code"], f"{one['code']}: {one['name']}") for one in _job(lists, values).get("work", ())]


def _cores(_: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    return [Choice(one["code"], f"{one['code']}: {one['name']}") for one in _job(lists, values).get("cores", ())]


def _orders(_: Field, lists: Lists, __: Mapping[str, str]) -> List[Choice]:
    return [Choice(one["number"], _order_text(one)) for one in lists.get("orders", ())]


def _order_text(order: Mapping[str, Any]) -> str:
    left = f"{order['open']} to come" if order["open"] else "all came in"
    return f"Order {order['number']} of {order['day']}, {', '.join(order['suppliers'])}: {left}"


def _order_lines(_: Field, lists: Lists, values: Mapping[str, str]) -> List[Choice]:
    orders = lists.get("orders", ())
    order: Mapping[str, Any] = next((one for one in orders if one["number"] == values.get("order")), {})
    return [Choice(one["part"], _line_text(one), (("supplier", one["supplier"]),)) for one in order.get("lines", ())]


def _line_text(line: Mapping[str, Any]) -> str:
    counts = [f"{line['open']} to come" if line["open"] else "", f"{line['received']} here" if line["received"] else ""]
    return f"{line['part']}, {line['supplier']}: {', '.join(filter(None, counts))}"


def _shelf(_: Field, lists: Lists, __: Mapping[str, str]) -> List[Choice]:
    return [Choice(one["code"], f"{one['code']}: {one['on_shelf']} on the shelf") for one in lists.get("shelf", ())]


def _people(_: Field, lists: Lists, __: Mapping[str, str]) -> List[Choice]:
    return [Choice(name, name) for name in lists.get("people", ())]


def _files(field: Field, lists: Lists, _: Mapping[str, str]) -> List[Choice]:
    wanted = field.lists.partition(":")[2]
    return [Choice(one["path"], one["shown"]) for one in lists.get("files", ()) if one["kind"] == wanted]


_LINES: Dict[str, Callable[[Field, Lists, Mapping[str, str]], List[Choice]]] = {
    "jobs": _jobs, "options": _options, "extras": _extras, "work": _work, "cores": _cores, "orders": _orders,
    "lines": _order_lines, "shelf": _shelf, "people": _people, "files": _files,
}  # fmt: skip
