"""The frame of every screen as lines of text: box, headline, warnings, answers, keys."""

from dataclasses import replace
from datetime import timedelta

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.flow.model import SIGNAL_WORDS, STATES, Answer, Caution, Step
from wizard.screens.widgets import answers, caution, headline, safetybox
from wizard.screens.widgets.wrapping import wrapped


def text(lines):
    return [str(line) for line in lines]


# ---- the safety box


def test_every_safety_state_has_a_sign_and_a_style_of_its_own_kind():
    """No state depends on colour: each has a sign besides its word."""
    assert set(safetybox.SIGNS) == set(safetybox.STYLES) == {*STATES, "stopped"}


def test_the_box_says_what_holds_and_since_when():
    """NOT ISOLATED first; ISOLATED with its hour after the gate; STOPPED after a stop."""
    job = Job()
    assert str(safetybox.safety_words(job.state)).strip() == "○ NOT ISOLATED"
    job.isolate()
    assert "■ ISOLATED " in str(safetybox.safety_words(job.state))
    job.do(c.StopWork("hot-plug"))
    assert str(safetybox.safety_words(job.state)).strip() == "✗ STOPPED"


# ---- the headline


def test_a_gate_says_what_it_leads_to():
    """Title, step and way."""
    job = Job()
    job.do(c.Open("dampers"))
    assert headline.step_words(job.flow, job.state) == (
        "Isolate the machine",
        "step 1 of 4",
        "The way to: Dampers",
    )


def test_at_the_map_the_job_s_title_stands():
    """No step, no way."""
    job = Job()
    assert headline.step_words(job.flow, job.state) == ("Washer that bounces", "", "")


def test_measuring_again_says_that_it_is_after_the_repair():
    """The same step, another time."""
    job = Job()
    job.until("recheck")
    job.do(c.Open("dampers", "pull"))
    while job.at != "dampers.pull":
        job.answer()
    assert headline.step_words(job.flow, job.state)[1] == "step 2 of 4, after the repair"


def test_nothing_is_after_a_repair_that_was_not_made():
    """What is asked only at the end, with parts on order: no repair is spoken of."""
    flow = good()
    late = {**flow.inspections, flow.leave: replace(flow.inspections[flow.leave], after_only=True)}
    job = Job(flow=replace(flow, inspections=late))
    job.until("repair")
    job.do(c.Mend("dampers-worn", "on-order"))
    job.do(c.Open(flow.leave))
    while job.state.run.inspection != flow.leave:
        job.answer()
    assert job.state.run.phase == "after"
    assert "repair" not in headline.step_words(job.flow, job.state)[1]


def test_minutes_are_counted_from_the_visit_and_not_over_a_night():
    """23 min; nothing after more than ten hours, which nobody spent at the machine."""
    job = Job()
    began = job.clock.wall() - timedelta(seconds=30)
    assert headline.minutes_so_far(job.state, began + timedelta(minutes=23)) == "23 min so far"
    assert headline.minutes_so_far(job.state, began + timedelta(hours=11)) == ""
    assert headline.minutes_so_far(job.state, began - timedelta(hours=1)) == ""


def test_a_long_line_beside_the_widest_box_says_its_minutes_shortly():
    """'so far' goes where the line would not stand beside the box at 80 columns, and stays where it would."""
    place = "step 10 of 10, after the repair"
    lines = headline.headline("Proving spin", (place, "147 min so far")).plain.splitlines()
    assert lines[1] == f"{place} · 147 min" and len(lines[1]) <= headline.ROOM
    lines = headline.headline("Proving spin", ("step 2 of 10", "9 min so far")).plain.splitlines()
    assert lines[1] == "step 2 of 10 · 9 min so far"


# ---- warnings


@pytest.mark.parametrize("word", SIGNAL_WORDS)
def test_every_signal_word_stands_in_capitals_before_its_text(word):
    """The alert sign stands with all but the notice (ANSI Z535.6)."""
    (line,) = text(caution.caution_lines([Caution(word, "Mind it.")], 60))
    assert line.index(word.upper()) < line.index("Mind it.")
    assert ("▲" in line) == (word != "notice")


def test_the_gravest_warning_stands_first():
    """Danger before warning before caution before notice."""
    mixed = [Caution(w, w) for w in ("notice", "caution", "danger", "warning")]
    lines = text(caution.caution_lines(mixed, 60))
    assert [line.split()[-1] for line in lines] == list(SIGNAL_WORDS)


@pytest.mark.parametrize("width", [20, 30, 36, 50, 78])
def test_a_warning_loses_no_word_at_any_width(width):
    """Hanging behind its word, or under it where that leaves too little room."""
    says = "A drum that turns breaks arms. Reach in only with the plug out and the drum still."
    lines = text(caution.caution_lines([Caution("warning", says)], width))
    assert " ".join(" ".join(lines).split()) == f"▲ WARNING {says}"
    assert all(len(line) <= width for line in lines)


# ---- answers


def test_two_lie_on_one_and_three_and_more_count_from_one():
    """Two opposite answers are fingers apart."""
    assert answers.digits(2) == ("1", "3")
    assert answers.digits(4) == ("1", "2", "3", "4")


def test_yes_stands_before_no_however_the_file_has_them():
    """The same finger says yes on every screen."""
    step = Step("s", "look", "Is it?", (Answer("no", "No"), Answer("yes", "Yes")))
    assert [a.id for a in answers.in_order(step)] == ["yes", "no"]


def test_other_answers_stay_in_the_order_of_the_file():
    """A look with names of its own, and a choose."""
    rows = (Answer("b", "B"), Answer("a", "A"))
    for kind in ("look", "choose"):
        assert answers.in_order(Step("s", kind, "Which?", rows)) == rows


def test_long_answers_hang_behind_their_key():
    """The second line stands under the first one's words."""
    (first, second) = text(
        answers.answer_lines([answers.Row("2", "Blocked with fluff, coins or the like")], 30)
    )
    assert first.startswith(" 2   Blocked") and second.startswith("     ")


def test_ticks_are_in_words_too():
    """[x] and [ ]."""
    rows = [answers.Row("1", "Loose", True), answers.Row("2", "Green", False)]
    assert text(answers.answer_lines(rows, 40)) == [" 1   [x] Loose", " 2   [ ] Green"]


def test_airy_rows_have_an_empty_line_between_them():
    """And none after the last."""
    rows = [answers.Row("1", "Yes"), answers.Row("3", "No")]
    assert text(answers.answer_lines(rows, 40, airy=True)) == [" 1   Yes", "", " 3   No"]


# ---- lines


def test_lines_break_between_words_only():
    """A name with a hyphen stays whole; no text gives no line."""
    assert wrapped("see washer-no-drain there", 16) == ["see", "washer-no-drain", "there"]
    assert wrapped("", 20) == []
