"""A ruler as an SVG of our own: bands with their words, edges with their figures, readings by shape and by word.

Nothing rests on colour: what fails is hatched askew, what is watched upright, and each band says its word where it has
room; before a repair a hollow ring, after it a filled diamond. No id, no style sheet, no reference: it stands anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.etree import ElementTree

from wizard.documents.ruler_picture import MarkKind, RulerBand, RulerEdge, RulerMark, RulerPicture
from wizard.domain.vocabulary import Verdict
from wizard.foreign.harmless import harmless

WIDTH, _PAD = 340.0, 8.0
_LANE, _BAR, _FONT, _SMALL, _LETTER = 17.0, 17.0, 11.0, 10.0, 0.56
_INK, _PAPER = "#1a1a1a", "#ffffff"
_FILLS = {Verdict.PASS: "#d9efdd", Verdict.WATCH: "#fdf0c4", Verdict.FAIL: "#f7d9d4"}
_HATCH = {Verdict.WATCH: "#c9a227", Verdict.FAIL: "#c2766b"}
_SHORT = {Verdict.PASS: "good", Verdict.WATCH: "watch", Verdict.FAIL: "not good"}
_FACE = "Helvetica, Arial, 'DejaVu Sans', sans-serif"

Element = ElementTree.Element
Attributes = dict[str, str | float]


def ruler_svg(ruler: RulerPicture) -> str:
    """The drawing as text; its width is 340 units, its height goes by how many readings have words."""
    named = [m for m in ruler.marks if m.kind is not MarkKind.OTHER]
    top, stems = 4.0 + _LANE * len(named), [_x(mark.at) for mark in named]
    edges = list(_edge_rows(ruler.edges))
    height = top + _BAR + 17.0 + 12.0 * max((row for _edge, row in edges), default=0)
    root = Element("svg", xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH:g} {height:g}", role="img")
    root.set("aria-label", harmless(ruler.says))
    for band in ruler.bands:
        _band(root, band, top)
    for number, (edge, row) in enumerate(edges):
        unit = f" {ruler.unit}" if ruler.unit and number == len(edges) - 1 else ""
        _edge(root, edge, row, unit, top)
    for mark in ruler.marks:
        if mark.kind is MarkKind.OTHER:
            _add(root, "circle", cx=_x(mark.at), cy=top + _BAR / 2, r=2.0, fill=_INK)
    for lane, mark in enumerate(named):
        _mark(root, mark, 4.0 + _LANE * lane, top, stems[:lane])
    for band in ruler.bands:
        _band_word(root, band, top, stems)
    return ElementTree.tostring(root, encoding="unicode")


def _x(share: float) -> float:
    return _PAD + share * (WIDTH - 2 * _PAD)


def _add(root: Element, tag: str, /, **attributes: str | float) -> Element:
    named = {
        key.replace("_", "-"): f"{v:.1f}" if isinstance(v, float) else v for key, v in attributes.items()
    }
    return ElementTree.SubElement(root, tag, named)


def _room(text: str, size: float) -> float:
    """About how wide a text is drawn."""
    return len(text) * size * _LETTER


def _band(root: Element, band: RulerBand, top: float) -> None:
    left, right = _x(band.start), _x(band.end)
    if right - left < 0.5:
        return
    box: Attributes = {"x": left, "y": top, "width": right - left, "height": _BAR}
    _add(root, "rect", **box, fill=_FILLS[band.verdict])
    if lines := " ".join(_hatch(band.verdict, left, right, top)):
        _add(root, "path", d=lines, stroke=_HATCH[band.verdict], stroke_width=0.7, fill="none")
    _add(root, "rect", **box, fill="none", stroke=_INK, stroke_width=0.8)


def _band_word(root: Element, band: RulerBand, top: float, stems: Sequence[float]) -> None:
    """The word in the middle of its band, or beside a reading's line; where there is no place beside it, over it."""
    left, right = _x(band.start), _x(band.end)
    word = next((w for w in (band.words, _SHORT[band.verdict]) if _room(w, _SMALL) + 6 <= right - left), "")
    if not word:
        return
    wide = _room(word, _SMALL) + 4
    places = ((left + right - wide) / 2, left + 2, right - wide - 2)
    at = next((p for p in places if not any(p - 1 < stem < p + wide + 1 for stem in stems)), places[0])
    _add(root, "rect", x=at, y=top + 2.5, width=wide, height=_BAR - 5, fill=_FILLS[band.verdict])
    _text(root, word, at + wide / 2, top + _BAR - 5.0, _SMALL, "middle")


def _hatch(verdict: Verdict, left: float, right: float, top: float) -> Iterator[str]:
    """Lines within the band: askew for what fails, upright for what is watched, none for what is good."""
    slope = {Verdict.FAIL: _BAR, Verdict.WATCH: 0.0}.get(verdict)
    if slope is None:
        return
    at = left + 4.0 - slope
    while at < right:
        # From (at, bottom) to (at + slope, top), cut where it leaves the band.
        low, high = max(at, left), min(at + slope, right)
        if high >= low:
            up, down = ((low - at) / slope, (high - at) / slope) if slope else (0.0, 1.0)
            bottom = top + _BAR
            yield f"M{low:.1f} {bottom - up * _BAR:.1f}L{high:.1f} {bottom - down * _BAR:.1f}"
        at += 5.0


def _edge_rows(edges: Sequence[RulerEdge]) -> Iterator[tuple[RulerEdge, int]]:
    """Each edge with the row that its figure stands in: a second one where the first has no room."""
    ends = [0.0, 0.0]
    for edge in edges:
        half = _room(edge.figure, _SMALL) / 2 + 3
        row = 0 if _x(edge.at) - half >= ends[0] else 1
        ends[row] = _x(edge.at) + half
        yield edge, row


def _edge(root: Element, edge: RulerEdge, row: int, unit: str, top: float) -> None:
    bottom = top + _BAR
    _add(
        root,
        "path",
        d=f"M{_x(edge.at):.1f} {top:.1f}V{bottom + 4 + 12 * row:.1f}",
        stroke=_INK,
        stroke_width=1.2,
    )
    half = _room(edge.figure, _SMALL) / 2
    start = min(_x(edge.at) - half, WIDTH - 2 - _room(edge.figure + unit, _SMALL))
    _text(root, edge.figure + unit, start, bottom + 14.0 + 12.0 * row, _SMALL, "start")


def _mark(root: Element, mark: RulerMark, lane: float, top: float, crossed: Sequence[float]) -> None:
    """A reading in its lane: the stem down to the bar, the arms of its uncertainty, its shape, its words."""
    x, y = _x(mark.at), lane + _LANE / 2
    dashes = "2 2" if mark.kind is MarkKind.BEFORE else ""
    _add(
        root, "path", d=f"M{x:.1f} {y:.1f}V{top + _BAR:.1f}", stroke=_INK, stroke_width=1.0, **_dashed(dashes)
    )
    low, high = _x(mark.low), _x(mark.high)
    _add(root, "path", d=f"M{low:.1f} {y:.1f}H{high:.1f}M{low:.1f} {y - 3:.1f}v6M{high:.1f} {y - 3:.1f}v6",
         stroke=_INK, stroke_width=1.0, fill="none")  # fmt: skip
    filled = mark.kind is MarkKind.AFTER
    _add(root, "path", d=_shape(mark, x, y), fill=_INK if filled else _PAPER, stroke=_INK, stroke_width=1.5)
    wide, right, left = _room(mark.words, _FONT), max(high, x + 6) + 5, min(low, x - 6) - 5
    clear = not any(right - 2 <= stem <= right + wide for stem in crossed)
    if right + wide <= WIDTH and (clear or left - wide < 0):
        _text(root, mark.words, right, y + 4.0, _FONT, "start")
    elif left - wide >= 0:
        _text(root, mark.words, left, y + 4.0, _FONT, "end")
    else:
        _text(root, mark.words, max(0.0, WIDTH - wide), y + 4.0, _FONT, "start")


def _dashed(dashes: str) -> Attributes:
    return {"stroke_dasharray": dashes} if dashes else {}


def _shape(mark: RulerMark, x: float, y: float) -> str:
    """A ring or a diamond; beyond an end an arrow that points there."""
    if mark.beyond:
        tip = x + 5.0 * mark.beyond
        return f"M{tip:.1f} {y:.1f}L{tip - 9 * mark.beyond:.1f} {y - 5:.1f}V{y + 5:.1f}Z"
    if mark.kind is MarkKind.AFTER:
        return f"M{x:.1f} {y - 6:.1f}l5 6l-5 6l-5 -6Z"
    return f"M{x - 5:.1f} {y:.1f}a5 5 0 1 0 10 0a5 5 0 1 0 -10 0Z"


def _text(root: Element, text: str, x: float, y: float, size: float, anchor: str) -> None:
    """A text on a rim of paper, so that no line runs through it."""
    rim: Attributes = {
        "stroke": _PAPER,
        "stroke_width": 3.0,
        "stroke_linejoin": "round",
        "paint_order": "stroke",
    }
    face: Attributes = {"font_size": size, "font_family": _FACE, "fill": _INK, "text_anchor": anchor}
    _add(root, "text", x=x, y=y, **face, **rim).text = harmless(text)
