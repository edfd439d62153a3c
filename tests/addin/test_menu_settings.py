"""The menu as the office's settings: entries in order, forms in submenus, names that keep the order."""

from __future__ import annotations

from xml.etree import ElementTree

from quotekit.addin.menu_settings import SERVICE, menu_settings
from quotekit.addin.office.menu_words import MENU, MENU_TITLE, Entry

NAME = "{http://openoffice.org/2001/registry}name"
Nodes = list[ElementTree.Element]


def prop(node: ElementTree.Element, name: str) -> str:
    """A property of a node; empty where it has none."""
    found = next((one for one in node.findall("prop") if one.get(NAME) == name), None)
    return "" if found is None else found.findtext("value") or ""


def below(node: ElementTree.Element, *names: str) -> Nodes:
    """The nodes within a node of a path."""
    for name in names:
        node = next(one for one in node.findall("node") if one.get(NAME) == name)
    return node.findall("node")


def menu(entries: tuple[Entry, ...] = MENU) -> Nodes:
    """What stands in the menu."""
    root = ElementTree.fromstring(menu_settings(entries))
    return below(root, "AddonUI", "OfficeMenuBar", "org.quotekit.menu", "Submenu")


def told(nodes: Nodes) -> list[str]:
    """Titles in the order of their names, as the office puts them; `-` for a line."""
    ordered = sorted(nodes, key=lambda node: (len(node.get(NAME) or ""), node.get(NAME) or ""))
    return ["-" if prop(node, "URL") == "private:separator" else prop(node, "Title") for node in ordered]


def test_entries_stand_in_order_and_groups_below_them() -> None:
    """The office puts shorter names first: all are of one length, or groups came above what is used most."""
    plain = [entry.title for entry in MENU if not entry.group]
    groups = list(dict.fromkeys(entry.group for entry in MENU if entry.group))
    assert told(menu()) == [*plain, "-", *groups]


def test_each_group_holds_its_entries_and_lines() -> None:
    """A line stands above an entry that says so."""
    for node in menu():
        if below_it := [one for one in node.findall("node") if one.get(NAME) == "Submenu"]:
            of_group = [entry for entry in MENU if entry.group == prop(node, "Title")]
            wanted = [word for entry in of_group for word in (["-"] if entry.rule else []) + [entry.title]]
            assert told(below_it[0].findall("node")) == wanted


def test_each_entry_calls_its_word() -> None:
    """By the component of the extension."""
    root = ElementTree.fromstring(menu_settings())
    calls = {
        prop(node, "Title"): prop(node, "URL") for node in root.iter("node") if prop(node, "URL").startswith("serv")
    }
    assert calls == {entry.title: f"service:{SERVICE}?{entry.word}" for entry in MENU}


def test_a_title_is_written_as_text() -> None:
    """Signs of XML in it break nothing."""
    entries = (Entry("a", "A < B & C", "m"), Entry("b", "In", "m", group="Money & parts"))
    assert told(menu(entries)) == ["A < B & C", "-", "Money & parts"]
    assert MENU_TITLE.replace("~", "") in menu_settings(entries)
