"""A page as headless Chromium lays it out: where its parts come to lie at a width, and on how many sheets it prints."""

from __future__ import annotations

import html
import json
import re
import subprocess
from pathlib import Path
from typing import Any

from tests.helpers.terminal_program.browser import OPTIONS

SCREEN = tuple(o for o in OPTIONS if o != "--dump-dom")
FRAME = """<!doctype html><body style="margin:0">
<iframe id="f" src="{page}" style="width:{width}px;height:900px;border:0"></iframe><script>
f.onload = () => {{
  const d = f.contentDocument, found = [];
  for (const e of d.querySelectorAll({select})) {{
    const r = e.getBoundingClientRect();
    found.push({{name: e.tagName.toLowerCase(), cls: e.getAttribute("class") || "", left: r.left, right: r.right,
      top: r.top + d.defaultView.scrollY, bottom: r.bottom + d.defaultView.scrollY,
      size: parseFloat(d.defaultView.getComputedStyle(e).fontSize), text: e.textContent.slice(0, 200),
      fill: e.getAttribute("fill") || "", d: e.getAttribute("d") || ""}});
  }}
  const whole = {{inner: d.documentElement.clientWidth, scroll: d.documentElement.scrollWidth, found}};
  const out = document.createElement("pre");
  out.id = "measured";
  out.textContent = JSON.stringify(whole);
  document.body.append(out);
}};
</script>"""


def laid_out(browser: str, page: Path, width: int, select: str, folder: Path) -> dict[str, Any]:
    """The page's inner width and what it would scroll to, and the box of each element that a selector finds, in
    pixels of a window of some width; ``size``: of its letters.
    """
    frame = folder / "frame.html"
    frame.write_text(
        FRAME.format(page=page.as_uri(), width=width, select=json.dumps(select)),
        encoding="utf-8",
        newline="\n",
    )
    command = [browser, *OPTIONS, "--allow-file-access-from-files", f"--user-data-dir={folder / 'profile'}"]
    run = subprocess.run(
        [*command, "--window-size=1600,1000", frame.as_uri()],
        capture_output=True, text=True, encoding="utf-8", timeout=90, check=False,
    )  # fmt: skip
    said = re.search(r'<pre id="measured">(.*)</pre>', run.stdout, re.S)
    assert said, f"{browser} measured nothing (exit {run.returncode}):\n{run.stderr[-2000:]}"
    measured: dict[str, Any] = json.loads(html.unescape(said[1]))
    return measured


def printed(browser: str, page: Path, paper: str, folder: Path) -> bytes:
    """The PDF that the browser prints of a page on a paper (``A4``, ``letter``)."""
    sized, pdf = folder / f"{paper}.html", folder / f"{paper}.pdf"
    text = page.read_text(encoding="utf-8").replace("<style>", f"<style>@page {{ size: {paper} }}", 1)
    sized.write_text(text, encoding="utf-8", newline="\n")
    command = [browser, *SCREEN, f"--user-data-dir={folder / 'profile'}", "--no-pdf-header-footer"]
    subprocess.run(
        [*command, f"--print-to-pdf={pdf}", sized.as_uri()], capture_output=True, timeout=90, check=False
    )
    return pdf.read_bytes()


def sheets(pdf: bytes) -> int:
    """How many pages a PDF of the browser's has."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def pictured(browser: str, page: Path, width: int, height: int, png: Path, folder: Path) -> None:
    """A picture of the page in a window of this size, from its top."""
    frame = folder / "shown.html"
    frame.write_text(
        f'<!doctype html><body style="margin:0;overflow:hidden"><iframe src="{page.as_uri()}" scrolling="no" '
        f'style="width:{width}px;height:{height}px;border:0"></iframe>',
        encoding="utf-8",
        newline="\n",
    )
    command = [browser, *SCREEN, "--allow-file-access-from-files", "--hide-scrollbars"]
    size = (f"--user-data-dir={folder / 'profile'}", f"--window-size={width},{height}", f"--screenshot={png}")
    subprocess.run([*command, *size, frame.as_uri()], capture_output=True, timeout=90, check=False)
    assert png.is_file(), f"{browser} took no picture of {page}"
