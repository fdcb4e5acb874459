"""The replay screen: any event, by inspection, at speed; state, judging, ranking of the moment; notes beside it."""

from contextlib import asynccontextmanager

import pytest

from tests.helpers.stage import SIZES, HandClock, StageJob, screen_text
from wizard.documents.text.outcome_text import OUTCOMES
from wizard.domain.probability import percent
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.messages.repair_parts import PartFitted
from wizard.errors import UsageError
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.journal import durable_io
from wizard.review.replay import Replay
from wizard.screens.replay.replay_app import ReplayApp
from wizard.screens.replay.replay_cursor import STRIDES
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.replay_lists import line_entries
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.sessions import sign_off
from wizard.sessions.session_store import Store

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def mended(job):
    """Weak dampers found, an answer put right, new ones fitted (one too few), closed."""
    job.through("quick")
    job.do(c.OpenInspection("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer("settles")
    bounce = next(g for g in job.state.answer_records if g.step == "bounce")
    job.do(c.Correct(bounce.seq, ("swings",), "counted again"))
    job.asked()
    job.measure(18)
    job.until(NextKind.REPAIR)
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, (PartFitted("damper", 1),)))
    job.until(NextKind.CLOSE)
    job.do(c.Close())


class Viewing:
    """The replay on screen."""

    def __init__(self, app, pilot):
        self.app, self.pilot, self.screen = app, pilot, app.screen

    async def press(self, *keys):
        await self.pilot.press(*keys)
        await self.settle()

    async def settle(self):
        for _ in range(2):
            await self.pilot.pause()
            await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    async def to(self, seq):
        await self.press("g", *str(seq), "enter")

    @property
    def text(self):
        return screen_text(self.app)

    @property
    def place(self):
        return self.screen.cursor.place

    def seqs(self, kind):
        return [r.seq for r in self.app.session.replay.records if r.event.kind == kind]


@pytest.fixture
def home(tmp_path):
    """A home with one session; its store and the session's name."""
    clock = HandClock()
    store = Store(tmp_path, clock, known=lambda digest: True)
    job = StageJob(store, clock)
    job.arrive()
    mended(job)
    job.opened.close()
    return store, job.opened.name


@asynccontextmanager
async def viewing(home, size=(80, 24), event=0):
    app = ReplayApp(*home, event)
    async with app.run_test(size=size) as pilot:
        view = Viewing(app, pilot)
        await view.settle()
        yield view


@both
async def test_opens_on_the_session_as_a_whole(home, size):
    """Which session, flow, machine and end; how much there is to look at; the keys and the time line."""
    async with viewing(home, size) as v:
        for words in ("Session 2026-03-02-a", "washer-bounce 1", "It bangs when it starts", "Front loader",
                      OUTCOMES["proved"], "To look at (key f): ", "1 put right",
                      "before event 1 of", "Space play", "F12 leave",
                      "L power may be on", "O power off"):  # fmt: skip
            assert words in v.text, words


@both
async def test_a_damaged_session_is_gone_through_past_its_damage(home, size):
    """One byte of one event is other: what is missing is said with its line, and every other event is there."""
    store, name = home
    path = store.home.session_folder(name) / "journal.toml"
    data, count = path.read_bytes(), len(store.load(name).records)
    path.write_bytes(data.replace(b"It bangs when", b"It bangs whem", 1))
    async with viewing(home, size) as v:
        assert "fit no seal" in " ".join(v.text.split()) and "Damaged" in v.text
        assert len(v.app.session.replay) == count - 1
        await v.to(v.seqs("reading")[0])
        assert "Read damper 1, out: 18 N with Pull scale." in v.text


@both
async def test_event_shows_screen_typing_judging_time_and_state(home, size):
    """At a reading: the step and its text, what was typed, how it was judged, when, and the safety state then."""
    async with viewing(home, size) as v:
        await v.to(v.seqs("reading")[0])
        for words in ("Dampers", "step 2 of 4", "Take each damper off", "Read damper 1, out: 18 N with Pull scale.",
                      "5 s after the last", "POWER HELD, TRIED, DRUM STILL", "fail",
                      f"event {v.seqs('reading')[0]} of"):  # fmt: skip
            assert words in v.text, words


async def test_ruler_and_limit_are_those_of_the_moment(home):
    """The bands with their edges and the source of the limit."""
    async with viewing(home, (120, 36)) as v:
        await v.to(v.seqs("reading")[0])
        assert "30" in v.text and "80 N" in v.text and "Invented for the tests" in v.text


async def test_ranking_is_that_of_the_moment(home):
    """Beside the words on a wide screen: one answer in, and at the end."""
    async with viewing(home, (120, 36)) as v:
        await v.press("right")
        assert "Nothing is ranked yet." in v.text
        await v.to(v.seqs("reading")[-1])
        first = v.text
        assert "Dampers worn" in first and "What the answers say so far" in first
        early = v.app.session.replay.ranked(v.seqs("complaint")[0])
        late = v.app.session.replay.ranked(v.place)
        assert early != late and percent(late[0].probability) in first


async def test_at_80_columns_the_whole_drawing_is_in_sight_with_the_ranking(tmp_path):
    """Each drawing of the shipped flow to its foot and the name of what is lit; the time line comes back with Tab."""
    folder = folder_of("washer-shake")
    flow, clock = load(folder), HandClock()
    store = Store(tmp_path, clock, known=lambda digest: True)
    job = StageJob(store, clock, flow, folder)
    job.arrive({f.id: f.usual or "X" for f in flow.facts})
    job.through("quick")
    job.do(c.OpenInspection("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer()
    job.opened.close()
    async with viewing((store, job.opened.name)) as v:
        seen = set()
        for seq in v.seqs("answered")[1:]:  # On arrival nothing is ranked.
            shown = v.app.session.replay.frame(v.app.session.replay.place_of(seq)).shown
            ref = shown.closeup or shown.drawing
            if ref is None or ref.drawing in seen:
                continue
            drawing, region = ref.drawing, ref.region
            seen.add(drawing)
            await v.to(seq)
            await v.press("tab")
            for row in flow.drawings[drawing].rows:
                assert row.rstrip() in v.text, (drawing, row)
            assert region.replace("-", " ") in v.text and "What the answers say so far" in v.text
            await v.press("tab")
            assert "On the screen" in v.text and "L power may be on" in v.text
        assert len(seen) > 1


async def test_the_machine_is_told_by_the_names_of_its_facts(home):
    """Not bare values: 'dampers: 3' says what there are three of."""
    async with viewing(home) as v:
        for words in ("Machine: kind: Front loader", "dampers: ", "serial: X1"):
            assert words in v.text, words


def test_the_time_line_says_what_was_put_right_without_two_full_stops(home):
    """A complaint has its own: no second one is put behind it."""
    store, _name = home
    job = StageJob(store, HandClock())
    job.arrive()
    job.do(c.SetComplaint("It walks about."))
    job.opened.close()
    loaded = store.load(job.opened.name)
    says = [e.says for e in line_entries(Replay(loaded.flow, loaded.records))]
    (put_right,) = [s for s in says if s.startswith("It was:")]
    assert put_right.startswith("It was: It bangs when it starts to spin. It is now: It walks about. ")


async def test_a_digit_that_stands_for_nothing_is_said(home):
    """8 and 9 choose nothing: Left and Right go on by what was chosen."""
    async with viewing(home) as v:
        await v.press("2", "9")
        assert "There is no 9 here: press 1-7." in v.text and "by: answer" in v.text
        await v.press("right")
        assert "There is no" not in v.text


async def test_more_below_the_words_is_said(home):
    """A step that is longer than the screen, until it is read to its end."""
    async with viewing(home) as v:
        await v.to(v.seqs("reading")[0])
        assert "▼ more: read on with Down" in v.text
        await v.press(*["down"] * 9)
        assert "▼ more" not in v.text


async def test_narrow_screen_has_drawing_and_ranking_on_a_key(home):
    """Tab shows them instead of the words, and the words again."""
    async with viewing(home) as v:
        await v.to(v.seqs("reading")[0])
        assert "What the answers say so far" not in v.text
        await v.press("tab")
        assert "What the answers say so far" in v.text and "On the screen" not in v.text
        await v.press("tab")
        assert "On the screen" in v.text


@both
async def test_value_put_right_is_shown_with_the_earlier_one(home, size):
    """What it was, what it is, and why."""
    async with viewing(home, size) as v:
        await v.press("5", "right", *["down"] * 9)
        for words in ("It was: At most one [pass]", "It is now: Three or more [fail]", "Why: counted again"):
            assert words in v.text, words


async def test_chosen_answer_is_marked(home):
    """The answer that was given stands out among those there were, without colour."""
    async with viewing(home) as v:
        await v.press("2", "right", "right")
        marked = [line for line in v.text.splitlines() if line.strip().startswith("▸")]
        assert len(marked) == 1


@pytest.mark.parametrize("digit", range(1, 8), ids=[s.says for s in STRIDES])
async def test_left_and_right_go_by_what_the_digits_choose(home, digit):
    """Forward over each, back over each, and a word at either end."""
    async with viewing(home) as v:
        await v.press(str(digit))
        assert f"Left and Right by: {STRIDES[digit - 1].says}" in v.text
        await v.press("right")
        forth = [v.place]
        while len(forth) < 300 and not v.screen.query_one(MessageLine).says:
            v.screen.keys.press(ReplayKey.MOVE, 1)
            forth.append(v.place)
        places = forth[:-1]
        assert places and places == sorted(set(places)) and forth[-1] == places[-1]
        await v.settle()
        assert "There is no further" in v.text
        for place in places[-2::-1]:
            v.screen.keys.press(ReplayKey.MOVE, -1)
            assert v.place == place
        await v.press("left")
        assert v.place == 0 if digit == 1 else "There is no earlier" in v.text


async def test_home_and_end_go_to_the_ends(home):
    async with viewing(home) as v:
        await v.press("end")
        assert v.place == len(v.app.session.replay) and f"Visit closed: {OUTCOMES['proved']}." in v.text
        await v.press("home")
        assert v.place == 0


async def test_event_that_is_none_is_said(home):
    """A number too large, and a word."""
    async with viewing(home) as v:
        await v.to(999)
        assert "999 is no event of this session." in v.text and v.place == 0
        await v.press("g", *"next", "enter")
        assert "next is no event of this session." in v.text


async def test_one_key_plays_and_halts(home):
    """It runs by what is chosen, faster on a key, halts on a key, and by itself at the end."""
    async with viewing(home) as v:
        await v.press("3", "space")
        assert "Running, 2 a second, by inspection. Space halts it." in v.text
        await v.press("plus", "plus", "plus", "plus")
        await v.pilot.pause(0.4)
        assert v.place > 0
        await v.press("space")
        stood = v.place
        await v.pilot.pause(0.3)
        assert v.place == stood and "Running" not in v.text
        await v.press("6", "home", "space")
        await v.pilot.pause(0.5)
        assert "Running" not in v.text and v.place == v.seqs("visit")[0]


async def test_any_move_halts_it(home):
    async with viewing(home) as v:
        await v.press("space", "right")
        assert "Running" not in v.text


@both
async def test_time_line_lists_all_events_and_leads_there(home, size):
    """Down from the event where one is, Enter goes there; Escape changes nothing."""
    async with viewing(home, size) as v:
        records = v.app.session.replay.records
        first = next(n for n, r in enumerate(records, 1) if isinstance(r.event, ev.ReadingTaken))
        await v.to(first)
        await v.press("l")
        assert "Time line" in v.text and "Read damper 1, out" in v.text
        await v.press("down", "enter")
        assert v.place == first + 1
        await v.press("l", "down", "escape")
        assert v.place == first + 1


async def test_inspections_are_listed_with_time_spent_and_usual(home):
    async with viewing(home) as v:
        await v.press("i")
        assert "1 min 50 s of 20 min 00 s  Dampers" in v.text
        await v.press("down", "enter")
        assert v.app.session.replay.records[v.place - 1].event.kind == "entered"


@both
async def test_flags_are_listed_with_evidence_and_shown_at_their_event(home, size):
    """The list says it proves nothing; its rows lead to the event, which shows the flag too."""
    async with viewing(home, size) as v:
        await v.press("f")
        assert "it proves nothing" in v.text
        quick = next(n for n, row in enumerate(v.app.screen.rows) if row.rule == "step-quick")
        await v.press(*["down"] * quick)
        if v.app.screen.rows[quick].flag is None:
            await v.press("enter")
        assert "usually 1 min 00 s." in v.text
        await v.press("enter")
        assert v.place > 0
        assert any(f.seq == v.place for f in v.screen.cursor.flags)
        await v.to(v.seqs("repaired")[0])
        await v.press(*["down"] * 9)
        assert "1 of 3 were fitted." in v.text


async def test_shop_thresholds_count(home):
    """HOME/flags.toml, read when the replay opens; a mistake in it is said before there is a screen."""
    store, _name = home
    own = store.root / "flags.toml"
    own.write_text("[step-quick]\non = false\n", encoding="utf-8")
    async with viewing(home) as v:
        assert not [f for f in v.screen.cursor.flags if f.rule == "step-quick"]
    own.write_text("[x]\n", encoding="utf-8")
    with pytest.raises(UsageError, match="there is no flag 'x'"):
        ReplayApp(*home)


@both
async def test_note_and_sign_off_lie_beside_the_record(home, size):
    """The name is asked once; the journal keeps every byte; both come back on the screen and from disk."""
    store, name = home
    folder = store.home.session_folder(name)
    before = (folder / "journal.toml").read_bytes()
    async with viewing(home, size) as v:
        await v.to(20)
        await v.press("n", *"Reed", "enter")
        assert "A note" in v.text and "At event 20" in v.text
        await v.press(*"ask", "enter")
        assert "The note is kept beside the record." in v.text
        await v.press("down", "down")
        assert "* Reed: ask" in v.text
        await v.press("s", "1", "x", "enter")
        assert "'x' says nothing" in v.text
        await v.press("backspace", *"fine", "enter")
        assert "Signed off by Reed, accepted." in v.text
        await v.press("home")
        assert "Signed off by Reed, accepted, 2 March 2026" in v.text and "notes of reviewers: 1" in v.text
        await v.press("r")
        assert "20 Reed: ask" in v.text
    review = sign_off.load(folder)
    assert (review.notes[0].text, review.notes[0].event) == ("ask", 20)
    assert review.signed[0].covers(store.load(name).chain) and review.signed[0].words == "fine"
    assert (folder / "journal.toml").read_bytes() == before


async def test_note_that_can_not_be_written_is_said(home, monkeypatch):
    """The disk refuses: a plain line, and the replay goes on."""

    def full(path, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable_io, "write_new", full)
    async with viewing(home) as v:
        await v.press("n", *"Reed", "enter", *"ask", "enter")
        assert "the disk is full" in v.text
        await v.press("right")
        assert v.place == 1


async def test_going_back_from_a_question_writes_nothing(home):
    store, name = home
    async with viewing(home) as v:
        await v.press("n", "escape", "s", "escape")
    assert not (store.home.session_folder(name) / "review.toml").exists()


async def test_opens_at_an_event(home):
    async with viewing(home, event=20) as v:
        assert v.place == 20 and "event 20 of" in v.text


def test_event_beyond_the_last_is_said(home):
    """How many there are; it doesn't open somewhere else."""
    last = ReplayApp(*home, 0).session.replay.end.seq
    assert ReplayApp(*home, last).first == last
    with pytest.raises(UsageError, match=f"has {last} events, so there is none with the number 999"):
        ReplayApp(*home, 999)


@both
async def test_job_map_of_the_moment_is_shown(home, size):
    """Where the map was on the screen, its rows stand as they did, the next one marked."""
    async with viewing(home, size) as v:
        for place in range(1, len(v.app.session.replay) + 1):
            frame = v.app.session.replay.frame(place)
            if frame.shown.kind == "map" and frame.shown.title == "Job map":
                v.screen.keys.go(place)
                await v.settle()
                said = str(v.screen.query_one("#words").render())
                assert "The job map" in said and "▸ " in said and "Hand over and close this visit" in said
                return
        raise AssertionError("the map never was on the screen")


async def test_foot_names_the_speed_while_it_runs(home):
    """Faster and slower while it runs. Help has all keys, key and words apart."""
    async with viewing(home) as v:
        assert "m jump" in v.text and "/ find" in v.text and "+ - speed" not in v.text
        await v.press("space")
        assert "+ - speed" in v.text
        await v.press("space", "question_mark")
        assert "Left Right Go back, or on" in v.text


async def test_flag_hides_no_note_on_the_strip(home):
    """A note at an event that is flagged: both marks are there."""
    async with viewing(home) as v:
        flag = v.screen.cursor.flags[0]
        v.app.session.reviewer = "A. Reed"
        v.app.session.note("Asked him.", flag.seq)
        v.screen.keys.go(flag.seq)
        await v.settle()
        lines = v.text.splitlines()
        marks = lines[next(n for n, line in enumerate(lines) if "power may be on" in line) - 2]
        assert "*" in marks and "!" in marks


@pytest.mark.parametrize("size", [SIZES[0], pytest.param(SIZES[1], marks=pytest.mark.nightly)])
async def test_every_event_fits_the_screen(home, size):
    """Nothing runs over the edge, at any event."""
    async with viewing(home, size) as v:
        for place in range(1, len(v.app.session.replay) + 1):
            v.screen.keys.go(place)
            await v.pilot.pause()
            lines = v.text.splitlines()
            assert len(lines) <= size[1] and max(map(len, lines)) <= size[0]
            assert "On the screen" in v.text and "F12 leave" in v.text


async def test_window_too_small_says_so_and_comes_back(home):
    async with viewing(home) as v:
        await v.pilot.resize_terminal(60, 20)
        await v.settle()
        assert "Steadfoot needs 80 x 24" in v.text
        await v.pilot.resize_terminal(80, 24)
        await v.settle()
        assert "Session 2026-03-02-a" in v.text


async def test_help_names_every_key_and_f12_leaves(home):
    async with viewing(home, (120, 36)) as v:
        await v.press("question_mark")
        assert "Help: Replay" in v.text and "Let it run, or halt it." in v.text
        await v.press("escape", "t", "ctrl+c")
        assert "F12 leaves the program." in v.text and v.app.theme == "steadfoot-light"
        await v.press("f12")
        assert v.app.return_code == 0


@both
async def test_keys_live_on_after_help_and_after_a_window_too_small(home, size):
    """Nothing takes the focus when what lay over the screen goes away."""
    async with viewing(home, size) as v:
        await v.press("question_mark", "escape", "right")
        assert v.place == 1
        await v.pilot.resize_terminal(60, 20)
        await v.settle()
        await v.pilot.resize_terminal(*size)
        await v.settle()
        await v.press("right")
        assert v.place == 2
        assert v.screen.focused is None
