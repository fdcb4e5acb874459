"""The customer's handover, in plain words: a pure function from a session to a document."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.documents.charts.judged_rulers import judged_rulers
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Document,
    Evidence,
    KeyValues,
    ListItem,
    SealLine,
    Section,
    stated,
)
from wizard.documents.papers.job_header import result_words, visit_pairs
from wizard.documents.papers.sections import not_looked_at
from wizard.documents.papers.sections.chart_sections import ruler_section, step_chart_section
from wizard.documents.papers.sections.complaint_quote import complaint_quote
from wizard.documents.papers.sections.findings_section import findings_section
from wizard.documents.papers.sections.machine_facts import machine_section
from wizard.documents.papers.sections.machine_left import owners_section
from wizard.documents.papers.sections.measurement_table import measurement_section
from wizard.documents.papers.sections.owners_advice import advice_section, watch_section
from wizard.documents.papers.sections.proof_section import proof_section
from wizard.documents.papers.sections.repairs_section import (
    declined_section,
    done_section,
    ordered_section,
    put_off_section,
)
from wizard.documents.papers.use_warning import use_warning
from wizard.engine.state.job_view import JobView


def customer_handover(view: JobView, seal: SealLine | None = None, zone: tzinfo = UTC) -> Document:
    """The handover; times are shown in ``zone``. An empty ``seal`` leaves room to write it by hand."""
    blocks: tuple[Block | None, ...] = (
        KeyValues(visit_pairs(view.state, zone)),
        use_warning(view),
        Section("What you told us", (complaint_quote(view.state, "Nothing was written down."),)),
        findings_section(view),
        not_looked_at.owners_section(view),
        done_section(view, zone),
        proof_section(view),
        declined_section(view),
        ordered_section(view),
        put_off_section(view),
        measurement_section(view),
        step_chart_section(view),
        ruler_section(judged_rulers(view, every=False)),
        watch_section(view),
        owners_section(view),
        advice_section(view),
        machine_section(view, zone),
        record_section(view),
    )
    title = f"{view.flow.title}: what was found and done"
    return Document(title, tuple(b for b in blocks if b is not None), seal or SealLine())


def record_section(view: JobView) -> Section:
    """What the seal under it is of."""
    lines = (
        f"Job {view.state.session}, {result_words(view)}",
        f"Flow {view.flow.id}, version {view.flow.version}",
    )
    return Section(
        "The record", (BulletList(tuple(ListItem((stated(s, evidence=Evidence.RECORDED),)) for s in lines)),)
    )
