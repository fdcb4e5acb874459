"""The report of a session written to a file: a page for the customer and an annex for the shop, HTML or PDF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import tzinfo
from enum import StrEnum
from pathlib import Path

from wizard.documents.report import customer_details
from wizard.documents.report.customer_details import read_customer
from wizard.documents.report.report_tree import Report
from wizard.documents.report.session_report import ReportSource, session_report
from wizard.documents.report.shop_annex import RecordSeal
from wizard.documents.report.shop_details import read_logo, read_shop
from wizard.errors import DetailsError, UsageError
from wizard.foreign.harmless import harmless
from wizard.journal.durable_io import lost, make_folder, put
from wizard.sessions.session_handle import Loaded
from wizard.sessions.session_store import Store


class ReportForm(StrEnum):
    """The forms that a report is written in, as the suffixes of their files."""

    HTML = ".html"
    PDF = ".pdf"


@dataclass(frozen=True, slots=True)
class WrittenReport:
    """What was written: where, how many bytes, and a sentence on what is not as it should be in the record."""

    path: Path
    size: int
    notes: tuple[str, ...] = ()


def write_report(
    store: Store,
    session: str,
    out: Path | None = None,
    form: ReportForm = ReportForm.HTML,
    customer: Path | None = None,
) -> WrittenReport:
    """Write the report of a session, over an earlier one; without ``out`` into the home's folder of reports.

    ``customer``: a file with the customer's details in place of the one in the session's folder. DetailsError for
    what the shop wrote down; JournalError or FlowError for a session that can't be read; UsageError for a target that
    can't be one, or a form that can't be had here; JournalLost if the disk refuses.
    """
    loaded = store.load(session)
    path = out or store.home.reports / f"{session}{form}"
    if path.is_dir():
        path = path / f"{session}{form}"
    if path.suffix.lower() != form:
        raise UsageError(f"{harmless(str(path))}: a report's file ends in {form}. Name it so.")
    data = _writer(form)(session_report(_source(store, loaded, customer)))
    try:
        if out is None:
            make_folder(path.parent)
        put(path, data)
    except OSError as error:
        raise lost("write the report", path, error) from error
    return WrittenReport(path, len(data), loaded.trouble)


def _writer(form: ReportForm) -> Callable[[Report], bytes]:
    """What writes a form; imported late, since each brings a library of its own."""
    if form is ReportForm.PDF:
        from wizard.documents.writers.page.pdf_pages import pdf_pages

        return pdf_pages
    from wizard.documents.writers.page.html_page import html_page

    return html_page


def _source(store: Store, loaded: Loaded, customer: Path | None) -> ReportSource:
    shop = read_shop(store.root)
    folder = store.home.session_folder(loaded.name)
    if customer is not None and not customer.is_file():
        raise DetailsError(harmless(f"{customer}: there is no such file. Look at its name."))
    return ReportSource(
        loaded.view,
        folder,
        RecordSeal(len(loaded.records), loaded.chain, loaded.seal),
        shop,
        read_logo(store.root, shop),
        read_customer(customer or folder / customer_details.NAME),
        _zone(store),
    )


def _zone(store: Store) -> tzinfo:
    """The zone of this computer's clock."""
    zone = store.clock.wall().astimezone().tzinfo
    assert zone is not None
    return zone
