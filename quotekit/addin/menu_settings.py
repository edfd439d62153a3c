"""The office's settings that make the menu and the toolbar, from the table of entries."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from xml.sax.saxutils import escape

from quotekit.addin.office.menu_words import MENU, MENU_TITLE, Entry
from quotekit.addin.settings_xml import node, said, settings_file, within

SPREADSHEET = "com.sun.star.sheet.SpreadsheetDocument"
SERVICE = "org.quotekit.Actions"
TOOLBAR = "org.quotekit.toolbar"

_TEXT = ' oor:type="xs:string"'


def menu_settings(entries: Iterable[Entry] = MENU) -> str:
    """`Addons.xcu`: a menu of its own in spreadsheets, and a toolbar with the entries that are buttons."""
    entries = list(entries)
    menu = node("org.quotekit.menu", [_text("Title", MENU_TITLE), _plain("Context", SPREADSHEET), *_submenu(entries)])
    buttons = [_entry(f"b{number:02}", entry) for number, entry in enumerate(entries, 1) if entry.button]
    bar = node(TOOLBAR, [_text("Title", MENU_TITLE.replace("~", "")), *buttons])
    inner = [*within("OfficeMenuBar", [menu]), *within("OfficeToolBar", [bar])]
    return settings_file("Addons", within("AddonUI", inner))


def toolbar_place() -> str:
    """`CalcWindowState.xcu`: the toolbar has a title and is docked under the others, where it would else float."""
    title = _text("UIName", MENU_TITLE.replace("~", ""))
    docked = [f'<prop oor:name="{name}"><value>{value}</value></prop>' for name, value in _DOCKED.items()]
    bar = node(f"private:resource/toolbar/addon_{TOOLBAR}", [title, *docked])
    inner = within("UIElements", within("States", [bar]))
    return settings_file("CalcWindowState", inner, "org.openoffice.Office.UI")


_DOCKED = {"Docked": "true", "DockingArea": "0", "DockPos": "0,3", "Visible": "true", "Style": "0"}


def _submenu(entries: Iterable[Entry]) -> list[str]:
    """The entries in order; those of a group in a submenu of its title, the first of which has a line above.

    The names of nodes are of one length: the office puts shorter ones first.
    """
    lines: list[str] = []
    for number, (group, of_group) in enumerate(groupby(entries, key=lambda entry: entry.group)):
        if not group:
            lines += _entries(f"m{number:02}", of_group)
            continue
        if number == 1:
            lines.append(_separator(f"m{number:02}00a"))
        titles = [_text("Title", group), _plain("Context", SPREADSHEET)]
        lines.append(node(f"m{number:02}00b", [*titles, *within("Submenu", _entries("m", of_group))]))
    return within("Submenu", lines)


def _entries(before: str, entries: Iterable[Entry]) -> list[str]:
    lines: list[str] = []
    for number, entry in enumerate(entries, 1):
        if entry.rule:
            lines.append(_separator(f"{before}{number:02}a"))
        lines.append(_entry(f"{before}{number:02}b", entry))
    return lines


def _separator(name: str) -> str:
    return node(name, [_plain("URL", "private:separator")])


def _entry(name: str, entry: Entry) -> str:
    call = f"service:{SERVICE}?{entry.word}"
    titles = [_text("Title", entry.title)]
    return node(name, [_plain("URL", call), *titles, _plain("Target", "_self"), _plain("Context", SPREADSHEET)])


def _plain(name: str, value: str) -> str:
    return f'<prop oor:name="{name}"{_TEXT}><value>{escape(value)}</value></prop>'


def _text(name: str, value: str) -> str:
    return said(name, value, _TEXT)
