"""The frame of every screen as lines of text: box, headline, warnings, answers, keys."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tests.helpers.jobs import Job, good
from wizard.domain.vocabulary import NextKind, RepairOutcome, SignalWord
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import Badge, badge
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Answer, Caution, ChooseStep, LookStep
from wizard.screens.text import answer_numbering, badge_text, caution_text, step_place
from wizard.screens.text.wrapping import wrapped
from wizard.screens.widgets.entry import answer_list
from wizard.screens.widgets.frame import headline, safety_box


def text(lines):
    return [str(line) for line in lines]


# ---- the safety box


def test_the_box_says_what_matters_for_the_hands_in_words_and_by_a_sign():
    """Nothing known of the power first; what holds it and that it was tried after it was asked; a stop above all."""
    job = Job()
    assert str(safety_box.badge_content(badge(job.view))).strip() == "▲ SUPPLY NOT KNOWN, MAY RUN"
    job.come_to("dampers")
    said = str(safety_box.badge_content(badge(job.view))).strip()
    assert said.startswith("■ POWER HELD, TRIED")
    job.do(c.StopWork("scorched"))
    assert str(safety_box.badge_content(badge(job.view))).strip().startswith("✗ OUTLET BAD")


def test_hands_out_is_said_at_once_where_a_step_lost_what_it_needs():
    """Before anything else, and as grave as a stop."""
    said = badge_text.badge_words(Badge(("SUPPLY NOT KNOWN", "DRUM STILL"), hands_out=True))
    assert said == "HANDS OUT, SUPPLY NOT KNOWN"


def test_the_box_stays_narrow_enough_for_the_headline():
    """What doesn't fit is left to the panel that shows all."""
    said = badge_text.badge_words(Badge(("SUPPLY NOT KNOWN", "DRUM MAY TURN", "CABINET OFF")))
    assert len(said) <= badge_text.WIDTH and said == "SUPPLY NOT KNOWN, DRUM MAY TURN"


# ---- the headline


def test_a_step_that_is_asked_first_says_of_what_and_for_what():
    """Title, that it is asked first, the condition, and the inspection with where its hands go."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    title, place, why = step_place.step_words(job.view)
    assert (title, place) == ("Before anything is touched", "asked first")
    assert why == "Gas, for: Dampers"
    wide = step_place.step_words(job.view, room=76)[2]
    assert wide == f"Gas, for: Dampers ({job.flow.reaches['inside'].says.lower()})"
    assert step_place.step_words(job.view, room=12)[2] == "for: Dampers"


def test_at_the_map_the_job_s_title_stands():
    """No step, no way."""
    job = Job()
    assert step_place.step_words(job.view) == ("Washer that bounces", "", "")


def test_measuring_again_says_that_it_is_after_the_repair():
    """The same step, another time."""
    job = Job()
    job.until(NextKind.RECHECK)
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    assert step_place.step_words(job.view)[1] == "step 2 of 4, after the repair"


def test_nothing_is_after_a_repair_that_was_not_made():
    """What is asked only at the end, with parts on order: no repair is spoken of."""
    flow = good()
    late = {**flow.inspections, flow.leave: replace(flow.inspections[flow.leave], after_only=True)}
    job = Job(flow=replace(flow, inspections=late))
    job.until(NextKind.REPAIR)
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, reason="Oil under them."))
    job.come_to(flow.leave)
    assert job.state.run.phase == "after"
    assert "repair" not in step_place.step_words(job.view)[1]


def test_minutes_are_counted_from_the_visit_and_not_over_a_night():
    """23 min; nothing after more than ten hours, which nobody spent at the machine."""
    job = Job()
    began = datetime.fromisoformat(job.state.visit.began)
    assert step_place.minutes_so_far(job.state, began + timedelta(minutes=23)) == "23 min so far"
    assert step_place.minutes_so_far(job.state, began + timedelta(hours=11)) == ""
    assert step_place.minutes_so_far(job.state, began - timedelta(hours=1)) == ""


def test_a_long_line_beside_the_widest_box_says_its_minutes_shortly():
    """'so far' goes where the line would not stand beside the box, then the minutes; both stay where they would."""
    place = "step 10 of 10, after the repair"
    lines = headline.headline("Proving spin", (place, "147 min so far")).plain.splitlines()
    assert lines[1] == place and len(lines[1]) <= step_place.ROOM
    lines = headline.headline("Proving spin", (place, "147 min so far"), width=41).plain.splitlines()
    assert lines[1] == f"{place} · 147 min"
    lines = headline.headline("Proving spin", ("step 2 of 10", "9 min so far")).plain.splitlines()
    assert lines[1] == "step 2 of 10 · 9 min so far"


@pytest.mark.parametrize("width", [24, 30, 36, 50])
def test_no_line_of_the_headline_is_cut_in_a_word(width):
    """Each is at most as wide as it may be, and what is left of it is whole words."""
    said = (
        "Before anything at all is touched",
        ("asked first", "9 min so far"),
        "Supply, for: What forbids a spin",
    )
    for line, whole in zip(
        headline.headline(*said, width).plain.splitlines(), (said[0], "", said[2]), strict=True
    ):
        assert len(line) <= width
        if line.endswith("…"):
            assert f"{whole} ".startswith(f"{line[:-1]}") and whole[len(line) - 1] in " ,:"


# ---- warnings


@pytest.mark.parametrize("word", SignalWord)
def test_every_signal_word_stands_in_capitals_before_its_text(word):
    """The alert sign stands with all but the notice (ANSI Z535.6)."""
    (line,) = text(caution_text.caution_lines([Caution(word=word, says="Mind it.")], 60))
    assert line.index(word.upper()) < line.index("Mind it.")
    assert ("▲" in line) == (word is not SignalWord.NOTICE)


def test_the_gravest_warning_stands_first():
    """Danger before warning before caution before notice."""
    mixed = [Caution(word=w, says=w) for w in reversed(SignalWord)]
    lines = text(caution_text.caution_lines(mixed, 60))
    assert [line.split()[-1] for line in lines] == list(SignalWord)


@pytest.mark.parametrize("width", [20, 30, 36, 50, 78])
def test_a_warning_loses_no_word_at_any_width(width):
    """Hanging behind its word, or under it where that leaves too little room."""
    says = "A drum that turns breaks arms. Reach in only with the plug out and the drum still."
    lines = text(caution_text.caution_lines([Caution(word=SignalWord.WARNING, says=says)], width))
    assert " ".join(" ".join(lines).split()) == f"▲ WARNING {says}"
    assert all(len(line) <= width for line in lines)


# ---- answers


def test_yes_stands_before_no_however_the_file_has_them():
    """The same finger says yes on every screen."""
    step = LookStep(
        id="s", reach="look", do="Is it?", answers=(Answer(id="no", says="No"), Answer(id="yes", says="Yes"))
    )
    assert [a.id for a in answer_numbering.in_order(step)] == ["yes", "no"]


def test_other_answers_stay_in_the_order_of_the_file():
    """A look with names of its own, and a choose."""
    rows = (Answer(id="b", says="B"), Answer(id="a", says="A"))
    shown = answer_numbering.in_order(ChooseStep(id="s", reach="look", do="Which?", answers=rows))
    assert [a.id for a in shown] == ["b", "a"]


def test_long_answers_hang_behind_their_key():
    """The second line stands under the first one's words."""
    (first, second) = text(
        answer_list.answer_lines([answer_list.AnswerRow("2", "Blocked with fluff, coins or the like")], 30)
    )
    assert first.startswith(" 2   Blocked") and second.startswith("     ")


def test_ticks_are_in_words_too():
    """[x] and [ ]."""
    rows = [answer_list.AnswerRow("1", "Loose", True), answer_list.AnswerRow("2", "Green", False)]
    assert text(answer_list.answer_lines(rows, 40)) == [" 1   [x] Loose", " 2   [ ] Green"]


def test_airy_rows_have_an_empty_line_between_them():
    """And none after the last."""
    rows = [answer_list.AnswerRow("1", "Yes"), answer_list.AnswerRow("3", "No")]
    assert text(answer_list.answer_lines(rows, 40, airy=True)) == [" 1   Yes", "", " 3   No"]


# ---- lines


def test_lines_break_between_words_only():
    """A name with a hyphen stays whole; no text gives no line."""
    assert wrapped("see washer-no-drain there", 16) == ["see", "washer-no-drain", "there"]
    assert wrapped("", 20) == []


def test_a_program_that_may_go_on_is_named_whatever_there_is_room_for():
    """A break while the pump ran: hands out, nobody knows of the power, and it may run; 34 columns say all three."""
    flow = load(folder_of("washer-no-drain"), lambda _digest: True)
    job = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1"}, flow)
    job.come_to("pump-run", "time")
    job.do(c.Pause())
    assert badge_text.badge_words(badge(job.view)) == "HANDS OUT, SUPPLY?, MAY RUN"
    idle = Job()
    idle.come_to("dampers", "pull")
    idle.do(c.Pause())
    assert badge_text.badge_words(badge(idle.view)).startswith("HANDS OUT, SUPPLY NOT KNOWN")


def test_where_even_that_has_no_room_the_program_is_named():
    """Rather than the power."""
    both = Badge(("POWER ON OR CUT OFF AND MORE", "MAY RUN"), hands_out=True, going="MAY RUN")
    assert badge_text.badge_words(both) == "HANDS OUT, MAY RUN"
    tilted = Badge(("SUPPLY NOT KNOWN", "TILTED/PROPPED", "MAY RUN"), going="MAY RUN")
    assert badge_text.badge_words(tilted) == "SUPPLY NOT KNOWN, TILTED/PROPPED"
