"""Playing a case: the path it takes, how it ends, and every way in which it can end otherwise than it says."""

from __future__ import annotations

import json

import pytest

from tests.helpers.flows.case_dicts import MENDED, WORN, case, played
from tests.helpers.jobs import good
from wizard.domain.vocabulary import Verdict
from wizard.engine.audit import audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages.events import from_dict, to_dict
from wizard.engine.state.fold import fold_all
from wizard.flowcheck.cases.case_player import play


def test_a_whole_job_is_played_to_its_end() -> None:
    """Worn dampers are found, confirmed, mended, measured again and proved; the machine is left in use."""
    result = played(
        expect={
            "outcome": "proved",
            "top": "dampers-worn",
            "decided": ["dampers-worn"],
            "left": "left-in-use",
        }
    )
    assert result.ok, result.problems
    assert (result.outcome, result.top, result.confirmed) == ("proved", "dampers-worn", ("dampers-worn",))
    assert (result.left, result.readings) == (
        "left-in-use",
        sum(r.event.kind == "reading" for r in result.records),
    )
    assert result.machine["service"] == {"on"} and result.machine["told"] == {"yes"}


def test_the_engine_finds_nothing_wrong_with_a_played_case() -> None:
    """The events of a case are what the rules allow, one after the other."""
    assert audit(Rules.of(good()), played().records) == ()


def test_steps_left_out_take_the_usual_answer() -> None:
    """A case that says nothing plays a healthy machine through every inspection."""
    result = played(answers={}, after={}, confirm=[], expect={"outcome": "no-fault"})
    assert result.ok, result.problems
    assert {p.verdict for p in result.path} <= {None, Verdict.PASS}
    assert any(str(p.step) == "dampers.pull" and p.chosen == ("pass",) for p in result.path)


def test_a_path_says_where_the_hands_go_and_for_what_a_step_was_asked() -> None:
    """Work on the dampers is done inside; what it needs is asked before, each step for the condition it
    establishes.
    """
    path = played().path
    by_step = {str(p.step): p for p in path}
    assert (by_step["dampers.pull"].reach, by_step["dampers.pull"].condition) == ("inside", "")
    assert (by_step["spin.run"].reach, by_step["power.try"].condition) == ("run", "verified")
    names = [str(p.step) for p in path]
    assert names.index("power.plug") < names.index("power.try") < names.index("dampers.bounce")


def test_what_is_known_to_be_off_is_not_ticked_as_on() -> None:
    """Of several to tick a case ticks the usual ones, but not what it took off itself: that is put back then."""
    path = [p for p in played().path if p.phase == "after"]
    assert not any("front" in p.chosen for p in path if str(p.step) == "round-front.seen")
    assert any((str(p.step), p.chosen) == ("closing.front", ("on",)) for p in path)


def test_answers_after_the_repair_come_from_after() -> None:
    """Before the repair the pull fails, after it the same step passes."""
    pulls = [(p.phase, p.verdict) for p in played().path if str(p.step) == "dampers.pull"]
    assert pulls == [("before", "fail"), ("after", "pass")]


def test_readings_after_the_repair_never_feed_the_ranking() -> None:
    """The ranking is that of the moment of the decision, whatever was measured afterwards."""
    assert (
        played().ranking == played(after={"dampers.pull": 22.0}, expect={"outcome": "proof-failed"}).ranking
    )


def test_top_confirms_what_is_ranked_first() -> None:
    """A case that names no fault confirms the likeliest."""
    assert played(confirm="top").confirmed == ("dampers-worn",)


@pytest.mark.parametrize("outcome", ["declined", "on-order"])
def test_a_repair_may_be_declined_or_wait_for_parts(outcome: str) -> None:
    """What becomes of a fault is the outcome of the visit."""
    result = played(repairs={"dampers-worn": outcome}, expect={"outcome": outcome})
    assert result.ok, result.problems


def test_parts_on_order_are_fitted_on_the_next_visit() -> None:
    """A list of outcomes is one a visit; the second visit asks anew how the machine stands."""
    result = played(repairs={"dampers-worn": ["on-order", "fitted"]})
    assert result.ok, result.problems
    visits = [r.event.number for r in result.records if r.event.kind == "visit"]
    assert visits == [1, 2]
    second = next(n for n, r in enumerate(result.records) if r.event.kind == "visit" and r.event.number == 2)
    entered = [r.event for r in result.records[second:] if r.event.kind == "entered"]
    assert "power.try" in {f"{e.inspection}.{e.step}" for e in entered if e.condition}


def test_a_stop_is_made_safe_and_closed() -> None:
    """An answer that stops work ends the job as stopped, every line of the make-safe list ticked."""
    result = played(answers={"before.danger": "scorched"}, expect={"outcome": "stopped", "stop": "scorched"})
    assert result.ok, result.problems
    made = [r.event.line for r in result.records if r.event.kind == "made-safe"]
    assert made == list(range(len(good().stops["scorched"].make_safe)))


def test_the_stop_key_stops_at_any_step() -> None:
    """Work can be stopped where the flow has no answer for it."""
    result = played(answers={"dampers.bounce": {"stop": "gas"}}, expect={"outcome": "stopped", "stop": "gas"})
    assert result.ok, result.problems
    assert result.path[-1].condition and result.left == ""


def test_unable_and_not_fitted_carry_their_reason() -> None:
    """A step that can't be done leads where the flow says, and its reason is in the record."""
    result = played(answers={**WORN, "dampers.pull": {"unable": "No scale here."}})
    given = next(r.event for r in result.records if r.event.kind == "answered" and r.event.how == "unable")
    assert (given.step, given.reason, given.goes) == ("pull", "No scale here.", "spread")


def test_answers_in_turn_are_given_one_after_the_other() -> None:
    """A step asked twice gets the first answer, then the second."""
    result = played(answers={**WORN, "power.try": {"in_turn": ["lit", "dark"]}})
    assert result.ok, result.problems
    assert [p.text for p in result.path if str(p.step) == "power.try"][:2] == ["lit", "dark"]


def test_a_case_may_set_the_order_and_pass_inspections_over() -> None:
    """Only what is named is looked at before the decision, in that order; a reason stands for what is passed over."""
    result = played(order=["dampers", "quick"], skip={"quick": "Seen from the door."})
    first = next(str(p.step) for p in result.path if not p.condition)
    assert first == "dampers.bounce"
    skipped = [(r.event.inspection, r.event.reason) for r in result.records if r.event.kind == "skipped"]
    assert skipped == [("quick", "Seen from the door.")]
    assert not any(str(p.step).startswith("motor.") for p in result.path)


def test_a_barred_step_is_left_out_with_the_reason_of_the_bar() -> None:
    """With transit bolts seen no spin is made: it is left out, and the record says why."""
    result = played(answers={**WORN, "quick.bolts": "yes"}, expect={"outcome": "not-proved"})
    assert not any(str(p.step).startswith("spin.") for p in result.path)
    assert result.machine["transit"] == {"in"} and result.left == "left-out-of-use"


@pytest.mark.parametrize(
    ("expect", "says"),
    [
        ({"outcome": "declined"}, "outcome is proved, not declined."),
        ({"outcome": "stopped", "stop": "gas"}, "stop is none, not gas."),
        ({"outcome": "proved", "top": "wiring"}, "top is dampers-worn, not wiring."),
        ({"outcome": "proved", "decided": []}, "decided: dampers-worn; expected none."),
        ({"outcome": "proved", "confirmed": ["wiring"]}, "confirmed: dampers-worn; expected wiring."),
        ({"outcome": "proved", "left": "left-out-of-use"}, "left is left-in-use, not left-out-of-use."),
        ({"outcome": "proved", "machine": {"transit": ["in"]}}, "transit: out; expected in."),
        (
            {"outcome": "proved", "machine": {"rotor": ["in"]}},
            "rotor: no condition of this machine; expected in.",
        ),
        (
            {"outcome": "proved", "minutes_below": 10},
            f"it takes {played().minutes:g} minutes, not less than 10.",
        ),
    ],
)
def test_whatever_ends_otherwise_is_told(expect: dict[str, object], says: str) -> None:
    """Each thing that a case may expect is compared, and the difference is a sentence."""
    assert says in played(expect=expect).problems


def test_a_case_that_gets_stuck_says_where_and_why() -> None:
    """A fault that this machine can't have ends the play at the decision, with the engine's own words."""
    result = played(facts={"kind": "top-loader"}, answers={}, expect={"outcome": "proved"})
    assert result.outcome == "unfinished"
    assert result.problems[0].startswith("It can't go on at the job map:")
    assert "can't have that" in result.problems[0]


def test_a_wrong_number_of_readings_is_told() -> None:
    """Three dampers, two ways, three repeats are 18 numbers; four are none of 1 or 18."""
    result = played(answers={"dampers.pull": [1, 2, 3, 4]})
    assert "dampers.pull: numbers: 4 are given, this step takes 1 or 18" in result.problems[0]


def test_a_kind_of_answer_that_does_not_fit_is_told() -> None:
    """A number where an answer is chosen can't be said."""
    assert "dampers.bounce is chosen" in played(answers={"dampers.bounce": 3}).problems[0]


def test_a_case_plays_the_same_each_time() -> None:
    """Two runs of a case give the same events, times included: the clock is the case's own."""
    assert play(good(), case()).records == play(good(), case()).records


def test_the_journal_of_a_case_folds_to_the_same_state() -> None:
    """Written as tables and read again, the events make the same end."""
    result = played()
    again = tuple(from_dict(to_dict(r)) for r in result.records)
    assert fold_all(again) == fold_all(result.records)


def test_the_result_is_plain_data_for_programs() -> None:
    """The JSON of a result holds what decided it: faults, minutes, path, how it was left and what is believed."""
    table = json.loads(json.dumps(played().as_table()))
    assert table["ok"] is True
    assert table["minutes"] == played().minutes > 100 and table["machine"]["tools"] == ["out"]
    assert table["ranking"][0]["fault"] == "dampers-worn"
    assert {"step", "phase", "chosen", "how", "verdict", "reach", "condition"} == set(table["path"][0])


def test_minutes_pass_with_each_step() -> None:
    """A step takes its own minutes on the case's clock, so the times of a record are believable."""
    records = played().records
    pulled = next(r for r in records if r.event.kind == "reading")
    before = records[pulled.seq - 2]
    assert before.event.kind == "shown"
    assert pulled.since == pytest.approx(good().inspections["dampers"].step("pull").minutes * 60)


def test_mended_dampers_that_still_fail_are_not_proved() -> None:
    """A repair that measures no better ends as not proved."""
    assert MENDED["dampers.pull"] == 62.0
    assert played(after={"dampers.pull": 20.0}).outcome == "proof-failed"
