"""Pictures of reports of three jobs of our own: as a browser shows and prints them, and the first page of each PDF.

They need a Chromium; the sheet and the pages of the PDF need pdftoppm of Poppler, those pages the extra 'pdf' too.
Fonts differ between computers, so no test compares them: what they show is looked at by
``tests/documents/report/test_report_browser.py``, and what a PDF says by ``test_report_structure.py`` beside it.
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
from wizard.errors import UsageError
from wizard.sessions.report_writing import ReportForm, write_report
from wizard.sessions.session_store import Store

DESK, PHONE, SHEET = "report-proved-desk", "report-declined-phone", "report-nothing-sheet"
"""The pictures by their names."""

PAGES = {
    jobs.PROVED: "report-proved-pdf",
    jobs.DECLINED: "report-declined-pdf",
    jobs.NOTHING: "report-nothing-pdf",
}
"""The first pages of the PDF, by the job."""

DPI = 80


def pictures(folder: Path) -> list[str]:
    """Make them into a folder; the names of those that could be made here."""
    return [*_in_browser(folder), *pdf_pages(folder)]


def pdf_pages(folder: Path) -> list[str]:
    """The first page of the PDF of each job; the names of those that could be made here."""
    with tempfile.TemporaryDirectory() as temporary:
        work = Path(temporary)
        store = jobs.Store(work / "home", jobs.CaseClock(), jobs.sound)
        made: list[str] = []
        for case, name in jobs.demo_home(work / "home").items():
            try:
                path = write_report(store, name, form=ReportForm.PDF).path
            except UsageError as problem:
                print(f"{PAGES[case]}.png is left as it is: {problem}")
                continue
            made += _first(path.read_bytes(), PAGES[case], folder, work)
        return made


def _in_browser(folder: Path) -> list[str]:
    browser = found()
    if browser is None:
        print("No Chromium here: the pictures of reports in one are left as they are.")
        return []
    with tempfile.TemporaryDirectory() as temporary:
        work = Path(temporary)
        store = jobs.Store(work / "home", jobs.CaseClock(), jobs.sound)
        pages = {case: _page(store, name) for case, name in jobs.demo_home(work / "home").items()}
        pictured(browser, pages[jobs.PROVED], 1000, 1700, folder / f"{DESK}.png", work)
        pictured(browser, pages[jobs.DECLINED], 360, 1500, folder / f"{PHONE}.png", work)
        return [DESK, PHONE, *_first(printed(browser, pages[jobs.NOTHING], "A4", work), SHEET, folder, work)]


def _page(store: Store, session: str) -> Path:
    """A report with zeros for its seals: every byte of a flow goes into them, so each change there would show."""
    path = write_report(store, session).path
    path.write_text(SEAL.sub(masked, path.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
    return path


def _first(pdf: bytes, name: str, folder: Path, work: Path) -> list[str]:
    """The first sheet of a print, or of a PDF."""
    if shutil.which("pdftoppm") is None:
        print(f"No pdftoppm here: {name}.png is left as it is.")
        return []
    (work / "sheet.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-png", "-r", str(DPI), "-f", "1", "-l", "1", "-singlefile"]
    subprocess.run([*command, str(work / "sheet.pdf"), str(folder / name)], check=True, timeout=60)
    return [name]
