"""Settings of the office as XML: a file of one component, and the nodes and properties in it."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape


def settings_file(component: str, inner: Iterable[str], package: str = "org.openoffice.Office") -> str:
    """The file of a component's settings."""
    start = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<oor:component-data xmlns:oor="http://openoffice.org/2001/registry"'
        ' xmlns:xs="http://www.w3.org/2001/XMLSchema"'
        f' oor:name="{component}" oor:package="{package}">'
    )
    return "\n".join([start, *inner, "</oor:component-data>", ""])


def node(name: str, inner: Iterable[str]) -> str:
    """A node that is added, with what is in it."""
    return "\n".join([f'<node oor:name="{name}" oor:op="replace">', *inner, "</node>"])


def within(name: str, inner: Iterable[str]) -> list[str]:
    """A node that the office has, with what is added in it."""
    return [f'<node oor:name="{name}">', *inner, "</node>"]


def said(name: str, words: str, kind: str = "") -> str:
    """A property that a person reads."""
    return f'<prop oor:name="{name}"{kind}><value xml:lang="en-US">{escape(words)}</value></prop>'
