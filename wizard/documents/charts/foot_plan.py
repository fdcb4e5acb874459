"""The machine from above: its four feet, and at each the turns to give it, or what was read there."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.documents.document_tree import Chart

FEET = ("front left", "front right", "rear left", "rear right")
_WIDE = 18


def turn_words(turns: float) -> str:
    """'1 1/4 out', '3/8 in', 'leave': to the nearest eighth of a turn, as a spanner is turned."""
    eighths = round(abs(turns) * 8)
    if not eighths:
        return "leave"
    whole, part = divmod(eighths, 8)
    shown = {0: "", 1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}[part]
    number = " ".join(x for x in (str(whole) if whole else "", shown) if x)
    return f"{number} {'out' if turns > 0 else 'in'}"


def foot_plan(words: Mapping[str, str], plain: bool = False) -> Chart:
    """The machine seen from above, the front at the bottom. ``words`` by foot; a foot not named sets itself."""
    labels = {foot: words.get(foot, "sets itself") for foot in FEET}
    across, down = ("-", "|") if plain else ("─", "│")
    corners = ("+", "+", "+", "+") if plain else ("┌", "┐", "└", "┘")
    foot = "o" if plain else "●"
    wall = 2 * _WIDE
    lines = (
        "rear, at the wall".center(wall + 2).rstrip(),
        f"{corners[0]}{across * wall}{corners[1]}",
        _row(down, foot, wall),
        _side(down, labels["rear left"], labels["rear right"], wall),
        f"{down}{' ' * wall}{down}",
        f"{down}{'seen from above'.center(wall)}{down}",
        f"{down}{' ' * wall}{down}",
        _side(down, labels["front left"], labels["front right"], wall),
        _row(down, foot, wall),
        f"{corners[2]}{across * wall}{corners[3]}",
        "front, where you stand".center(wall + 2).rstrip(),
    )
    return Chart(lines)


def _row(down: str, foot: str, wall: int) -> str:
    return f"{down} {foot}{' ' * (wall - 4)}{foot} {down}"


def _side(down: str, left: str, right: str, wall: int) -> str:
    room = wall - 2
    return f"{down} {left}{right.rjust(room - len(left))} {down}"


def turns(given: Mapping[str, float], plain: bool = False) -> Chart:
    """The turns to give each foot, drawn from above; out means that the corner rises."""
    return foot_plan({foot: turn_words(value) for foot, value in given.items()}, plain)
