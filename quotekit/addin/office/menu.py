"""Carries out a word of the menu: `menu_words` says which module does it; it is loaded when it is first chosen."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from .being_typed import finish_typing
from .desk import Desk
from .menu_words import MENU


def run(context: Any, word: str) -> None:
    """Do what was chosen. Nothing is raised: what goes wrong is told in a window."""
    desk = Desk(context)
    try:
        finish_typing(desk)
        entry = next(entry for entry in MENU if entry.word == word)
        module = import_module(f".{entry.module}", __package__)
        if entry.form:
            module.open_form(desk, entry.form)
        else:
            module.run(desk)
    except Exception:
        desk.fault()
