"""Pictures of reports as a browser shows and prints them: three jobs of our own, at a desk, on a phone, on a sheet.

They need a Chromium, and the sheet pdftoppm of Poppler. Fonts differ between computers, so no test compares them: what
they show is looked at by ``tests/documents/report/test_report_browser.py``.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

from screenshots.shots import SEAL, masked
from tests.helpers import report_jobs as jobs
from tests.helpers.papers.page_browser import pictured, printed
from tests.helpers.terminal_program.browser import found
from wizard.sessions.report_writing import write_report
from wizard.sessions.session_store import Store

DESK, PHONE, SHEET = "report-proved-desk", "report-declined-phone", "report-nothing-sheet"
"""The pictures by their names."""

DPI = 80


def pictures(folder: Path) -> list[str]:
    """Make them into a folder; the names of those that could be made here."""
    browser = found()
    if browser is None:
        print("No Chromium here: the pictures of reports are left as they are.")
        return []
    with tempfile.TemporaryDirectory() as temporary:
        work = Path(temporary)
        store = jobs.Store(work / "home", jobs.CaseClock(), jobs.sound)
        pages = {case: _page(store, name) for case, name in jobs.demo_home(work / "home").items()}
        pictured(browser, pages[jobs.PROVED], 1000, 1700, folder / f"{DESK}.png", work)
        pictured(browser, pages[jobs.DECLINED], 360, 1500, folder / f"{PHONE}.png", work)
        return [DESK, PHONE, *_sheet(printed(browser, pages[jobs.NOTHING], "A4", work), folder, work)]


def _page(store: Store, session: str) -> Path:
    """A report with zeros for its seals: every byte of a flow goes into them, so each change there would show."""
    path = write_report(store, session).path
    path.write_text(SEAL.sub(masked, path.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
    return path


def _sheet(pdf: bytes, folder: Path, work: Path) -> list[str]:
    """The first sheet of a print."""
    if shutil.which("pdftoppm") is None:
        print(f"No pdftoppm here: {SHEET}.png is left as it is.")
        return []
    (work / "sheet.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-png", "-r", str(DPI), "-f", "1", "-l", "1", "-singlefile"]
    subprocess.run([*command, str(work / "sheet.pdf"), str(folder / SHEET)], check=True, timeout=60)
    return [SHEET]
