"""The customer's handover, in plain words: a pure function from a session to a document."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.documents.charts.judged_rulers import judged_rulers
from wizard.documents.content.concerns import concerns
from wizard.documents.content.out_of_use import out_of_use
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Document,
    Evidence,
    KeyValue,
    KeyValues,
    ListItem,
    Paragraph,
    SealLine,
    Section,
    phrase,
    stated,
)
from wizard.documents.papers.job_header import result_words, visit_pairs
from wizard.documents.papers.sections import not_looked_at
from wizard.documents.papers.sections.chart_sections import ruler_section, step_chart_section
from wizard.documents.papers.sections.complaint_quote import complaint_quote
from wizard.documents.papers.sections.findings_section import findings_section
from wizard.documents.papers.sections.machine_facts import fact_pairs, noted_later
from wizard.documents.papers.sections.machine_left import owners_section
from wizard.documents.papers.sections.measurement_table import measurement_section
from wizard.documents.papers.sections.proof_section import proof_section
from wizard.documents.papers.sections.repairs_section import declined_section, done_section, ordered_section
from wizard.documents.papers.use_warning import use_warning
from wizard.documents.text.formatting import sentence
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
        measurement_section(view),
        step_chart_section(view),
        ruler_section(judged_rulers(view, every=False)),
        _watch(view),
        owners_section(view),
        _from_now(view),
        _machine(view, zone),
        _record(view),
    )
    title = f"{view.flow.title}: what was found and done"
    return Document(title, tuple(b for b in blocks if b is not None), seal or SealLine())


def _watch(view: JobView) -> Section | None:
    pairs = tuple(KeyValue(c.title, phrase(sentence(c.says), evidence=c.evidence)) for c in concerns(view))
    return Section("Keep an eye on", (KeyValues(pairs),)) if pairs else None


def _from_now(view: JobView) -> Section | None:
    """Advice for using it. A machine that must not be used has none: nobody is sent to its plug or its taps."""
    use = () if out_of_use(view) else view.flow.advice
    words = (sentence(advice) for advice in (*use, view.flow.notice) if advice)
    items = tuple(ListItem((stated(advice, evidence=Evidence.ADVICE),)) for advice in words)
    return Section("From now on", (BulletList(items),)) if items else None


def _machine(view: JobView, zone: tzinfo) -> Section | None:
    pairs = fact_pairs(view, zone)
    later = "; what we noted later says when" if noted_later(view) else ""
    statement = f"As we noted it when we came, from the machine, its papers or your words{later}."
    how = stated(statement, evidence=Evidence.TOLD)
    return Section("The machine", (Paragraph((how,)), KeyValues(pairs))) if pairs else None


def _record(view: JobView) -> Section:
    """What the seal under it is of."""
    lines = (
        f"Job {view.state.session}, {result_words(view)}",
        f"Flow {view.flow.id}, version {view.flow.version}",
    )
    return Section(
        "The record", (BulletList(tuple(ListItem((stated(s, evidence=Evidence.RECORDED),)) for s in lines)),)
    )
