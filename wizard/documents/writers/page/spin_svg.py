"""Two recorded spins as an SVG of our own: before by a dashed line with rings, after by a full one with diamonds.

Nothing rests on colour; no id, no style sheet, no reference: it stands anywhere.
"""

from __future__ import annotations

from xml.etree import ElementTree

from wizard.documents.spin_picture import Course, SpinPicture
from wizard.foreign.harmless import harmless

WIDTH, HEIGHT = 340.0, 170.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 6.0, 18.0, 22.0
_INK, _PAPER, _FAINT = "#1a1a1a", "#ffffff", "#9a9a9a"
_FACE = "Helvetica, Arial, 'DejaVu Sans', sans-serif"
_MOST = 60  # points of a line

Element = ElementTree.Element


def spin_svg(picture: SpinPicture) -> str:
    """The drawing as text, 340 units wide and 170 high."""
    root = Element("svg", xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}", role="img")
    root.set("aria-label", harmless(picture.says))
    for part in picture.parts:
        left, right = _x(part.start), _x(part.end)
        _path(root, f"M{left:.1f} {_TOP:.1f}H{right:.1f}V{_y(0):.1f}H{left:.1f}Z", _FAINT, 0.8)
        _text(root, part.name, (left + right) / 2, HEIGHT - 7, "middle")
    for share, words in ((0.0, "0"), (1.0, f"{picture.top:.2g}")):
        _text(root, words, _LEFT - 4, _y(share) + 4, "end")
    _text(root, picture.unit, 2, 11, "start")
    for course in picture.before:
        _line(root, course, "4 3")
    for course in picture.after:
        _line(root, course, "")
    for courses, ring in ((picture.before, True), (picture.after, False)):
        for course in courses:
            _marks(root, course, ring)
    _legend(root)
    return ElementTree.tostring(root, encoding="unicode")


def _x(share: float) -> float:
    return _LEFT + share * (WIDTH - _LEFT - _RIGHT)


def _y(share: float) -> float:
    return HEIGHT - _BOTTOM - share * (HEIGHT - _TOP - _BOTTOM)


def _path(root: Element, way: str, stroke: str, width: float, dashes: str = "", fill: str = "none") -> None:
    made = {"d": way, "stroke": stroke, "stroke-width": f"{width:g}", "fill": fill}
    ElementTree.SubElement(root, "path", made | ({"stroke-dasharray": dashes} if dashes else {}))


def _line(root: Element, course: Course, dashes: str) -> None:
    points = sorted(course[:: max(1, len(course) // _MOST)])
    if len(points) > 1:
        _path(root, "M" + "L".join(f"{_x(x):.1f} {_y(y):.1f}" for x, y in points), _INK, 1.3, dashes)


def _marks(root: Element, course: Course, ring: bool) -> None:
    """A few rings or diamonds along a course."""
    points = sorted(course)
    for x, y in points[len(points) // 8 :: max(1, len(points) // 4)]:
        _mark(root, _x(x), _y(y), ring)


def _mark(root: Element, x: float, y: float, ring: bool) -> None:
    if ring:
        _path(root, f"M{x - 3.5:.1f} {y:.1f}a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0Z", _INK, 1.2, fill=_PAPER)
    else:
        _path(root, f"M{x:.1f} {y - 4.5:.1f}l4 4.5l-4 4.5l-4 -4.5Z", _INK, 1.2, fill=_INK)


def _legend(root: Element) -> None:
    """Before and after in words, each with its sign."""
    for left, words, ring in ((120.0, "before", True), (210.0, "after", False)):
        _mark(root, left, 8, ring)
        _text(root, words, left + 9, 12, "start")


def _text(root: Element, words: str, x: float, y: float, anchor: str) -> None:
    made = {
        "x": f"{x:.1f}",
        "y": f"{y:.1f}",
        "font-size": "11",
        "font-family": _FACE,
        "fill": _INK,
        "text-anchor": anchor,
    }
    ElementTree.SubElement(root, "text", made).text = harmless(words)
