"""A report as a tagged PDF by the rules of PDF/UA-1 (ISO 14289-1); it needs the extra ``pdf``."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from wizard.documents.report.report_tree import Report
from wizard.documents.writers.page.page_nodes import Pages
from wizard.errors import UsageError
from wizard.foreign.harmless import harmless
from wizard.foreign.image_file import ImageKind

STANDARD: Final = "ua-1"
NEEDED = (
    "A PDF needs the extra 'pdf': pip install 'steadfoot[pdf]'. The HTML has the same, and prints as well."
)

_TEMPLATE = "report.typ"
_SUFFIXES: Mapping[ImageKind, str] = {ImageKind.PNG: ".png", ImageKind.JPEG: ".jpg"}
_UNSHOWN = "(The picture can't be shown in a PDF; the HTML has it.)"


def pdf_pages(report: Report) -> bytes:
    """The file's bytes. UsageError where the extra is missing, or no PDF can be made of what the report holds.

    The texts go in as data, never as markup. A photo that can't be decoded is left out, and that is said in its place.
    """
    try:
        import typst
    except ImportError:
        raise UsageError(NEEDED) from None
    pages = Pages()
    nodes = pages.report(report)
    try:
        return _compiled(nodes, pages)
    except typst.TypstError as first:
        if not pages.images:
            raise _refused(first) from first
    try:
        return _compiled(_bare(nodes), pages)
    except typst.TypstError as error:
        raise _refused(error) from error


def _refused(error: Exception) -> UsageError:
    why = re.sub(r"\s+", " ", str(error)).strip()[:300]
    return UsageError(
        harmless(f"No PDF can be made of this report ({why}). The HTML has the same, and prints as well.")
    )


def _compiled(nodes: Mapping[str, Any], pages: Pages) -> bytes:
    """The PDF of the nodes; all that it is made of lies in a folder for this user's eyes alone, and only until then."""
    import typst

    with TemporaryDirectory(prefix="report-") as temporary:
        folder = Path(temporary)
        names = [f"image{n}{_SUFFIXES[image.kind]}" for n, image in enumerate(pages.images)]
        for name, image in zip(names, pages.images, strict=True):
            (folder / name).write_bytes(image.data)
        for number, drawing in enumerate(pages.drawings):
            (folder / f"drawing{number}.svg").write_text(drawing, encoding="utf-8")
        (folder / "nodes.json").write_text(json.dumps(nodes), encoding="utf-8")
        (folder / "images.json").write_text(json.dumps(names), encoding="utf-8")
        (folder / _TEMPLATE).write_bytes((Path(__file__).parent / _TEMPLATE).read_bytes())
        made = typst.compile(folder / _TEMPLATE, root=folder, format="pdf", pdf_standards=STANDARD)
    assert isinstance(made, bytes)
    return made


def _bare(node: Any) -> Any:
    """The same nodes without photos; a line says so in the place of each."""
    if isinstance(node, list):
        return [_bare(one) for one in node]
    if not isinstance(node, Mapping):
        return node
    bare = {key: _bare(value) for key, value in node.items()}
    if bare.get("image") is not None:
        told = {"spans": [{"text": _UNSHOWN, "emphasis": "none"}], "remark": ""}
        return {**bare, "image": None, "caption": [*bare["caption"], told]}
    return {**bare, "logo": None} if "logo" in bare else bare
