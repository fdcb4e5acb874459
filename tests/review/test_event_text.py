"""Every kind of event in words, and what was typed for it."""

import pytest

from tests.helpers.decay_records import made
from tests.helpers.flows.spin_flow import spin
from tests.helpers.jobs import good
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, JobOutcome, Phase, RepairOutcome, RunStatus, SkipHow, Verdict
from wizard.engine.messages import commands as cmd
from wizard.engine.messages import events as ev
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.state.job_state import Repair, Run, State, changed
from wizard.engine.state.job_view import JobView
from wizard.review import event_text
from wizard.safety import WideningReason

BEFORE = State(
    runs=(Run(1, "dampers", Phase.BEFORE, 1, "pull", RunStatus.OPEN, "", 1),),
    facts={"kind": "front-loader", "dampers": "3"},
    goal="wiring",
)
HELD = {"supply": frozenset(("held",))}
STOP = good().stops["gas"]

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
    (ev.Entered(run=1, inspection="dampers", step="pull", phase=Phase.AFTER),
     "Dampers resumed.", ""),
    (ev.Entered(run=2, inspection="quick", step="bolts", condition="transit"),
     "Quick checks, asked for: Transit bolts.", ""),
    (ev.ReadingTaken(run=1, step="pull", value=18.0, typed="18", unit="N", tool="Pull scale", place="damper 1, out"),
     "Read damper 1, out: 18 N with Pull scale.", "18"),
    (ev.ReadingTaken(run=1, step="pull", repeat=2, value=18.0, typed="1.8 kg", unit="N", reason="typed again"),
     "Read 1.8 kg, no. 3. Reason: typed again.", "1.8 kg"),
    (ev.ReadingTaken(run=1, step="pull", value=0.127, typed="0.127", unit="1", tool="Phone", recording=4),
     "Read 0.127 with Phone.", "0.127"),
    (ev.RecordingTaken(run=1, step="pull", name="ab.csv", sha256="0", file="tub.csv", found=made()),
     "Recording ab.csv (tub.csv): 1.8 s of Z, fluid damping and dry friction, 2.70 Hz.", "ab.csv"),
    (ev.SpinRecorded(run=1, step="pull", name="ab.csv", sha256="0", file="spin.csv", spin=spin()),
     "Recorded spin ab.csv (spin.csv): 60 s of motion, 0 figures.", "ab.csv"),
    (ev.SpinRecorded(run=1, step="pull", name="", sha256="0", file="long.wav", spin=spin()),
     "Recorded spin long.wav, not kept here: 60 s of motion, 0 figures.", ""),
    (ev.Answered(run=1, step="bounce", chosen=("swings",), goes="pull", says="Three or more", recording=7),
     "Three or more. From the recording.", ""),
    (ev.Answered(run=1, step="bounce", chosen=("swings",), goes="pull", verdict=Verdict.FAIL, says="Three or more"),
     "Three or more. [fail]", ""),
    (ev.Answered(run=1, step="bounce", chosen=("lingers",), goes="pull"), "Two.", ""),
    (ev.Answered(run=1, step="bounce", chosen=("swings",), goes="pull", says="Three or more", instead_of=3,
                 reason="counted again"), "Corrected: Three or more. Reason: counted again.", "counted again"),
    (ev.Answered(run=1, step="pull", chosen=(), how=AnswerHow.UNABLE, goes="end", reason="no scale"),
     "Not done. Reason: no scale.", "no scale"),
    (ev.Answered(run=1, step="pull", chosen=(), how=AnswerHow.NOT_FITTED, goes="end", reason="none there"),
     "Not fitted. Reason: none there.", "none there"),
    (ev.Answered(run=1, step="bounce", chosen=("lingers",), goes="pull", contradicts=("taps",)),
     "Two. Against what was known: Taps.", ""),
    (ev.Undone(seq=7, run=1, step="pull"), "Taken back: event 7.", ""),
    (ev.InspectionLeft(run=1, how=RunStatus.LEFT), "Dampers left, its place kept.", ""),
    (ev.InspectionLeft(run=1, how=RunStatus.VOID), "Dampers no longer counts.", ""),
    (ev.Shown(run=1, step="pull", belief=HELD), "Dampers, pull, may be done: what it needs holds.", ""),
    (ev.Shown(run=0, step="wiring"), "Push the plug home may be done: what it needs holds.", ""),
    (ev.Widened(why=WideningReason.LAPSE, belief=HELD), "Less is known, no key for too long: Supply.", ""),
    (ev.Paused(), "A break.", ""),
    (ev.TakenOver(name="S. Ash"), "S. Ash goes on.", "S. Ash"),
    (ev.Released(condition="gas", name="P. Elm", words="Valve shut"), "Released: Gas, by P. Elm. Valve shut.",
     "Valve shut"),
    (ev.Headed(fault="wiring"), "Getting ready to repair: Push the plug home.", ""),
    (ev.Headed(), "No longer getting ready to repair: Push the plug home.", ""),
    (ev.Skipped(inspection="motor", how=SkipHow.SKIPPED, reason="no time"),
     "Motor wiring left out. Reason: no time.", "no time"),
    (ev.Skipped(inspection="dampers", how=SkipHow.SKIPPED, reason="no time", step="pull", recheck=True),
     "Measuring again: Dampers left out. Reason: no time.", "no time"),
    (ev.NoteTaken(text="The floor is wet"), "Note: The floor is wet.", "The floor is wet"),
    (ev.PhotoTaken(name="ab.jpg", sha256="0", caption="The plug"), "Photo ab.jpg. The plug.", "ab.jpg"),
    (ev.NoteUndone(seq=7), "Taken back: event 7.", ""),
    (ev.DraftKept(run=1, step="pull", text="1"), "Kept as a draft: 1.", "1"),
    (ev.Decided(faults=("dampers-worn",)), "Confirmed: Dampers worn.", ""),
    (ev.Decided(faults=()), "Confirmed: no fault.", ""),
    (ev.RepairDone(fault="dampers-worn", outcome=RepairOutcome.FITTED, parts=(PartFitted("damper", 3),)),
     "Fit a new set of dampers: fitted. Parts: 3 x Damper.", ""),
    (ev.RepairDone(fault="dampers-worn", outcome=RepairOutcome.DECLINED, reason="told"),
     "Fit a new set of dampers: declined. Reason: told.", "told"),
    (ev.Stopped(stop="gas", words="In the hall"), f"Work stopped: {STOP.says} In the hall.", "In the hall"),
    (ev.Stopped(stop="gas"), f"Work stopped: {STOP.says}", ""),
    (ev.Stopped(stop="gas", words=STOP.says), f"Work stopped: {STOP.says}", STOP.says),
    (ev.StopWithdrawn(stopped=9, stop="gas", reason="wrong key"),
     f"Stop taken back as a slip: {STOP.says} Reason: wrong key.", "wrong key"),
    (ev.StopCleared(stopped=9, stop="gas", name="P. Elm", entries=(12,)),
     f"Stop over: {STOP.says} Asked anew and found well, by P. Elm.", ""),
    (ev.MadeSafe(stop="gas", line=1), f"Made safe: {STOP.make_safe[1]}", ""),
    (ev.MadeSafe(stop="gas", line=0, reason="broken"),
     f"Could not be made safe: {STOP.make_safe[0]} Reason: broken.", "broken"),
    (ev.HandedOver(name="HANDOVER.md", sha256="0"), "Handover written: HANDOVER.md.", ""),
    (ev.Closed(outcome=JobOutcome.PROVED), "Visit closed: advice given, and proved.", ""),
]  # fmt: skip


@pytest.mark.parametrize(("event", "says", "typed"), CASES, ids=lambda x: getattr(x, "kind", None))
def test_event_is_said_in_one_line(event, says, typed):
    """What it was, in the flow's own words, and what a person typed for it as it was typed."""
    assert event_text.event_words(JobView.of(good(), BEFORE), event) == says
    assert event_text.typed(event) == typed


def test_every_kind_of_event_has_words():
    """None is left to a default."""
    assert {type(event) for event, _says, _typed in CASES} == set(ev.CODEC.kinds.values())


@pytest.mark.parametrize(
    ("event", "place"),
    [
        (ev.Entered(run=2, inspection="quick", step="bolts"), Target("quick", "bolts")),
        (
            ev.Skipped(inspection="dampers", how=SkipHow.SKIPPED, reason="x", step="pull"),
            Target("dampers", "pull"),
        ),
        (ev.Skipped(inspection="motor", how=SkipHow.SKIPPED, reason="x"), Target("motor", "")),
        (ev.Shown(run=1, step="pull"), Target("dampers", "pull")),
        (ev.Shown(run=0, step="wiring"), None),
        (ev.Answered(run=1, step="bounce", chosen=("x",), goes="end"), Target("dampers", "bounce")),
        (ev.InspectionLeft(run=1, how=RunStatus.DONE), Target("dampers", "")),
        (ev.InspectionLeft(run=9, how=RunStatus.DONE), None),
        (ev.Closed(outcome=JobOutcome.PROVED), None),
    ],
)
def test_event_has_its_place(event, place):
    assert event_text.where(BEFORE, event) == place


def test_what_the_flow_does_not_know_is_said_by_its_id():
    """Another flow's fault, stop, inspection and fact."""
    for event in (
        ev.Decided(faults=("gone",)),
        ev.Stopped(stop="gone"),
        ev.Shown(run=0, step="gone"),
        ev.Released(condition="gone", name="P. Elm", words="x"),
        ev.Widened(why=WideningReason.LAPSE, belief={"gone": frozenset(("x",))}),
        ev.Headed(fault="gone"),
        ev.Entered(run=2, inspection="gone", step="x"),
        ev.FactTaken(fact="gone", value="x"),
        ev.RepairDone(fault="gone", outcome=RepairOutcome.FITTED, parts=(PartFitted("bolt", 1),)),
    ):
        assert "gone" in event_text.event_words(JobView.of(good(), BEFORE), event)


def test_what_is_believed_from_an_event_on_is_said_in_the_flows_words():
    """A condition a line; a set that may be anything is not known; another flow's condition by its ids."""
    sets = {
        "supply": frozenset(("held",)),
        "motion": frozenset(("turning", "still")),
        "gone": frozenset(("b", "a")),
    }
    said = event_text.believed(good(), ev.Widened(why=WideningReason.LAPSE, belief=sets))
    assert said == ("Supply: plug or fuse out, with me", "Drum: not known", "gone: a or b")
    assert event_text.believed(good(), ev.Paused()) == ()


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (ev.Asked(cmd.Touch(), idle=960.0), "touch, 16 min 00 s after the last key."),
        (ev.Asked(cmd.Restart(), gap=90.0), "restart, 1 min 30 s after the program last ran."),
        (
            ev.Asked(cmd.Pause(), idle=3.0, backwards=True),
            "pause, 3 s after the last key, a clock had gone back.",
        ),
        (None, ""),
    ],
)
def test_what_was_asked_is_said_where_an_event_is_the_first_of_it(asked, says):
    """The command, how long nobody was seen, and what the clocks said."""
    assert event_text.asked(ev.Recorded(1, "2026-03-02T09:00:00Z", 0.0, ev.Paused(), asked)) == says


def test_after_the_repair_is_said_only_where_something_was_repaired():
    """A proof may be gone through though nothing was repaired: a repair declined is none."""
    entered = ev.Entered(run=1, inspection="dampers", step="pull", phase=Phase.AFTER)
    said = {}
    for outcome in (RepairOutcome.FITTED, RepairOutcome.DECLINED):
        done = changed(BEFORE, seq=2, repairs=(Repair(1, 1, "dampers-worn", outcome, (), "", ()),))
        said[outcome] = event_text.event_words(JobView.of(good(), done), entered)
    assert said[RepairOutcome.FITTED] == "Dampers resumed, after the repair."
    assert said[RepairOutcome.DECLINED] == "Dampers resumed."
