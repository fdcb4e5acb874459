"""A job by lines, on the small flow: its questions, its commands, and what is dropped, refused, kept."""

from __future__ import annotations

import errno
import re
from pathlib import Path

import pytest

from tests.helpers.flows.waiting_flow import waiting
from tests.helpers.stage import stage as full_screen
from tests.helpers.terminal_program.line_stage import LineStage
from wizard.domain.vocabulary import JobState
from wizard.engine.audit import audit
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries
from wizard.engine.queries.machine_view import badge
from wizard.errors import JournalLost
from wizard.journal import journal_writer
from wizard.lines.job_lines import SCENES
from wizard.lines.scenes.arrival_scenes import FactLines
from wizard.lines.terminal.line_commands import OWN, LineWord, command_of
from wizard.safety import WideningReason
from wizard.screens.layout.key_table import bindings
from wizard.screens.text.badge_text import badge_words
from wizard.screens.text.labels import WIDENED
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import verified


@pytest.fixture
def stage(tmp_path: Path) -> LineStage:
    """A job whose customer and machine are known, on its map."""
    return LineStage(tmp_path)


def open_first(stage: LineStage) -> str:
    """Open the inspection of the dampers by its number, up to its first question: what it needs is asked first."""
    rows = stage.lines._now().rows
    return stage.type(next(str(n) for n, row in enumerate(rows, start=1) if row.target == "dampers"))


def test_the_map_is_a_numbered_list_and_enter_takes_what_comes_next(stage: LineStage) -> None:
    """Each part with how it stands; what comes next stands last, with its number."""
    text = stage.type()
    assert "Job map, " in text and " 1: " in text and "Next: " in text and "Enter takes" in text
    assert stage.job.state.run is None
    assert "Quick checks: step 1 of 1" in stage.type("") and stage.job.state.run is not None
    stage.type("m")
    assert "asked first" in open_first(stage)


def test_a_step_says_the_machine_why_it_is_asked_and_its_warnings_before_what_to_do(stage: LineStage) -> None:
    """In this order, each once: where one is, how the machine stands, why it is asked, the warning, what to do, the
    answers, and what is typed.
    """
    open_first(stage)
    stage.host._badge = ""
    text = stage.type(".")
    step = stage.lines._now().current.step
    parts = [
        "Before anything is touched: asked first",
        f"Machine: {badge_words(badge(stage.job.view))}.",
        "Asked for: Gas, for: Dampers",
        "DANGER: Gas or a live cabinet kills.",
        f"Do: {' '.join(step.do.split())}",
        f" 1: {stage.lines._now().numbered[0].answer.says}",
        "Answer, 1 to 8:",
    ]
    text = text[text.index(parts[0]) :]  # Before it stands the prompt that was typed to.
    places = [text.find(part) for part in parts]
    assert -1 not in places and places == sorted(places), list(zip(parts, places, strict=True))
    assert all(text.count(part) == 1 for part in parts)


def usual(stage: LineStage) -> str:
    """Answer the step on hand the usual way, by its number."""
    scene = stage.lines._now()
    step = scene.current.step
    if not getattr(scene, "numbered", ()):
        return stage.type("")
    found = next(n for n in scene.numbered if step.usual is None or n.answer.id == step.usual.id)
    text = stage.type(found.digit)
    return stage.type("") if "Enter gives" in text or step.many else text


def test_how_the_machine_stands_is_said_when_it_changes_and_only_then(stage: LineStage) -> None:
    """The words of the badge, in a line, after the answer that changed them; after any other nothing of it."""
    open_first(stage)
    kept = changed = 0
    while stage.job.state.run is not None and stage.job.state.run.only:
        before, answered = badge_words(badge(stage.job.view)), len(stage.job.state.answer_records)
        text = usual(stage)
        after = badge_words(badge(stage.job.view))
        if len(stage.job.state.answer_records) == answered:
            continue  # It was too early: nothing was taken.
        assert re.findall(r"Machine: ([^.]*)\.", text) == ([after] if after != before else [])
        changed, kept = changed + (after != before), kept + (after == before)
    assert changed > 2 and kept > 0


def test_a_pasted_flood_answers_one_question_at_most(stage: LineStage) -> None:
    """What came before the next question was there is dropped, and said; nothing of it is an answer."""
    open_first(stage)
    before = len(stage.job.state.answer_records)
    stage.source.pile = []
    scene = stage.lines._now()
    digit = next(n.digit for n in scene.numbered if n.answer.id == scene.current.step.usual.id)

    class Flood(type(stage.source)):
        """Twenty lines more stand behind the one that is taken."""

        def next(self, seconds):
            line = super().next(seconds)
            if line is not None and not self.lines:
                self.pile = ["1"] * 20
            return line

    stage.source.__class__ = Flood
    text = stage.type(digit)
    assert len(stage.job.state.answer_records) == before + 1
    assert (
        "Too quick: '1' and 19 more lines came before the question could be read. None of it was taken."
        in text
    )


def test_a_line_right_behind_the_question_is_dropped_with_all_that_follows(stage: LineStage) -> None:
    """A tenth of a second is no time to read in."""
    open_first(stage)
    before = stage.job.state.seq
    stage.source.pace = 0.1  # And a tenth of a second between them.
    text = stage.type("1", "1", "1")
    assert stage.job.state.seq == before and "Too quick: '1' and 2 more lines" in text


def test_a_step_that_keeps_people_safe_takes_its_least_time(stage: LineStage) -> None:
    """Before it can have been read no answer is taken, and when one is is said."""
    open_first(stage)
    before = stage.job.state.seq
    stage.source.pace = 0.5
    scene = stage.lines._now()
    text = stage.type(scene.numbered[0].digit)
    assert stage.job.state.seq == before and "an answer is taken in" in text


def test_what_no_answer_has_is_said_with_what_there_is(stage: LineStage) -> None:
    """A number too high, a word, an unknown command: nothing is done."""
    open_first(stage)
    before = stage.job.state.seq
    text = stage.type("77", "yes please", "/nothing", "")
    assert stage.job.state.seq == before
    assert "There is no 77 here" in text and "There is no yes please here" in text
    assert "There is no /nothing here. ? says what may be typed." in text and "Nothing is typed" in text


def test_help_says_what_the_question_is_and_all_that_may_be_typed(stage: LineStage) -> None:
    """At a step, on the map, and in a question that lies over another."""
    assert "Every part of the job" in stage.type("?")
    open_first(stage)
    assert "u or undo: Take the last answer or reading back." in stage.type("?")
    assert "It stands in the record at this step" in stage.type("n", "?", "/back")


def test_a_note_a_break_and_the_machine(stage: LineStage) -> None:
    """A note is kept in its words; a break makes less known, and says so; the machine is told row by row."""
    open_first(stage)
    stage.type("n", "The tap drips; s or u here are words")
    assert stage.job.state.notes[-1].text == "The tap drips; s or u here are words"
    assert "Supply: " in stage.type("i")
    text = stage.type("b", "1")
    assert "The break is noted." in text and "asked again" in text


def test_undo_map_and_leave_out_with_a_reason(stage: LineStage) -> None:
    """The last answer is taken back; the map is a letter away; a part is left out by its number, with a reason."""
    open_first(stage)
    usual(stage)
    answered = len([g for g in stage.job.state.answer_records if not g.aside])
    stage.type("u")
    assert len([g for g in stage.job.state.answer_records if not g.aside]) == answered - 1
    assert " 2: " in stage.type("m")
    stage.type("x 1", "2")
    ((_how, reason, *_),) = stage.job.state.skipped.values()
    assert reason == "No time for it on this visit"


def test_a_step_that_can_t_be_done_is_left_with_a_reason(stage: LineStage) -> None:
    """x asks how and why; the words are the record's."""
    stage.type("")
    run = stage.job.state.run
    text = stage.type("x", "1", "It is behind the wardrobe")
    assert "Leave this step out?" in text and "why can't it be done?" in text
    assert [g.reason for g in stage.job.state.answers(run.id)] == ["It is behind the wardrobe"]


def test_work_is_stopped_from_within_another_question(stage: LineStage) -> None:
    """/stop leaves the note that was begun; reason, whom to call, Enter; then each line, and the close."""
    open_first(stage)
    text = stage.type("n", "/stop", "1", "")
    assert stage.job.state.job is JobState.STOPPED and "Call: " in text and "Work is stopped" in text
    assert stage.job.state.notes == ()
    while stage.lines._now().stop.line is not None:
        text = stage.type("")
    assert "c: Close the job" in text
    text = stage.type("n", "Nobody may use it; the owner was told", "c", "CLOSE")
    assert stage.job.state.job is JobState.CLOSED and "Seal of the record: " in text


def test_a_lapse_asks_anew_and_says_what_was_not_taken(stage: LineStage) -> None:
    """Hours without a line: why less is known is said; the line that came then goes nowhere."""
    open_first(stage)
    for _ in range(3):
        usual(stage)
    before = len(stage.job.state.answer_records)
    stage.clock.move(5 * 3600.0)
    text = stage.type("1")
    assert "'1' was not taken." in text and any(words in text for words in WIDENED.values())
    assert len([g for g in stage.job.state.answer_records if not g.aside]) <= before


def test_nobody_at_the_keys_is_met_without_a_line(stage: LineStage) -> None:
    """The watch says by itself that less is known; the question that is asked then stands there."""
    open_first(stage)
    for _ in range(3):
        usual(stage)
    text = stage.type(silent=12 * 60)
    assert WIDENED[WideningReason.LAPSE] in text and "Do: " in text


def test_a_reading_has_its_unit_and_limits_and_is_judged(stage: LineStage) -> None:
    """Typed as people write, with another unit; out of its range it is asked about; the verdict in words."""
    seen = ""
    for _ in range(60):
        run = stage.job.state.run
        step = None if run is None else stage.job.flow.inspections[run.inspection].step(run.at)
        if step is not None and step.kind == "measure":
            break
        seen = open_first(stage) if run is None else usual(stage)
    assert "Measured with: " in seen and "Limit: " in seen and ", 1 of 3, in N:" in seen
    text = stage.type("not a number")
    assert stage.job.state.readings(run.id, run.at) == () and "not a number" in text
    from wizard.measure.quantities import units

    value = units.from_si(step.reading.usual, step.reading.unit)
    for _ in range(20):
        text = stage.type(f"{value:g}")
        if "Enter goes on" in text:
            break
        if "Is it right?" in text:
            text = stage.type("1")
    assert "Read: " in text and "Enter goes on, + takes one more" in text
    assert stage.job.state.readings(run.id, run.at)


def test_a_correction_keeps_the_earlier_answer(stage: LineStage) -> None:
    """Which, what and why, by numbers and words."""
    text = stage.type("c")
    fact = next(f for f in stage.job.flow.facts if f.values)
    number = re.search(rf"(\d+): Machine: {re.escape(fact.ask)}", text)
    assert number is not None and "Which one, 1 to " in text
    text = stage.type("back", "c", number[1], "2", "The plate says so")
    assert f"It was: {fact.values[0].says}." in text
    assert stage.job.state.facts[fact.id] == fact.values[1].id
    asked = [r.asked.command for r in stage.store.load(stage.job.opened.name).records if r.asked]
    assert c.SetFact(fact.id, fact.values[1].id, "The plate says so") in asked


def test_hostile_words_are_kept_and_shown_harmless(stage: LineStage) -> None:
    """What a terminal would obey never comes out, whoever typed it, and the journal stays readable."""
    open_first(stage)
    text = stage.type("n", "red \x1b[31m bell \x07 turned \u202e round", "zz\x1b[2J")
    assert "\x1b" not in text and b"\x1b" not in stage.raw.getvalue()
    assert "\x1b" not in stage.job.state.notes[-1].text
    stage.job.do(c.AddNote("typed elsewhere \x1b]0;title\x07"))
    stage.type("m", "f")
    assert b"\x1b" not in stage.raw.getvalue() and b"\x07" not in stage.raw.getvalue()


def test_ascii_where_the_encoding_wants_it(tmp_path: Path) -> None:
    """Written strictly into ASCII: not one sign is left that it can't hold."""
    stage = LineStage(tmp_path, encoding="ascii")
    open_first(stage)
    for _ in range(6):
        usual(stage)
    assert stage.raw.getvalue().decode("ascii")


def test_a_defect_of_the_program_ends_no_job(stage: LineStage, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is logged and said, and the question is asked anew; the third one in a row ends the program."""
    open_first(stage)
    scene = stage.lines._now()

    def broken(_text: str) -> None:
        raise RuntimeError("worn out")

    monkeypatch.setattr(scene, "take", broken)
    text = stage.type("1", ".")
    assert "trouble.log" in text and (stage.store.root / "trouble.log").is_file() and text.count("Do: ") >= 2
    with pytest.raises(RuntimeError):
        stage.type("1", "1", "1")


TEXTUAL = {"asterisk": "*", "equals_sign": "=", "plus": "+", "question_mark": "?", "full_stop": "."}
"""What Textual calls a sign."""


def test_the_letters_are_keys_that_the_full_screen_listens_to() -> None:
    """What is typed is one of the keys of that command's binding there; no two commands of a question share one."""
    for word in LineWord:
        if word not in OWN:
            (binding,) = bindings(word.value)
            keys = [TEXTUAL.get(key, key) for key in binding.key.split(",")]
            assert command_of(word).letter in keys, word
    for scene in (*SCENES.values(), FactLines):
        own = set(getattr(scene, "also", ())) | {LineWord.HELP, LineWord.LEAVE, LineWord.AGAIN, LineWord.STOP}
        letters = [command_of(word).letter for word in own]
        assert len(letters) == len(set(letters)), scene


BOTH = {
    "note": (("n", "Wet"), (("n",), "Wet"), (c.AddNote("Wet"),)),
    "break": (("b", "1"), (("b", "1"), ""), (c.Pause(),)),
    "map": (("m",), (("m",), ""), (c.Leave(),)),
    "stop": (("s", "1", ""), (("s", "1", "enter"), ""), (c.StopWork,)),
    "leave": (("q", "2"), (("f12", "2"), ""), ()),
}
"""What is typed by lines; the keys, and the text behind them, on the full screen; the commands that come of either."""


@pytest.mark.parametrize("act", BOTH)
async def test_the_same_letter_asks_the_engine_the_same_in_both_rooms(tmp_path: Path, act: str) -> None:
    """At the same step of the same job: who knows the one room knows the other."""
    typed, (keys, text), wanted = BOTH[act]
    stage = LineStage(tmp_path / "lines")
    open_first(stage)
    before = stage.job.state.seq
    stage.type(*typed)
    by_lines = asked_since(stage.store, stage.job.opened.name, before)
    async with full_screen(tmp_path / "screen") as on:
        on.job.do(c.OpenInspection("dampers"))
        await on.show()
        before = on.job.state.seq
        await on.press(*keys)
        if text:
            await on.type(text, "enter")
        by_keys = asked_since(on.app.store, on.job.opened.name, before)
    assert [type(one) for one in by_lines] == [type(one) for one in by_keys]
    assert len(by_lines) == len(wanted)
    for found, expected in zip((*by_lines, *by_keys), (*wanted, *wanted), strict=True):
        assert found == expected or type(found) is expected


def asked_since(store: Store, session: str, seq: int) -> list[c.Command]:
    """The commands that were asked of the engine after this event."""
    return [r.asked.command for r in store.load(session).records if r.asked and r.seq > seq]


def test_leaving_asks_first_and_keeps_the_job(stage: LineStage) -> None:
    """2 stays, 1 leaves; nothing of the job changes."""
    before = stage.job.state.seq
    stage.type("q", "2")
    assert not stage.host.left
    stage.type("q", "1")
    assert stage.host.left and stage.job.state.seq == before
    assert not machine_queries.latched(stage.job.view)


def test_a_wait_is_counted_down_in_words(tmp_path: Path) -> None:
    """What is left is said with the step, at a few marks while nobody types, and that it is over; till then nothing is
    taken.
    """
    stage = LineStage(tmp_path, flow=waiting(5.0))
    open_first(stage)
    while not stage.host.controller.wait_left:
        text = usual(stage)
    assert "Until then nothing is taken here." in text
    before = stage.job.state.seq
    assert "are left to wait." in stage.type("32") and stage.job.state.seq == before
    text = stage.type(silent=400)
    assert "Wait: 1 min 00 s more." in text and text.count("The wait is over: it may be answered now.") == 1
    assert text.index("Wait: 30 s more.") < text.index("The wait is over")
    stage.type("32")
    assert stage.job.state.seq > before


class FullDisk:
    """A disk that takes so many events, and no more before there is room."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, takes: int) -> None:
        self.takes, self.real = takes, journal_writer.write_all
        monkeypatch.setattr(journal_writer, "write_all", self)

    def __call__(self, descriptor: int, data: bytes) -> None:
        """Write, or a few bytes and refuse."""
        if self.takes <= 0:
            self.real(descriptor, bytes(data)[:7])
            raise OSError(errno.ENOSPC, "No space left on device")
        self.takes -= 1
        self.real(descriptor, data)


@pytest.mark.parametrize("takes", [0, 1])
def test_a_full_disk_keeps_what_was_typed_and_goes_on_in_place(
    stage: LineStage, monkeypatch: pytest.MonkeyPatch, takes: int
) -> None:
    """Trying again in vain says so again; with room what was typed is taken as it was, whether nothing of what it
    brings about was on the disk, or the first of two events. The record is whole, and the engine would have made it.
    """
    open_first(stage)
    scene = stage.lines._now()
    digit = next(n.digit for n in scene.numbered if n.answer.id == scene.current.step.usual.id)
    disk, answered = FullDisk(monkeypatch, takes), len(stage.job.state.answer_records)

    class Emptied(type(stage.source)):
        """Somebody makes room before the last line."""

        def next(self, seconds):
            if len(self.lines) == 1:
                disk.takes = 99
            return super().next(seconds)

    stage.source.__class__ = Emptied
    text = stage.type(digit, "1", "1")
    assert text.count("The disk is full") >= 2 and "Try again: there is room now" in text
    assert len(stage.job.state.answer_records) == answered + 1 and not stage.job.session.due
    stage.type("n", "There was room again")
    stage.job.opened.close()
    loaded = stage.store.load(stage.job.opened.name)
    assert audit(loaded.view.rules, loaded.records) == () and loaded.state == stage.job.state
    assert verified(stage.store, stage.job.opened.name).chain.ok


def test_what_is_left_while_the_disk_is_full_is_not_kept(
    stage: LineStage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing of it is written, and the question stands as before."""
    open_first(stage)
    before = stage.job.state
    scene = stage.lines._now()
    disk = FullDisk(monkeypatch, 0)
    text = stage.type(scene.numbered[-1].digit, "2")
    assert stage.job.state == before and "Leave it: it is not kept" in text
    disk.takes = 99
    usual(stage)
    assert stage.job.state != before


def test_a_record_changed_by_another_program_ends_the_work_and_keeps_what_was_typed(stage: LineStage) -> None:
    """Nothing is written over it; the last words lie beside it, and the message says where and what to do."""
    stage.type()
    path = stage.job.opened.journal.path
    path.write_bytes(path.read_bytes() + b"# somebody was here\n")
    changed = path.read_bytes()
    with pytest.raises(JournalLost, match="Nothing was written to it") as lost:
        stage.type("n", "The last words")
    assert path.read_bytes() == changed and "unwritten-1.toml" in str(lost.value)
    assert "The last words" in (path.parent / "unwritten-1.toml").read_text(encoding="utf-8")
