"""Reading a customer's handover sentence by sentence: what each says is looked for among the raw events of the job.

It is looked for there, at the very step that it speaks of, and not through the content that the papers are made of.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tests.helpers.papers.paper_events import MEASURING, RawEvents, sentences, words
from wizard.documents.content.measurements import measured
from wizard.documents.document_tree import (
    Evidence,
)
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.probability import LEAST, percent
from wizard.domain.vocabulary import RepairOutcome, Verdict
from wizard.engine.guidance.session_ranking import explain, ranking
from wizard.engine.messages import events as ev
from wizard.engine.queries import inspection_queries, proof_queries
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView


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
    """A figure is that of a reading in the journal, by the limit that it stands behind; a fault that was measured has a
    step of its own that was read and speaks for it; a condition the answer that tells of it.
    """
    flow = journal.view.flow
    measuring = {i for i, step, _a in journal.standing if step.kind in MEASURING}
    titles = {flow.inspections[i].title for i in measuring}
    for title, label, said in known(journal, Evidence.MEASURED):
        if title == "What was measured":
            _measured_row(journal, label.partition(" (worst of")[0], said)
        elif title in ("Pictures of what was measured", "Readings on their limits"):
            assert said == "After the repair." or said.partition(":")[0] in titles, said
        elif title == "How we left the machine":
            _left(journal, label, Evidence.MEASURED)
        else:
            assert title == "What was found" and measuring, said
            _found(journal, said, Evidence.MEASURED)


def _measured_row(journal: RawEvents, limit: str, said: str) -> None:
    """A limit's name, its values before and after, or those of several limits in one sentence."""
    if said.partition(" (worst of")[0] in journal.values:
        return
    if not said.startswith("Also measured, and good: "):
        _each_is_of(journal, limit, said.split("; read again later: "))
        return
    for pair in said.removeprefix("Also measured, and good: ").rstrip(".").split("; "):
        name, _, figure = pair.rpartition(": ")
        _each_is_of(journal, name, [figure])


def _each_is_of(journal: RawEvents, limit: str, figures: list[str]) -> None:
    for figure in figures:
        assert figure.partition(",")[0] in journal.values[limit], (limit, figure)


def what_is_seen_was_answered_at_the_machine(journal: RawEvents) -> None:
    """Behind each sentence stands the answer that it speaks of, at a step whose words say that somebody looked."""
    for title, label, said in known(journal, Evidence.SEEN):
        if title == "Keep an eye on":
            watched = [
                a
                for i, step, a in journal.standing
                if journal.view.flow.inspections[i].title == label and a.verdict is Verdict.WATCH
                if a.says == said.rstrip(".") and journal.known_by(step, a) is Evidence.SEEN
            ]
            assert watched, (label, said)
        elif title == "How we left the machine":
            _left(journal, label, Evidence.SEEN)
        else:
            assert title == "What was found", (title, said)
            _found(journal, said, Evidence.SEEN)


def _left(journal: RawEvents, label: str, evidence: Evidence) -> None:
    """Each condition of a line rests on the last event that told of it, an answer that is known in this way."""
    nouns = {c.says.lower(): name for name, c in journal.view.flow.conditions.items()}
    rest, names = label.lower(), []
    for noun in sorted(nouns, key=len, reverse=True):
        if noun in rest:
            rest = rest.replace(noun, "", 1)
            names.append(nouns[noun])
    assert names and not rest.strip(", "), label
    for name in names:
        last = next(
            r.event for r in reversed(journal.records) if name in (getattr(r.event, "belief", None) or {})
        )
        assert isinstance(last, ev.Answered), (name, last)
        (step,) = {s.id: s for _i, s, a in journal.answered if a is last}.values()
        assert journal.known_by(step, last, name) is evidence, (name, step.id)


def _found(journal: RawEvents, said: str, evidence: Evidence) -> None:
    """A fail that stands, a place, a defect, a fault in plain words, or that all was looked at."""
    flow = journal.view.flow
    answers = [(flow.inspections[i].title, step, a) for i, step, a in journal.standing]
    if said.startswith("We looked"):
        assert all(
            journal.looked(i)
            for i in flow.find
            if inspection_queries.applies(journal.view, flow.inspections[i])
        )
        return
    if said.startswith("Where: "):
        named = said.removeprefix("Where: ").rstrip(".").split(", ")
        ticked = {
            a.says[:1].lower() + a.says[1:]
            for _t, s, g in answers
            if s.where
            for a in s.answers
            if a.id in g.chosen
        }
        assert set(named) <= ticked, (named, ticked)
        return
    if ", not good" in said:
        failed = [(t, s, a) for t, s, a in answers if a.verdict is Verdict.FAIL]
        if evidence is Evidence.MEASURED:
            limit, _, figure = said.partition(", not good")[0].rpartition(": ")
            assert figure in journal.values[limit] and any(s.kind in MEASURING for _t, s, _a in failed), said
        else:
            assert any(said.startswith(f"{t}: {a.says}, not good") for t, _s, a in failed), said
        return
    if "It speaks for: " in said:
        words = [a.says if s.kind not in MEASURING else "measured, it fails" for _t, s, a in answers]
        assert any(said.startswith(f"{t}: {w}.") for (t, _s, _a), w in zip(answers, words, strict=True)), said
        return
    faults = [
        f
        for f in flow.faults.values()
        if said.rstrip(".").removeprefix("Decided: ") in (f.plain.rstrip("."), f.says)
    ]
    assert faults, said
    assert any(journal.confirms(f, evidence) for f in faults), said


def what_was_told_is_the_customers_or_a_fact(journal: RawEvents) -> None:
    """The complaint line by line, the facts, and what was answered where only words go."""
    told = set("\n".join(e.words for e in journal.events(ev.ComplaintTaken)).splitlines())
    facts = {e.value for e in journal.events(ev.FactTaken)}
    says = {v.says for fact in journal.view.flow.facts for v in fact.values if v.id in facts} | facts
    for title, label, said in known(journal, Evidence.TOLD):
        if title == "What you told us":
            assert said in told
        elif title == "The machine":
            noted = said.partition(", noted on ")[0]
            assert noted in says or said.startswith("As we noted it")
        elif title == "How we left the machine":
            _left(journal, label, Evidence.TOLD)
        elif said.startswith("What you said to it: "):
            talked = {a.says for _i, step, a in journal.standing if step.reach == "talk"}
            assert said.removeprefix("What you said to it: ").rstrip(".") in talked, said
        else:
            assert title == "What was found", (title, said)
            _found(journal, said, Evidence.TOLD)


def what_is_not_looked_at_was_not(journal: RawEvents) -> None:
    """The count is that of the runs in the journal; nothing named here came to its end there, and what was touched is
    said to be looked at in part.
    """
    view = journal.view
    wanted = [i for i in view.flow.find if inspection_queries.applies(view, view.flow.inspections[i])]
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
            title = view.flow.inspections[i].title
            plain = title.replace(":", "")  # A title may have a colon itself.
            said = " ".join(x for x in lines if plain in x.replace(title, plain).partition(":")[0])
            assert said and ((i in partly) == ("partly looked at" in said or "left in the middle" in said)), i
        assert not any(f"{view.flow.inspections[i].title}: " in line for i in looked for line in lines)
    else:
        assert "parts of the search were looked at" not in text
    nothing = not (looked or partly or measured(view)) and view.state.decided is not None
    assert ("Nothing of the search was looked at" in text) == (nothing and not view.state.decided)
    assert looked or "We looked" not in text


def what_was_unlikely_was_so_at_the_decision(journal: RawEvents) -> None:
    """The figure behind each part that was not looked at is that of the events up to the decision, and so is what spoke
    most against it, weighed by leaving each answer out.
    """
    decisions = [n for n, r in enumerate(journal.records) if isinstance(r.event, ev.Decided)]
    if not decisions:
        return
    flow = journal.view.flow
    then = JobView.of(flow, fold_all(journal.records[: decisions[-1]]))
    chances = {r.says: r.probability for r in ranking(then)}
    ids = {f.says: f.id for f in flow.faults.values()}
    for title, _label, said in known(journal, Evidence.NOT_LOOKED_AT):
        _part, shows, rest = said.partition("it could still show: ")
        if title != "Not looked at" or not shows or "since we decided" in rest:
            continue
        unlikely, sure, why = rest.rstrip(".").partition(
            ", but that was under 1 % when we decided, above all because "
        )
        if not sure:
            fault, _, figure = rest.removesuffix(" by what was known when we decided.").rpartition(", ")
            assert figure == percent(chances[fault]) and chances[fault] >= LEAST, rest
            continue
        assert chances[unlikely] < LEAST, rest
        against = explain(then, ids[unlikely]).against
        for lead, found in (
            ("this was not found: ", False),
            ("this was found, and points to another fault: ", True),
        ):
            if why.startswith(lead):
                assert (against[0].evidence > 0.5) == found, rest
                assert why.removeprefix(lead).startswith(against[0].says.rstrip(".")), rest
        assert why != "nothing that was answered points to it" or not against, rest


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
    demanded = [
        i for i in proof_queries.demanded(journal.view) if inspection_queries.proves(journal.view.flow, i)
    ]
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
    what_was_unlikely_was_so_at_the_decision,
    what_is_done_was_recorded_as_done,
    after_the_repair_is_after_a_repair,
    what_is_proved_has_every_proof_in_the_journal,
)
"""All of them, for a job."""
