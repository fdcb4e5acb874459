"""Reading a customer's handover sentence by sentence: what each says is looked for among the raw events of the job.

It is looked for there, and not through the content that the papers are made of.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from wizard.documents.content.measurements import measured
from wizard.documents.document_tree import (
    Alert,
    Block,
    BulletList,
    Document,
    Evidence,
    Figure,
    KeyValues,
    ListItem,
    Paragraph,
    Quote,
    Section,
    Sentence,
    Table,
)
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.limit_text import value
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import AnswerHow, Phase, RepairOutcome, RunStatus, StepKind
from wizard.engine.messages import events as ev
from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Step


@dataclass(frozen=True)
class RawEvents:
    """The raw events of a job, and what they say of answers."""

    view: JobView
    records: tuple[ev.Recorded, ...]

    def events(self, kind: type) -> list:
        return [r.event for r in self.records if isinstance(r.event, kind)]

    @cached_property
    def answered(self) -> list[tuple[str, Step, ev.Answered]]:
        """Every answer with its inspection and step, also those set aside since."""
        runs = {e.run: e.inspection for e in self.events(ev.Entered)}
        flow = self.view.flow.inspections
        return [(runs[a.run], flow[runs[a.run]].step(a.step), a) for a in self.events(ev.Answered)]

    def says(self, *kinds: StepKind) -> set[str]:
        """What was answered at steps of these kinds."""
        return {a.says for _i, step, a in self.answered if step.kind in kinds and a.how is AnswerHow.ANSWER}

    @cached_property
    def values(self) -> set[str]:
        """Every judged value in words, of steps that were read or computed in the journal."""
        done = {(i, step.id) for i, step, _a in self.answered}
        assert {(m.inspection, m.step) for m in measured(self.view)} <= done
        return {
            value(j, m.unit)
            for m in measured(self.view)
            for j in (m.before, m.after, *m.failed_before, *m.failed_after)
            if j
        }

    @cached_property
    def standing(self) -> list[tuple[str, Step, ev.Answered]]:
        """Every answer that was given as one and not taken back or put right since, with its inspection and step."""
        back = {e.seq for e in self.events(ev.Undone)}
        for kind in (ev.Answered, ev.FactTaken):
            back |= {seq for e in self.events(kind) for seq in e.aside}
        back |= {e.instead_of for e in self.events(ev.Answered)}
        seqs = [r.seq for r in self.records if isinstance(r.event, ev.Answered)]
        return [
            given
            for seq, given in zip(seqs, self.answered, strict=True)
            if seq not in back and given[2].how is AnswerHow.ANSWER
        ]

    def asked(self, inspection: str) -> set[str]:
        """The steps of an inspection that were answered in any run, those asked for other work among them; no acts."""
        return {s.id for i, s, _a in self.standing if i == inspection and s.kind is not StepKind.TELL}

    def touched(self, inspection: str) -> bool:
        """True where a step of it was answered, or a number read, in any run."""
        runs = {e.run for e in self.events(ev.Entered) if e.inspection == inspection}
        return bool(self.asked(inspection) or runs & {e.run for e in self.events(ev.ReadingTaken)})

    def looked(self, inspection: str) -> bool:
        """True where a run of it came to its end, with at least one answer, and it was not left out after all; after a
        repair one from its first step: what is measured again from a later one doesn't make up for the rest. Or each
        of its steps was asked by itself, for other work.
        """
        first = self.view.flow.inspections[inspection].steps[0].id
        own = [e for e in self.events(ev.Entered) if e.inspection == inspection and not e.condition]
        runs = {e.run for e in own if e.phase is Phase.BEFORE or e.step == first}
        done = {e.run for e in self.events(ev.InspectionLeft) if e.how is RunStatus.DONE}
        given = {a.run for a in self.events(ev.Answered) if a.how is AnswerHow.ANSWER}
        asks = {s.id for s in self.view.flow.inspections[inspection].steps if s.kind is not StepKind.TELL}
        return bool(runs & done & given) or (bool(asks) and asks <= self.asked(inspection))


def sentences(document: Document) -> Iterator[tuple[str, str, Sentence]]:
    """Each sentence with the title of its section and the label before it."""
    yield from _of(document.blocks, "")


def _of(blocks: tuple[Block, ...], title: str) -> Iterator[tuple[str, str, Sentence]]:
    for block in blocks:
        match block:
            case Section(name, inner):
                yield from _of(inner, name)
            case Paragraph(text) | Quote(text):
                yield from ((title, "", s) for s in text)
            case BulletList(items):
                yield from _items(items, title)
            case KeyValues(pairs):
                yield from ((title, p.key, p.value) for p in pairs)
            case Table(_head, rows):
                yield from ((title, "".join(x.text for x in row[0].spans), s) for row in rows for s in row)
            case Figure(text):
                yield from ((title, "", s) for s in text)
            case Alert():
                told = (*block.lead, *(s for reason in block.reasons for s in reason), *block.close)
                yield from (("alert", "", s) for s in told)


def _items(items: tuple[ListItem, ...], title: str) -> Iterator[tuple[str, str, Sentence]]:
    for item in items:
        yield from ((title, "", s) for s in item.text)
        yield from _items(item.under, title)


def words(sentence: Sentence) -> str:
    return "".join(span.text for span in sentence.spans)


def known(journal: RawEvents, evidence: Evidence) -> Iterator[tuple[str, str, str]]:
    """The sentences of the handover that are known in this way: section, label, words."""
    for title, label, s in sentences(customer_handover(journal.view)):
        if s.evidence is evidence:
            yield title, label, words(s)


def every_sentence_names_its_evidence(journal: RawEvents) -> None:
    """None is left to be taken for more than it is; and what is not stated by its head is written behind it."""
    found = list(sentences(customer_handover(journal.view)))
    assert found and [words(s) for _t, _l, s in found if s.evidence is None] == []
    for _title, _label, s in found:
        if not s.stated and s.evidence not in (Evidence.DONE, Evidence.RECORDED, Evidence.ADVICE):
            assert "".join(x.text for x in s.rendered).endswith(".)")


def what_is_measured_was_read(journal: RawEvents) -> None:
    """A figure is that of a reading in the journal; a fault or a place is named only beside one."""
    limits = {li.says for several in journal.view.flow.limits.values() for li in several}
    measuring = {i for i, step, _a in journal.answered if step.kind in (StepKind.MEASURE, StepKind.COMPUTE)}
    titles = {journal.view.flow.inspections[i].title for i in measuring}
    for title, label, said in known(journal, Evidence.MEASURED):
        if title == "What was measured":
            name = said.partition(" (worst of")[0]
            assert name in limits or any(v in said for v in journal.values), said
        elif title in ("Pictures of what was measured", "Readings on their limits"):
            assert said == "After the repair." or said.partition(":")[0] in titles, said
        elif title == "How we left the machine":
            assert measuring, (label, said)
        else:
            assert title == "What was found" and measuring, said


def what_is_seen_was_answered_at_the_machine(journal: RawEvents) -> None:
    """Behind each sentence stands an answer of a look; a machine that nobody looked at has none."""
    looks = journal.says(StepKind.LOOK, StepKind.CHOOSE)
    for title, label, said in known(journal, Evidence.SEEN):
        assert looks, said
        if title == "Keep an eye on":
            assert said.rstrip(".") in looks
        if title == "How we left the machine":
            left = journal.view.flow.conditions.values()
            assert any(condition.says.lower() in label.lower() for condition in left)


def what_was_told_is_the_customers_or_a_fact(journal: RawEvents) -> None:
    """The complaint line by line, the facts, and what was answered where only words go."""
    told = set("\n".join(e.words for e in journal.events(ev.ComplaintTaken)).splitlines())
    facts = {e.value for e in journal.events(ev.FactTaken)}
    says = {v.says for fact in journal.view.flow.facts for v in fact.values if v.id in facts} | facts
    for title, _label, said in known(journal, Evidence.TOLD):
        if title == "What you told us":
            assert said in told
        elif title == "The machine":
            assert said in says or said.startswith("As we noted it")


def what_is_not_looked_at_was_not(journal: RawEvents) -> None:
    """The count is that of the runs in the journal; nothing named here came to its end there, and what was touched is
    said to be looked at in part.
    """
    view = journal.view
    wanted = [i for i in view.flow.find if queries.applies(view, view.flow.inspections[i])]
    looked = [i for i in wanted if journal.looked(i)]
    partly = [i for i in wanted if i not in looked and journal.touched(i)]
    text = MARKDOWN.write(customer_handover(view)).decode()
    if view.state.decided is not None and len(looked) < len(wanted):
        part = f", and {len(partly)} in part" if partly else ""
        assert f"{len(looked)} of {len(wanted)} parts of the search were looked at{part}." in text
        lines = [
            said for title, _l, said in known(journal, Evidence.NOT_LOOKED_AT) if title == "Not looked at"
        ]
        for i in set(wanted) - set(looked):
            said = " ".join(line for line in lines if view.flow.inspections[i].title in line)
            assert said and ((i in partly) == ("partly looked at" in said or "left in the middle" in said)), i
        assert not any(f"{view.flow.inspections[i].title}: " in line for i in looked for line in lines)
    else:
        assert "parts of the search were looked at" not in text
    nothing = not (looked or partly or measured(view)) and view.state.decided is not None
    assert ("Nothing of the search was looked at" in text) == (nothing and not view.state.decided)
    assert looked or "We looked" not in text


def what_is_done_was_recorded_as_done(journal: RawEvents) -> None:
    """A repair, a line that was ticked, or an act of a step; a ticked line is said to be done, and no more. What was
    ticked under a stop that was a slip is no part of the paper.
    """
    fitted = [e for e in journal.events(ev.RepairDone) if e.outcome is RepairOutcome.FITTED]
    slips = {e.stop for e in journal.events(ev.StopWithdrawn)}
    safe = [e for e in journal.events(ev.MadeSafe) if e.stop not in slips]
    acts = {journal.view.flow.stops[e.stop].make_safe[e.line] for e in safe}
    for title, _label, said in known(journal, Evidence.DONE):
        if title == "What was done":
            ticked = said in acts or said in ("Said to be done.",) or said.startswith("Not done: ")
            assert ticked or fitted, said
    assert not safe or "Said to be done." in [said for _t, _l, said in known(journal, Evidence.DONE)]


def after_the_repair_is_after_a_repair(journal: RawEvents) -> None:
    """Neither paper speaks of a repair where none is in the journal."""
    flow = journal.view.flow
    fitted = [
        flow.faults[e.fault] for e in journal.events(ev.RepairDone) if e.outcome is RepairOutcome.FITTED
    ]
    real = [f for f in fitted if not f.alone and f.remedy.reach != "talk"]
    for paper in (customer_handover(journal.view), technician_record(journal.view)):
        text = MARKDOWN.write(paper).decode()
        assert real or (
            "After the repair" not in text
            and ", after the repair" not in text
            and "| After |" not in text
            and "mended" not in text
        )


def what_is_proved_has_every_proof_in_the_journal(journal: RawEvents) -> None:
    """'Proved' stands only where the runs of all proofs came to their end; else the missing ones are named."""
    text = MARKDOWN.write(customer_handover(journal.view)).decode()
    demanded = [i for i in queries.demanded(journal.view) if queries.proves(journal.view.flow, i)]
    if "and proved" in text:
        assert all(journal.looked(i) for i in demanded) and "Not proved" not in text
    if ", not proved" in text:
        assert "## Not proved, because" in text and "What would prove it: " in text


CHECKS: tuple[Callable[[RawEvents], None], ...] = (
    every_sentence_names_its_evidence,
    what_is_measured_was_read,
    what_is_seen_was_answered_at_the_machine,
    what_was_told_is_the_customers_or_a_fact,
    what_is_not_looked_at_was_not,
    what_is_done_was_recorded_as_done,
    after_the_repair_is_after_a_repair,
    what_is_proved_has_every_proof_in_the_journal,
)
"""All of them, for a job."""
