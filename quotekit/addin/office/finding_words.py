"""What is said of a finding in the window that puts one into a job. No window, no office."""

from __future__ import annotations

from typing import Any, Dict, List, Sequence, Set

OTHER = "OTHER"
SEVERITIES = ("safety", "needed", "advised", "watch")
AS_IN_BOOK = "as in the shop book"

Finding = Dict[str, Any]
"""As the engine tells it: code, words, severity, what to measure in which unit, the limit, what to check also."""

SOMETHING_ELSE: Finding = {
    "code": OTHER, "finding": "Something that is not in this list", "severity": "", "measure": "", "unit": "",
    "fails_when": "", "limit": "", "as_new": "", "limit_source": "", "also_check": [], "needs_side": False,
}  # fmt: skip


def line(finding: Finding) -> str:
    """A line of the list.

    >>> line({"code": "BELT", "finding": "Belt glazed", "severity": "needed"})
    'Belt glazed   [BELT]   needed'
    """
    return "   ".join(filter(None, (finding["finding"], f"[{finding['code']}]", finding["severity"])))


def matching(findings: Sequence[Finding], typed: str) -> List[Finding]:
    """Findings that hold every word typed, anywhere in code, words or what is measured; the last is always there.

    >>> belt = {"code": "BELT", "finding": "Belt glazed", "measure": ""}
    >>> [one["code"] for one in matching([belt, SOMETHING_ELSE], "glaz be")]
    ['BELT', 'OTHER']
    """
    words = typed.casefold().split()
    return [
        one
        for one in findings
        if one["code"] == OTHER
        or all(word in f"{one['code']} {one['finding']} {one['measure']}".casefold() for word in words)
    ]


def facts(finding: Finding) -> str:
    """What to measure and what it is held against.

    >>> facts({"measure": "Bore", "unit": "in", "fails_when": "above", "limit": "0.77", "as_new": "0.753",
    ...        "limit_source": "Shop limit", "code": "B"})
    'Measure: Bore. Fails above 0.77 in (Shop limit); new it is 0.753 in.'
    >>> facts({**SOMETHING_ELSE, "code": "BELT"}), facts(SOMETHING_ELSE)
    ('Judged by eye: nothing is measured.', 'Say in the note what was found, and choose how severe it is.')
    """
    if finding["code"] == OTHER:
        return "Say in the note what was found, and choose how severe it is."
    if not finding["measure"]:
        return "Judged by eye: nothing is measured."
    said = f"Measure: {finding['measure']}."
    unit = f" {finding['unit']}" if finding["unit"] else ""
    if finding["limit"] and finding["fails_when"]:
        source = f" ({finding['limit_source']})" if finding["limit_source"] else ""
        said += f" Fails {finding['fails_when']} {finding['limit']}{unit}{source}"
        said += f"; new it is {finding['as_new']}{unit}." if finding["as_new"] else "."
    return said


def sides(positions: Sequence[str]) -> List[str]:
    """What may stand as a side.

    >>> sides(["left", "right"]), sides(["a", "b", "c"]), sides([])
    (['', 'left', 'right', 'both'], ['', 'a', 'b', 'c', 'all'], [''])
    """
    everywhere = {0: [], 1: [], 2: ["both"]}.get(len(positions), ["all"])
    return ["", *positions, *everywhere]


def incomplete(finding: Finding, side: str, severity: str, note: str) -> str:
    """What is still missing; empty where it can be put in.

    >>> incomplete(SOMETHING_ELSE, "", "", "cracked"), incomplete(SOMETHING_ELSE, "", "needed", "cracked")
    ('Choose how severe it is.', '')
    >>> incomplete({"code": "SKID", "needs_side": True}, "", "", "")
    'Choose the side: every remedy for it is done each side.'
    """
    if finding["needs_side"] and not side:
        return "Choose the side: every remedy for it is done each side."
    if finding["code"] == OTHER and not note.strip():
        return "Say in the note what was found."
    if finding["code"] == OTHER and not severity:
        return "Choose how severe it is."
    if severity and not note.strip():
        return "Say in the note why the severity is not that of the shop book."
    return ""


def already(finding: Finding, side: str, recorded: Sequence[Dict[str, Any]], positions: Sequence[str]) -> str:
    """That it is in the job already, at one of these sides; a finding that is not in the list may come several times.

    >>> recorded = [{"code": "SKID", "sides": ["Both"], "row": 4}]
    >>> already({"code": "SKID"}, "left", recorded, ["left", "right"])
    'It is in the job already: row 4.'
    >>> already({"code": "SKID"}, "", recorded, ["left", "right"]), already({"code": "BELT"}, "", recorded, [])
    ('', '')
    """
    if finding["code"] == OTHER:
        return ""
    wanted = _spread([side] if side else [], positions)
    for one in recorded:
        if one["code"].casefold() == finding["code"].casefold() and wanted & _spread(one["sides"], positions):
            return f"It is in the job already: row {one['row']}."
    return ""


def _spread(sides: Sequence[str], positions: Sequence[str]) -> Set[str]:
    """Sides one by one; without a side, the one side that has no name."""
    named = {one.casefold() for side in sides for one in (positions if side.casefold() in ("both", "all") else [side])}
    return named or {""}


def hint(one: Dict[str, str], findings: Sequence[Finding]) -> str:
    """What to measure or look at next.

    >>> belt = {"code": "BELT", "finding": "Belt glazed", "measure": "Width"}
    >>> hint({"why": "look", "code": "BELT", "side": ""}, [belt])
    'Look next: Belt glazed'
    >>> hint({"why": "measure", "code": "BELT", "side": "left"}, [belt])
    'Measure next: Belt glazed, left'
    """
    named = next((finding["finding"] for finding in findings if finding["code"] == one["code"]), one["code"])
    what = "Measure" if one["why"] == "measure" else "Look"
    return f"{what} next: {named}{', ' + one['side'] if one['side'] else ''}"


def row_values(finding: Finding, typed: Dict[str, str], number: Any) -> Dict[str, Any]:
    """What goes into the row, by header; blank ones are left as they are. `number` is the measurement.

    >>> typed = {"side": "left", "unit": "in", "severity": "", "note": " worn "}
    >>> row_values({"code": "BORE", "unit": "in"}, typed, 0.78)
    {'Finding': 'BORE', 'Side': 'left', 'Measured': 0.78, 'Unit': 'in', 'Severity': '', 'Note': 'worn'}
    """
    unit = typed["unit"].strip() if number is not None else ""
    return {
        "Finding": finding["code"],
        "Side": typed["side"],
        "Measured": number,
        "Unit": unit,
        "Severity": typed["severity"],
        "Note": typed["note"].strip(),
    }
