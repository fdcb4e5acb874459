"""What Textual painted, as text: the one place that looks into its compositor.

Textual gives the composed screen to others only as an SVG. Its lines are read here, so that nobody else needs to know
where they are kept.
"""

from __future__ import annotations

from textual.app import App
from textual.strip import Strip


def strips(app: App[object]) -> list[Strip]:
    """The lines of the screen on top, styles and all, before the line filters of the program."""
    return app.screen._compositor.render_strips()


def rows(app: App[object]) -> list[str]:
    """The characters of each line, trailing spaces left in; what only steers the terminal is left out."""
    return ["".join(part.text for part in strip if not part.control) for strip in strips(app)]
