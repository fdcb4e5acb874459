"""A report as one HTML file that needs nothing else: no script, no link, no font of elsewhere; pictures are in it."""

from __future__ import annotations

from base64 import b64encode
from pathlib import Path

from wizard.documents.report.report_tree import Report
from wizard.documents.writers.page.page_nodes import Pages

_HERE = Path(__file__).parent
_TEMPLATE, _STYLE = "report.html.jinja", "report.css"


def html_page(report: Report) -> bytes:
    """The file's bytes, UTF-8. Whatever stands in the report's texts is text in it."""
    # Late: jinja2 takes as long to load as all of the command line.
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    pages = Pages()
    nodes = pages.report(report)

    def data_uri(number: int) -> str:
        image = pages.images[number]
        return f"data:{image.kind};base64,{b64encode(image.data).decode('ascii')}"

    room = Environment(
        loader=FileSystemLoader(_HERE),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    # The drawings and the style sheet are this program's own; ElementTree escaped every text in the first.
    room.globals.update(data_uri=data_uri, drawing=lambda number: Markup(pages.drawings[number]))
    style = Markup((_HERE / _STYLE).read_text(encoding="utf-8"))
    return room.get_template(_TEMPLATE).render(report=nodes, style=style).encode()
