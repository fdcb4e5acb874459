"""The technician's full record of a session: everything that the trade keeps. Pure functions that make documents.

Contents: common practice of the trade: ticket and visits, machine, complaint, what was cut off, tried and proved and
by which readings, each step's result, each reading with unit, tool, place and repeats, the limits used with their
source, parts, declined work with the risk told, stops and their releases, how the machine was left, notes and
photos, minutes, the flow's version and the technician.
"""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.documents.charts.judged_rulers import judged_rulers
from wizard.documents.document_tree import Block, Document, KeyValues, Section
from wizard.documents.papers.job_header import record_pairs
from wizard.documents.papers.sections import not_looked_at
from wizard.documents.papers.sections.chart_sections import ruler_section, step_chart_section
from wizard.documents.papers.sections.complaint_quote import complaint_quote, put_right
from wizard.documents.papers.sections.decision_section import decision_section
from wizard.documents.papers.sections.left_out import left_out
from wizard.documents.papers.sections.limits_used import limits_used
from wizard.documents.papers.sections.machine_facts import fact_pairs
from wizard.documents.papers.sections.machine_left import machine_left
from wizard.documents.papers.sections.note_section import note_section
from wizard.documents.papers.sections.proof_section import proof_section
from wizard.documents.papers.sections.safety_log import safety_log
from wizard.documents.papers.sections.set_aside import set_aside
from wizard.documents.papers.sections.stop_section import stop_section
from wizard.documents.papers.sections.work_log import work_log
from wizard.engine.state.job_view import JobView


def technician_record(view: JobView, zone: tzinfo = UTC, drawn: bool = False) -> Document:
    """The full record of a session; times are shown in ``zone``. ``drawn``: its rulers are shown as pictures."""
    blocks: tuple[Block | None, ...] = (
        KeyValues(record_pairs(view, zone)),
        _machine(view, zone),
        safety_log(view, zone),
        work_log(view, zone),
        step_chart_section(view),
        ruler_section(judged_rulers(view), drawn),
        left_out(view),
        not_looked_at.reasons_section(view),
        limits_used(view),
        decision_section(view),
        proof_section(view),
        stop_section(view, zone),
        machine_left(view, zone),
        note_section(view, zone),
        set_aside(view, zone),
    )
    return Document(f"Record of job {view.state.session}", tuple(b for b in blocks if b is not None))


def findings_so_far(view: JobView, zone: tzinfo = UTC) -> Document:
    """What was found so far, for the one who works on it: what stands in the way first, then all that was done."""
    blocks: tuple[Block | None, ...] = (
        stop_section(view, zone),
        decision_section(view),
        left_out(view),
        not_looked_at.reasons_section(view),
        work_log(view, zone),
        note_section(view, zone),
        limits_used(view),
        set_aside(view, zone),
    )
    return Document("", tuple(b for b in blocks if b is not None))


def _machine(view: JobView, zone: tzinfo) -> Section:
    pairs = fact_pairs(view, zone)
    facts = (KeyValues(pairs),) if pairs else ()
    return Section(
        "Machine and complaint", (*facts, complaint_quote(view.state, "-"), *put_right(view.state))
    )
