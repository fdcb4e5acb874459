"""The report of a session, put together: a page for the customer and an annex for the shop. A pure function but for
the photos, which are read from the session's folder.

Every sentence is one of the papers' own sections, or says by its evidence how it is known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, tzinfo
from pathlib import Path

from wizard.documents.document_tree import (
    Evidence,
    KeyValue,
    KeyValues,
    Paragraph,
    Quote,
    SealLine,
    Section,
    phrase,
    stated,
    strong,
)
from wizard.documents.papers.job_header import result_words, visit_pairs
from wizard.documents.papers.sections import not_looked_at
from wizard.documents.papers.sections.complaint_quote import complaint_quote
from wizard.documents.papers.sections.findings_section import findings_section
from wizard.documents.papers.sections.machine_left import owners_section
from wizard.documents.papers.sections.owners_advice import advice_section, watch_section
from wizard.documents.papers.sections.proof_section import proof_section
from wizard.documents.papers.sections.repairs_section import (
    declined_section,
    done_section,
    ordered_section,
    put_off_section,
)
from wizard.documents.report.ages_part import ages_section
from wizard.documents.report.cost_part import cost_part
from wizard.documents.report.customer_details import CustomerDetails
from wizard.documents.report.photo_parts import photo_columns
from wizard.documents.report.pictured_numbers import numbers_part
from wizard.documents.report.recorded_part import recorded_part
from wizard.documents.report.report_tree import (
    Columns,
    Letterhead,
    PageBlock,
    PagePart,
    Report,
    SignaturePlace,
)
from wizard.documents.report.shop_annex import TITLE, RecordSeal, shop_annex
from wizard.documents.report.shop_details import ShopDetails
from wizard.documents.report.use_part import use_part
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_view import JobView
from wizard.foreign.image_file import ImageFile
from wizard.journal.sealed_block import grouped

BLANK = "______________________________"
"""Room to write by hand."""


@dataclass(frozen=True, slots=True)
class ReportSource:
    """What a report is made of. ``folder``: the session's, with its photos; times are shown in ``zone``."""

    view: JobView
    folder: Path
    seal: RecordSeal
    shop: ShopDetails = field(default_factory=ShopDetails)
    logo: ImageFile | None = None
    customer: CustomerDetails = field(default_factory=CustomerDetails)
    zone: tzinfo = UTC


def session_report(source: ReportSource) -> Report:
    """The report of a closed session, or of one under way."""
    view, shop = source.view, source.shop
    seal = source.seal.closing
    return Report(
        f"{view.flow.title}: what was found and done",
        view.state.session,
        _letterhead(shop, source.logo),
        _lines(source.customer.name, source.customer.address),
        tuple(_page(source)),
        _signatures(view, source.customer),
        SealLine(grouped(seal) if seal else ""),
        TITLE,
        shop_annex(view, source.seal, source.zone),
    )


def _page(source: ReportSource) -> Iterator[PageBlock]:
    """The customer's page, in the order in which it is read."""
    view, zone, shop = source.view, source.zone, source.shop
    yield Paragraph((phrase(strong(f"{result_words(view).capitalize()}.")),))
    yield KeyValues((*visit_pairs(view.state, zone), KeyValue("Job", phrase(view.state.session))))
    yield use_part(view)
    told = Section("What you told us", (complaint_quote(view.state, "Nothing was written down."),))
    done = (done_section(view, zone), proof_section(view), not_looked_at.count_section(view))
    yield _columns((told, findings_section(view)), done)
    yield from _there(
        declined_section(view),
        ordered_section(view),
        put_off_section(view),
        numbers_part(view),
        recorded_part(view),
    )
    yield from _there(photo_columns(view, source.folder, zone))
    ahead = (watch_section(view), ages_section(view), advice_section(view))
    yield _columns((owners_section(view), _whom_to_call(shop)), ahead)
    yield from _there(cost_part(view, shop, source.customer), _warranty(view, shop))


def _columns(
    left: tuple[Section | PagePart | None, ...], right: tuple[Section | PagePart | None, ...]
) -> Columns:
    return Columns(*(tuple(one for one in side if one is not None) for side in (left, right)))


def _there(*blocks: PageBlock | None) -> Iterator[PageBlock]:
    return (block for block in blocks if block is not None)


def _whom_to_call(shop: ShopDetails) -> PagePart:
    """The shop and its telephone; where it wrote none down, room for it."""
    pairs = (
        KeyValue("Shop", phrase(shop.name or BLANK)),
        KeyValue("Telephone", phrase(shop.telephone or BLANK)),
    )
    return PagePart("Whom to call", (KeyValues(pairs),))


def _warranty(view: JobView, shop: ShopDetails) -> PagePart | None:
    """The shop's own words, line by line; None where nothing was repaired."""
    if not inspection_queries.after_repair(view, view.state.seq + 1):
        return None
    lines = tuple(stated(line, evidence=Evidence.TOLD) for line in _lines(shop.warranty))
    return PagePart("Warranty", (Quote(lines),)) if lines else None


def _letterhead(shop: ShopDetails, logo: ImageFile | None) -> Letterhead | None:
    tax = f"Tax number {shop.tax_number}" if shop.tax_number else ""
    telephone = f"Telephone {shop.telephone}" if shop.telephone else ""
    lines = _lines(shop.address, telephone, tax)
    return Letterhead(shop.name, lines, logo) if shop.name or lines or logo else None


def _lines(*texts: str) -> tuple[str, ...]:
    """The lines of some texts that have anything in them."""
    return tuple(line.strip() for text in texts for line in text.splitlines() if line.strip())


def _signatures(view: JobView, customer: CustomerDetails) -> tuple[SignaturePlace, ...]:
    visit = view.state.visit
    return (
        SignaturePlace("For the shop", visit.who if visit else ""),
        SignaturePlace("Customer", " ".join(customer.name.split())),
    )
