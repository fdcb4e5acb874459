"""A recorded spin in a job: its figures become evidence, it answers steps, and each of them can be put right."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.flows.spin_flow import figure, spin, spin_flow
from tests.helpers.jobs import Job
from wizard.documents.content.step_evidence import answer_evidence
from wizard.documents.document_tree import Evidence
from wizard.domain.recording_vocabulary import DrumLoad, FigureKind, RecordingPlace, SignalKind
from wizard.domain.vocabulary import RefusalReason, Verdict
from wizard.engine.audit import audit
from wizard.engine.measuring import figure_evidence
from wizard.engine.measuring.offered_setting import offered_setting
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered, SpinRecorded, from_dict, to_dict
from wizard.engine.messages.spin_setting import SpinSetting, plate_of
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.fold import fold_all

PEAK = figure(FigureKind.RUN_UP_PEAK, 170.0, 8.0)
CALM = figure(FigureKind.MIDDLE, 0.8, 0.02)
KNOCK = figure(FigureKind.KNOCK, 0.7, 0.05)
WORST = figure(FigureKind.WORST, 3.1, 0.09)


@pytest.fixture
def job():
    """A job at the step that takes the recording."""
    work = Job(flow=spin_flow())
    work.come_to("recorded", "take")
    return work


def take(job, *figures, **changes):
    """Take a made recording at the step on screen."""
    run, step = job.step()
    job.do(c.TakeSpin(run.id, step.id, spin(*figures, **changes), "spin.csv", "ab.csv", "0" * 64))


def given(job, step):
    """The answer of a step that counts."""
    return next((g for g in job.state.answer_records if g.step == step and not g.aside), None)


def test_a_recording_is_an_event_evidence_and_the_answers_that_it_gives(job):
    """What it says is kept; its finding is heard; the step that it is sure of stands as answered from it."""
    take(job, PEAK, CALM, KNOCK, WORST)
    kept = job.state.spins[0]
    assert (kept.file, kept.name, kept.ref.step) == ("spin.csv", "ab.csv", "take") and kept.spin.figures[
        0
    ] == PEAK
    assert given(job, "take").evidence == {"plug-loose": pytest.approx(0.9)}
    assert given(job, "worst").chosen == ("ramp",) and given(job, "worst").recording == kept.seq
    assert job.at == "recorded.who", "what the recording can't say is asked"


def test_what_comes_after_a_question_is_filled_once_it_is_answered(job):
    """The reading of a later step is the recording's figure with its uncertainty beside the tool's."""
    take(job, PEAK, KNOCK, WORST)
    job.answer()
    read = job.state.reading_records[-1]
    assert (read.typed, read.unit, read.recording) == ("3.1", "m/s2", job.state.spins[0].seq)
    assert read.uncertainty == pytest.approx(0.09)
    assert given(job, "shake").verdict is Verdict.FAIL and given(job, "shake").recording
    assert job.at == "map", "all that was left was answered by the recording"


def test_a_row_counts_by_how_likely_it_holds():
    """A peak at the very edge of its range holds by half (normal distribution): no answer is given then."""
    step = spin_flow().inspections["recorded"].step("take")
    edge = spin(figure(FigureKind.RUN_UP_PEAK, 260.0, 5.0))
    assert figure_evidence.held(step, edge)[0].chance == pytest.approx(0.5, abs=1e-6)
    assert figure_evidence.answers(step, edge) == {}
    sure = spin(figure(FigureKind.RUN_UP_PEAK, 200.0, 5.0))
    assert figure_evidence.answers(step, sure) == {"worst": "ramp"}


def test_the_first_row_that_is_sure_answers():
    """A peak in the ramp stands before calm middling speeds in the file."""
    step = spin_flow().inspections["recorded"].step("take")
    assert figure_evidence.answers(step, spin(PEAK, CALM)) == {"worst": "ramp"}
    assert figure_evidence.answers(step, spin(CALM)) == {"worst": "nowhere"}


@pytest.mark.parametrize(
    ("figures", "found"),
    [
        ((KNOCK,), {"plug-loose": 0.9}),
        ((figure(FigureKind.KNOCK, 0.1, 0.05, False),), {"plug-loose": 0.2}),
        ((figure(FigureKind.KNOCK, None, 0.0, None),), {}),
        ((), {}),
    ],
)
def test_what_is_there_what_is_not_and_what_cannot_be_told(figures, found):
    """A knock found, one that was looked for, and one that the phone was too slow for: the last says nothing."""
    step = spin_flow().inspections["recorded"].step("take")
    assert figure_evidence.evidence(step, spin(*figures)) == pytest.approx(found)


def test_a_row_of_motion_says_nothing_of_a_sound():
    """The peak's row is of motions alone."""
    step = spin_flow().inspections["recorded"].step("take")
    assert figure_evidence.answers(step, spin(PEAK, signal=SignalKind.SOUND)) == {}


def test_none_within_bounds_holds_where_another_lies_outside():
    """there = false with bounds: a peak at 500 rpm is none from 90 to 260."""
    from dataclasses import replace

    step = spin_flow().inspections["recorded"].step("take")
    row = replace(step.figures[0], there=False, fills={}, rules_out={"walks": 0.9})
    none = replace(step, figures=(row,))
    apart = spin(figure(FigureKind.RUN_UP_PEAK, 500.0, 6.0))
    assert figure_evidence.evidence(none, apart) == pytest.approx({"walks": 0.1})
    assert figure_evidence.evidence(none, spin(PEAK)) == {}


def test_what_it_answered_is_put_right_by_a_person_and_stays_in_the_record(job):
    """Corrected like any answer: the new one is a person's, the old one is kept aside."""
    take(job, PEAK, WORST)
    job.do(c.Correct(given(job, "worst").seq, ("nowhere",), "I watched it"))
    assert given(job, "worst").chosen == ("nowhere",) and given(job, "worst").recording == 0
    assert [g.aside for g in job.state.answer_records if g.step == "worst"] == [True, False]


def test_a_reading_of_it_is_put_right_too(job):
    """Another number in its place, judged again, with its reason."""
    take(job, PEAK, WORST)
    job.answer()
    job.do(c.CorrectReading(job.state.reading_records[-1].seq, "1.0", "the phone lay askew"))
    assert given(job, "shake").verdict is Verdict.PASS


def test_undo_takes_back_what_was_filled_and_asks_a_person(job):
    """The last answer is the recording's: taken back, its step is on screen and is asked."""
    take(job, PEAK)
    job.do(c.Undo())
    assert job.at == "recorded.worst" and given(job, "worst") is None
    job.answer("nowhere")
    assert given(job, "worst").recording == 0
    job.do(c.Undo())
    job.do(c.Undo())
    assert job.at == "recorded.take" and given(job, "take") is None


def test_without_a_recording_the_steps_are_asked(job):
    """No phone: why is kept, and a person answers."""
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no phone at hand"))
    assert job.at == "recorded.worst"
    job.answer()
    assert job.at == "recorded.who"


def test_a_number_that_the_step_does_not_believe_is_asked(job):
    """61 m/s2 is outside of the step's range: a person reads it."""
    take(job, PEAK, figure(FigureKind.WORST, 61.0, 1.0))
    job.answer()
    assert job.at == "recorded.shake" and not job.state.reading_records


def test_it_is_taken_at_its_own_step_alone_and_answered_by_nothing_else(job):
    """A choose step takes no recording; a record step no answer."""
    run, step = job.step()
    assert job.refused(c.GiveAnswer(run.id, step.id, ("done",))) is RefusalReason.UNKNOWN
    take(job)
    run, step = job.step()
    refused = job.refused(c.TakeSpin(run.id, step.id, spin(), "spin.csv"))
    assert refused is RefusalReason.UNKNOWN


def test_what_a_journal_holds_folds_to_the_same_state_and_is_decided_again(job):
    """Written as TOML tables and read back; the audit finds no event that the rules would not have written."""
    take(job, PEAK, CALM, KNOCK, WORST)
    job.answer()
    again = [from_dict(to_dict(r)) for r in job.records]
    assert fold_all(again) == job.state and again == list(job.records)
    assert any(isinstance(r.event, SpinRecorded) for r in again)
    assert audit(Rules.of(job.flow), again) == ()


def test_a_forged_answer_of_a_recording_is_found(job):
    """Another answer under the recording's name is a breach."""
    take(job, PEAK, WORST)
    forged = [
        replace(r, event=replace(r.event, chosen=("nowhere",)))
        if isinstance(r.event, Answered) and r.event.step == "worst"
        else r
        for r in job.records
    ]
    assert audit(Rules.of(job.flow), forged)


def test_how_it_is_known_is_from_the_recording(job):
    """Neither seen nor measured nor told: a way of knowing of its own."""
    take(job, PEAK)
    assert answer_evidence(job.flow, given(job, "worst")) is Evidence.FROM_RECORDING
    assert answer_evidence(job.flow, given(job, "take")) is Evidence.FROM_RECORDING
    job.do(c.Correct(given(job, "worst").seq, ("nowhere",), "I watched it"))
    assert answer_evidence(job.flow, given(job, "worst")) is Evidence.TOLD


@pytest.mark.parametrize(
    "changes",
    [{"times": (0.0,)}, {"times": (0.0, 0.0), "speeds": (0.0, 0.0), "levels": (0.0, 0.0)}, {"seconds": 0.0},
     {"speeds": (-1.0,) * 61}],
)  # fmt: skip
def test_what_no_analysis_gives_is_no_recording(changes):
    """A journal may hold what the program never writes."""
    with pytest.raises(ValueError, match="no analysis gives"):
        spin(**changes)


def test_a_recording_made_elsewhere_is_said_in_the_record(job):
    """What speaks against the phone's place stands before the figures."""
    take(job, PEAK, place=("The phone lay with its screen down.",))
    assert (
        "60 s of motion (spin.csv). The phone lay with its screen down. run-up peak"
        in given(job, "take").says
    )


def test_a_record_step_is_corrected_by_what_it_answered_alone(job):
    """Its own answer stays as the recording gave it."""
    take(job, PEAK)
    refused = job.refused(c.Correct(given(job, "take").seq, ("done",), "I meant another file"))
    assert refused is RefusalReason.UNKNOWN


def test_what_a_recording_says_was_not_looked_at(job):
    """The reason of a ranking doesn't call it 'probably seen'; once a person put it right, it is."""
    from wizard.engine.guidance.evidence_columns import looked_columns
    from wizard.engine.guidance.session_ranking import base_network

    take(job, PEAK, KNOCK)
    base = base_network(job.view)
    assert not {"walks", "plug-loose"} & looked_columns(base, job.view)
    job.do(c.Correct(given(job, "worst").seq, ("nowhere",), "I watched it"))
    assert "walks" in looked_columns(base, job.view)


@pytest.fixture
def plated():
    """A job of a flow that has the plate's top speed as a fact, at the step that takes the recording."""
    from tests.helpers.flows.spin_flow import INSPECTION, spin_files
    from wizard.flow.loading.flow_loader import load_files

    files = spin_files()
    said = 'load = "empty"\nplaces = { motion = "top front corner" }\nplate = "top-speed"\n'
    old = 'bearings = ["6205"]\n'
    files["inspections/recorded.toml"] = INSPECTION.replace(old, old + said).encode()
    fact = '\n[[fact]]\nid = "top-speed"\nask = "Top spin speed in rpm, from the plate"\nrequired = false\n'
    files["flow.toml"] += fact.encode()
    work = Job({"top-speed": ""}, load_files(files))
    work.come_to("recorded", "take")
    return work


def test_the_plates_top_speed_is_kept_as_the_machines_fact(plated):
    """What was typed at the recording; an evidence of the recording is as without; the record reads it back."""
    step = plated.step()[1]
    offered = offered_setting(plated.state, step, SignalKind.MOTION)
    assert (offered.load, offered.place, offered.plate) == (DrumLoad.EMPTY, RecordingPlace.TOP, None)
    take(plated, PEAK, KNOCK, setting=replace(offered, plate_rpm=1200.0, bearing="6205"))
    assert plated.state.facts["top-speed"] == "1200"
    assert given(plated, "take").recording == plated.state.spins[0].seq
    assert given(plated, "worst").recording == plated.state.spins[0].seq
    says = given(plated, "take").says
    assert "Empty drum; phone on the top front corner; plate 1200 rpm; bearing 6205." in says
    again = [from_dict(to_dict(r)) for r in plated.records]
    assert fold_all(again) == plated.state and audit(Rules.of(plated.flow), again) == ()


def test_what_is_known_of_the_machine_is_offered_at_the_next_recording(plated):
    """The fact, and a bearing that was typed before; a fact that is no speed is none."""
    step = plated.step()[1]
    plated.do(c.SetFact("top-speed", "1,400 rpm"))
    assert offered_setting(plated.state, step).plate == 1400
    take(plated, PEAK, setting=SpinSetting(plate_rpm=1400.0, bearing="6305"))
    assert plated.state.facts["top-speed"] == "1400" and offered_setting(plated.state, step).bearing == "6305"
    plated.do(c.SetFact("top-speed", "see sheet"))
    assert offered_setting(plated.state, step).plate == 1400, "what was typed at the recording"


@pytest.mark.parametrize(
    ("typed", "rpm"), [("", 0), ("1200", 1200), (" 1,400 rpm ", 1400), ("1 600", 1600), ("800 1/min", 800)]
)
def test_a_top_speed_is_typed_as_people_write_it(typed, rpm):
    """With or without its unit and marks."""
    assert plate_of(typed) == rpm


@pytest.mark.parametrize(
    "typed", ["90", "2001", "fast", "-1200", "12.5", "1200x", "\u0661\u0662\u0660\u0660", "9" * 400]
)
def test_what_is_no_top_speed_is_refused_in_words(typed):
    """With what may be typed, and short."""
    with pytest.raises(ValueError, match="from 200 to 2000") as refused:
        plate_of(typed)
    assert len(str(refused.value)) < 120


@pytest.mark.parametrize("changes", [{"plate_rpm": 90.0}, {"plate_rpm": -5.0}, {"bearing": "6" * 61}])
def test_what_no_plate_says_is_no_setting(changes):
    """A journal may hold what the program never writes."""
    with pytest.raises(ValueError):
        SpinSetting(**changes)


def test_the_recording_from_before_is_none_of_the_spin_after(job):
    """The same bytes under another name prove nothing: refused in words, and the step waits. Another file is taken."""
    take(job, PEAK, KNOCK)
    job.do(c.Leave())
    job.come_to("spin", "again")
    run, step = job.step()
    same = c.TakeSpin(run.id, step.id, spin(KNOCK), "after.csv", "cd.csv", "0" * 64)
    assert job.refused(same) is RefusalReason.UNKNOWN and job.at == "spin.again"
    another = spin(KNOCK, levels=tuple(0.9 * level for level in spin().levels))
    job.do(replace(same, sha256="1" * 64, spin=another))
    assert [kept.file for kept in job.state.spins] == ["spin.csv", "after.csv"]


def test_a_copy_with_another_byte_is_the_same_recording(job):
    """Other bytes and the same points to draw: refused in the same words. Another spin has other points."""
    take(job, PEAK, KNOCK)
    job.do(c.Leave())
    job.come_to("spin", "again")
    run, step = job.step()
    levels = spin().levels
    copy = c.TakeSpin(
        run.id, step.id, spin(KNOCK, levels=(*levels[:-1], 0.5)), "after.csv", "cd.csv", "1" * 64
    )
    assert job.refused(copy) is RefusalReason.UNKNOWN and job.at == "spin.again"
    job.do(replace(copy, spin=spin(KNOCK, levels=tuple(1.01 * level for level in levels))))
    assert len(job.state.spins) == 2
