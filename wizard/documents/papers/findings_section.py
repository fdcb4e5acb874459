"""What was found, in the faults' plain words, or why work stopped."""

from __future__ import annotations

from wizard.documents.content.fault_evidence import evidence_of
from wizard.documents.content.measurements import measured
from wizard.documents.content.stoppages import StopInForce, stoppages
from wizard.documents.document_tree import Block, BulletList, ListItem, Paragraph, Section, phrase
from wizard.documents.text.formatting import sentence
from wizard.engine.state.job_view import JobView


def findings_section(view: JobView) -> Section:
    """The section; each fault says how it is known."""
    faults = [view.flow.faults[f] for f in view.state.decided or () if f in view.flow.faults]
    stopped = _stopped(view)
    blocks: list[Block] = list(stopped)
    if faults:
        items = (
            ListItem((phrase(sentence(f.plain or f.says), evidence=evidence_of(view, f)),)) for f in faults
        )
        blocks.append(BulletList(tuple(items)))
    elif view.state.decided is not None:
        blocks.append(Paragraph((phrase(_none_confirmed(view)),)))
    elif not stopped:
        blocks.append(Paragraph((phrase("We have not decided yet."),)))
    return Section("What was found", tuple(blocks))


def _none_confirmed(view: JobView) -> str:
    """That no fault was confirmed, and no more of what was done for it than is so."""
    if measured(view):
        return "We looked and measured, and could not confirm any fault."
    return (
        "We looked, and could not confirm any fault."
        if view.state.given
        else "We could not confirm any fault."
    )


def _stopped(view: JobView) -> tuple[Paragraph, ...]:
    """Why work stopped, in the flow's words and in the technician's."""
    return tuple(said for one in stoppages(view) for said in _reason(one))


def _reason(one: StopInForce) -> tuple[Paragraph, ...]:
    own = one.stoppage.words.strip()
    said = [Paragraph((phrase(f"Work was stopped: {sentence(one.stop.says)}"),))]
    if own and own != one.stop.says:
        said.append(Paragraph((phrase(f"In our words: {sentence(own)}"),)))
    return tuple(said)
