"""The raw events of a job and the sentences of a paper, to look for what the one says among the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from statistics import fmean

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
from wizard.documents.text.limit_text import value
from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.vocabulary import AnswerHow, Phase, RunStatus, StepKind, Verdict
from wizard.engine.messages import events as ev
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Step

MEASURING = (StepKind.MEASURE, StepKind.COMPUTE)
BY_KIND = {
    StepKind.MEASURE: Evidence.MEASURED,
    StepKind.COMPUTE: Evidence.MEASURED,
    StepKind.TELL: Evidence.DONE,
}
WORDS = {
    KnownBy.SEEN: Evidence.SEEN,
    KnownBy.MEASURED: Evidence.MEASURED,
    KnownBy.TOLD: Evidence.TOLD,
    KnownBy.DONE: Evidence.DONE,
    KnownBy.PRESUMED: Evidence.PRESUMED,
    KnownBy.DECIDED: Evidence.RECORDED,
}
WEAKEST = (
    Evidence.MEASURED,
    Evidence.SEEN,
    Evidence.DONE,
    Evidence.RECORDED,
    Evidence.TOLD,
    Evidence.PRESUMED,
)


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

    def known_by(self, step: Step, given: ev.Answered, condition: str = "") -> Evidence:
        """How one answer, or a condition by it, is known: read off the flow's words anew."""
        told = [a for a in step.answers if a.id in given.chosen and (not condition or condition in a.so)]
        told = told or [a for a in step.answers if condition in a.unticked_so] or [None]
        by_reach = Evidence.SEEN if step.reach and self.view.flow.reaches[step.reach].needs else Evidence.TOLD
        ways = set()
        for a in told:
            own = (a.known_of.get(condition) or a.known) if a else None
            declared = own or step.known_of.get(condition) or step.known
            ways.add(WORDS[declared] if declared else BY_KIND.get(step.kind, by_reach))
        return max(ways, key=WEAKEST.index)

    def confirms(self, fault: Fault, evidence: Evidence) -> bool:
        """True where an answer known in this way, at a check of the fault (any step, where it has none), shows it."""
        findings = {n for n, f in self.view.flow.findings.items() if f.weights.get(fault.id, 0.0) > 0.0}
        checks, beside = (
            {(c.inspection, c.step) for c in fault.confirm},
            {c.inspection for c in fault.confirm},
        )
        for i, step, a in self.standing:
            check = not checks or (i, step.id) in checks or (i in beside and step.kind is StepKind.COMPUTE)
            shows = fault.alone or any(f in findings and e >= 0.5 for f, e in a.evidence.items())
            failed = a.verdict is Verdict.FAIL and (i, step.id) in checks
            if check and (shows or failed) and self.known_by(step, a) is evidence:
                return True
        return False

    @cached_property
    def means(self) -> set[tuple[str, str, float]]:
        """The mean of the numbers that were read at each place of a step in each run, with inspection and step."""
        runs = {e.run: e.inspection for e in self.events(ev.Entered)}
        slots: dict[tuple, dict[int, float]] = {}
        for t in self.events(ev.ReadingTaken):
            slots.setdefault((runs[t.run], t.run, t.step, t.item, t.way), {})[t.repeat] = t.value
        return {(k[0], k[2], round(fmean(v.values()), 9)) for k, v in slots.items()}

    @cached_property
    def values(self) -> dict[str, set[str]]:
        """Every judged value in words by its limit, of steps that were read or computed in the journal."""
        done = {(i, step.id) for i, step, _a in self.answered}
        found: dict[str, set[str]] = {}
        for m in measured(self.view):
            assert (m.inspection, m.step) in done
            read = self.view.flow.inspections[m.inspection].step(m.step).kind is StepKind.MEASURE
            for j in (m.before, m.after, *m.failed_before, *m.failed_after):
                if j is not None:
                    assert not read or (m.inspection, m.step, round(j.mean, 9)) in self.means, m
                    found.setdefault(m.limit.says if m.limit else "", set()).add(value(j, m.unit))
        return found

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
