"""Every kind of event in words, and what was typed for it."""

import pytest
from jobs import good
from swings import made

from wizard.engine import events as ev
from wizard.engine.recordings import to_table
from wizard.engine.state import Halt, Run, State
from wizard.review import told
from wizard.review.words import OUTCOMES

BEFORE = State(
    runs=(Run(1, "dampers", "before", 1, "pull", "open", "", 1),),
    facts={"kind": "front-loader", "dampers": "3"},
    halt=Halt("live", "", ""),
)

CASES = [
    (ev.Began(session="S", flow="f", version="2", program="1"), "Session S began on flow f 2, program 1.", ""),
    (ev.VisitBegan(number=2, technician="R. Vale"), "Visit 2 began: R. Vale.", ""),
    (ev.VisitBegan(number=1), "Visit 1 began: nobody named.", ""),
    (ev.VisitBegan(number=3, technician="R. Vale jr."), "Visit 3 began: R. Vale jr.", ""),
    (ev.FactTaken(fact="serial", value="It is worn off."), "What is the serial number? It is worn off.",
     "It is worn off."),
    (ev.FactTaken(fact="kind", value="top-loader"), "Which kind of washer is it? Top loader.", "top-loader"),
    (ev.FactTaken(fact="serial", value="", reason="worn off"),
     "What is the serial number? left empty. Reason: worn off.", "worn off"),
    (ev.FactTaken(fact="dampers", value="", forgotten=True, reason="no longer asked"),
     "No longer asked: How many dampers are under the tub? Reason: no longer asked.", "no longer asked"),
    (ev.ComplaintTaken(words="It bangs"), "Complaint: It bangs.", "It bangs"),
    (ev.SheetUsed(model="M1", source="Sheet 7", limits=()), "Service sheet for M1: Sheet 7.", ""),
    (ev.Entered(run=2, inspection="quick", step="bolts"), "Quick checks begun.", ""),
    (ev.Entered(run=1, inspection="dampers", step="pull", phase="after"),
     "Dampers taken up again, after the repair.", ""),
    (ev.ReadingTaken(run=1, step="pull", value=18.0, typed="18", unit="N", tool="Pull scale", place="damper 1, out"),
     "Read damper 1, out: 18 N with Pull scale.", "18"),
    (ev.ReadingTaken(run=1, step="pull", repeat=2, value=18.0, typed="1.8 kg", unit="N", reason="typed again"),
     "Read 1.8 kg, no. 3. Reason: typed again.", "1.8 kg"),
    (ev.ReadingTaken(run=1, step="pull", value=0.127, typed="0.127", unit="1", tool="Phone", recording=4),
     "Read 0.127 with Phone.", "0.127"),
    (ev.RecordingTaken(run=1, step="pull", name="ab.csv", sha256="0", file="tub.csv", found=to_table(made())),
     "Recording ab.csv (tub.csv): 1.8 s of Z, fluid damping and dry friction, 2.70 Hz.", "ab.csv"),
    (ev.Answered(run=1, step="bounce", answer="swings", goes="pull", verdict="fail", says="Three or more"),
     "Three or more. [fail]", ""),
    (ev.Answered(run=1, step="bounce", answer="lingers", goes="pull"), "Two.", ""),
    (ev.Answered(run=1, step="bounce", answer="swings", goes="pull", says="Three or more", instead_of=3,
                 reason="counted again"), "Corrected: Three or more. Reason: counted again.", "counted again"),
    (ev.Answered(run=1, step="pull", answer="unable", how="unable", goes="end", reason="no scale"),
     "Not done. Reason: no scale.", "no scale"),
    (ev.Answered(run=1, step="pull", answer="unable", how="not-fitted", goes="end", reason="none there"),
     "Not fitted. Reason: none there.", "none there"),
    (ev.Undone(seq=7, run=1, step="pull"), "Taken back: event 7.", ""),
    (ev.Left(run=1, how="left"), "Dampers left, its place kept.", ""),
    (ev.Left(run=1, how="void"), "Dampers no longer counts.", ""),
    (ev.SafetyChanged(was="isolated", state="proving", why="gate"), "Isolated to proving: gate passed.", ""),
    (ev.Skipped(inspection="motor", how="skipped", reason="no time"),
     "Motor wiring left out. Reason: no time.", "no time"),
    (ev.Skipped(inspection="recheck:dampers.pull", how="skipped", reason="no time"),
     "Measuring again: Dampers left out. Reason: no time.", "no time"),
    (ev.NoteTaken(text="The floor is wet"), "Note: The floor is wet.", "The floor is wet"),
    (ev.PhotoTaken(name="ab.jpg", sha256="0", caption="The plug"), "Photo ab.jpg. The plug.", "ab.jpg"),
    (ev.PersonNamed(name="M. Oak"), "Second person: M. Oak.", "M. Oak"),
    (ev.DraftKept(run=1, step="pull", text="1"), "Kept as a draft: 1.", "1"),
    (ev.Decided(faults=("dampers-worn",)), "Confirmed: Dampers worn.", ""),
    (ev.Decided(faults=()), "Confirmed: no fault.", ""),
    (ev.Repaired(fault="dampers-worn", outcome="fitted", parts=("damper x3",)),
     "Fit a new set of dampers: fitted. Parts: 3 x Damper.", ""),
    (ev.Repaired(fault="dampers-worn", outcome="declined", reason="told"),
     "Fit a new set of dampers: declined. Reason: told.", "told"),
    (ev.Stopped(stop="live", words="90 V"), "Work stopped: It could not be proved dead. 90 V.", "90 V"),
    (ev.Stopped(stop="live"), "Work stopped: It could not be proved dead.", ""),
    (ev.Stopped(stop="live", words="It could not be proved dead"), "Work stopped: It could not be proved dead.",
     "It could not be proved dead"),
    (ev.MadeSafe(line=1), "Made safe: Tag the machine.", ""),
    (ev.MadeSafe(line=0, reason="broken"), "Could not be made safe: Leave the covers on. Reason: broken.", "broken"),
    (ev.HandedOver(name="HANDOVER.md", sha256="0"), "Handover written: HANDOVER.md.", ""),
    (ev.Closed(outcome="proved"), f"Visit closed: {OUTCOMES['proved']}.", ""),
]  # fmt: skip


@pytest.mark.parametrize(("event", "says", "typed"), CASES, ids=lambda x: getattr(x, "kind", None))
def test_event_is_said_in_one_line(event, says, typed):
    """What it was, in the flow's own words, and what a person typed for it as it was typed."""
    assert told.said(good(), BEFORE, event) == says
    assert told.typed(event) == typed


def test_every_kind_of_event_has_words():
    """None is left to a default."""
    assert {type(event) for event, _says, _typed in CASES} == set(ev.KINDS.values())


@pytest.mark.parametrize(
    ("event", "place"),
    [
        (ev.Entered(run=2, inspection="quick", step="bolts"), ("quick", "bolts")),
        (ev.Skipped(inspection="recheck:dampers.pull", how="skipped", reason="x"), ("dampers", "")),
        (ev.Skipped(inspection="motor", how="skipped", reason="x"), ("motor", "")),
        (ev.Answered(run=1, step="bounce", answer="x", goes="end"), ("dampers", "bounce")),
        (ev.Left(run=1, how="done"), ("dampers", "")),
        (ev.Left(run=9, how="done"), ("", "")),
        (ev.Closed(outcome="proved"), ("", "")),
    ],
)
def test_event_has_its_place(event, place):
    assert told.where(BEFORE, event) == place


def test_what_the_flow_does_not_know_is_said_by_its_id():
    """Another flow's fault, stop, inspection and fact."""
    for event in (
        ev.Decided(faults=("gone",)),
        ev.Stopped(stop="gone"),
        ev.Entered(run=2, inspection="gone", step="x"),
        ev.FactTaken(fact="gone", value="x"),
        ev.Repaired(fault="gone", outcome="fitted", parts=("bolt",)),
    ):
        assert "gone" in told.said(good(), BEFORE, event)
