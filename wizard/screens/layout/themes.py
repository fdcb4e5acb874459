"""Two themes of our own, dark and light; every text on its ground has at least 7:1 (WCAG 2.2, 1.4.6)."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="steadfoot-dark",
    dark=True,
    primary="#9cd0f5",
    secondary="#c9c2b2",
    accent="#9cd0f5",
    foreground="#f4f1e8",
    background="#101316",
    surface="#101316",
    panel="#22282e",
    success="#8fdc9a",
    warning="#ffcf5c",
    error="#ffa196",
    text_alpha=1.0,
    variables={
        "ink": "#f4f1e8",
        "faint": "#b9b4a8",
        "rule": "#5d666e",
        "key": "#101316",
        "key-ground": "#e8e2d2",
        "danger": "#ffa196",
        "caution": "#ffe27a",
        "notice": "#9cd0f5",
        "input-cursor-background": "#f4f1e8",
        "input-cursor-foreground": "#101316",
        "input-selection-background": "#3d5568",
    },
)
LIGHT = Theme(
    name="steadfoot-light",
    dark=False,
    primary="#0d4a78",
    secondary="#4a4438",
    accent="#0d4a78",
    foreground="#15181b",
    background="#fbf9f3",
    surface="#fbf9f3",
    panel="#e9e4d8",
    success="#0c5426",
    warning="#6b4300",
    error="#8f130b",
    text_alpha=1.0,
    variables={
        "ink": "#15181b",
        "faint": "#4b4a45",
        "rule": "#8b877c",
        "key": "#fbf9f3",
        "key-ground": "#2b2f33",
        "danger": "#8f130b",
        "caution": "#5c4a00",
        "notice": "#0d4a78",
        "input-cursor-background": "#15181b",
        "input-cursor-foreground": "#fbf9f3",
        "input-selection-background": "#b9d3e6",
    },
)
THEMES = (DARK, LIGHT)


def other(name: str) -> str:
    """The theme that the key leads to from this one."""
    return LIGHT.name if name == DARK.name else DARK.name
