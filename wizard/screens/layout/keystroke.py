"""Which keys the guard must look at: what answers, leads elsewhere, or is typed into a field."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.screen import Screen

from wizard.screens.layout.key_guard import ENTER
from wizard.screens.widgets.entry.field import typing

UNDO = "f3"
"""The one function key that does something at once: held, it would take back a whole visit."""

MOVES = frozenset("jk")
"""Letters that only move a mark or a text, as the arrow keys do."""


@dataclass(frozen=True, slots=True)
class Keystroke:
    """A key; whether a field has the keys (``typing``), and whether this one is a character for it (``text``).

    ``more``: behind what is typed the same field asks for more. ``character``: what it types.
    """

    key: str
    text: bool
    typing: bool
    more: bool = False
    character: str = ""


def keystroke(event: events.Key | events.Paste, screen: Screen[object]) -> Keystroke | None:
    """The key, where it is one to look at: a digit, a letter, Enter, undo, or what is typed or pasted into a field.

    None for arrows, other function keys, Escape, Tab, Space and signs outside a field: they answer nothing. None too
    for Enter where the screen times by its keys (``timing``): the moment of the key is what is measured.
    """
    in_field = typing(screen)
    if isinstance(event, events.Paste):
        return Keystroke("paste", True, True) if in_field else None
    if getattr(screen, "takes_words", False) and event.is_printable and not (event.character or "").isdigit():
        return Keystroke(event.key, True, True, character=event.character or "")  # A digit still answers.
    if event.key == ENTER:
        more = in_field and getattr(screen, "takes_more", False)
        return None if getattr(screen, "timing", False) else Keystroke(ENTER, False, in_field, more)
    if event.key == UNDO:
        return Keystroke(UNDO, False, in_field)
    character = event.character or ""
    if in_field and event.is_printable:
        return Keystroke(event.key, True, True, character=character)
    if not character.isalnum() or (not in_field and character in MOVES):
        return None
    return Keystroke(event.key, False, in_field, character=character)
