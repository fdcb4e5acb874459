"""A report as a tagged PDF by the rules of PDF/UA-1 (ISO 14289-1); it needs the extra ``pdf``."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Mapping
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
_TRIES = 8
_NO_FONT = re.compile(r'the text `"(.+?)"` could not be displayed', re.S)
_CODE = re.compile(r"\\u\{([0-9a-f]+)\}")
_DAMAGED = "failed to decode image"
_UNSHOWN = "(The picture can't be shown in a PDF; the HTML has it.)"


def pdf_pages(report: Report) -> bytes:
    """The file's bytes. UsageError where the extra is missing, or no PDF can be made of what the report holds.

    The texts go in as data, never as markup. A photo that can't be decoded is left out, and that is said in its place;
    a sign that no font here has is written as its code, a letter is not: then the error says which one.
    """
    try:
        import typst
    except ImportError:
        raise UsageError(NEEDED) from None
    pages = Pages()
    nodes: Any = pages.report(report)
    for _ in range(_TRIES):
        try:
            return _compiled(nodes, pages)
        except typst.TypstError as error:
            mended = _mended(nodes, str(error))
            if mended == nodes:
                raise _refused(str(error)) from error
            nodes = mended
    raise _refused("too many signs in it that no font here has")


def _mended(nodes: Any, why: str) -> Any:
    """The nodes without what the standard refuses; the same ones where that can't be left out."""
    if (sign := _undrawn(why)) and not any(unicodedata.category(c)[0] in "LM" for c in sign):
        return _changed(nodes, lambda text: text.replace(sign, sign.encode("unicode_escape").decode("ascii")))
    return _bare(nodes) if _DAMAGED in why else nodes


def _undrawn(why: str) -> str:
    """The sign that no font has, by the error's words; empty where it is of something else."""
    found = _NO_FONT.search(why)
    return _CODE.sub(lambda code: chr(int(code[1], 16)), found[1]) if found else ""


def _refused(why: str) -> UsageError:
    if letter := _undrawn(why):
        text = f"No PDF can be made of this report: no font of this computer has {letter!r}. Install one that has it."
    else:
        text = f"No PDF can be made of this report ({' '.join(why.split())[:300]})."
    return UsageError(harmless(f"{text} The HTML has the same, and prints as well."))


def _changed(node: Any, change: Callable[[str], str]) -> Any:
    """The same nodes with every text changed."""
    if isinstance(node, str):
        return change(node)
    if isinstance(node, list):
        return [_changed(one, change) for one in node]
    return {k: _changed(v, change) for k, v in node.items()} if isinstance(node, Mapping) else node


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
