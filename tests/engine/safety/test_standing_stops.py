"""A stop outlives its visit: it is over once its cause was asked anew and answered well, and by nothing else.

The hazard: a machine on which somebody felt a shock, or that can't be cut off, is worked on by who comes next, since
somebody wrote that it is over. Common practice; EN 50110-1 has the place of work assessed anew before work begins.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.engine.safety.stop_ways import (
    StopWay,
    answer,
    back,
    by_answer,
    by_insisting,
    by_key,
    job_for,
    left,
    released,
    stopped_by,
)
from tests.helpers.jobs import Job
from wizard.documents.content.belief_log import belief_log
from wizard.documents.content.out_of_use import use_forbidden
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.queries.machine_view import badge
from wizard.engine.queries.standing_stops import causes_standing, contradicted, standing, unreleased
from wizard.engine.queries.stopped import dealt_with, open_lines, to_deal_with
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow

BOTH = ("washer-shake", "washer-no-drain")
WAYS = {"key": by_key, "answer": by_answer, "insisting": by_insisting}
MOST = 120
"""More answers than any question of a stop needs before it."""


@cache
def flow(name: str = "washer-shake") -> Flow:
    return load(shipped()[name])


@cache
def ways(name: str, how: str) -> tuple[StopWay, ...]:
    return WAYS[how](flow(name))


@pytest.mark.parametrize("name", BOTH)
def test_every_reason_to_stop_and_every_way_into_it_is_tried(name):
    """Each stop by the key and by an answer."""
    assert {w.stop for w in ways(name, "key")} == set(flow(name).stops)
    assert {w.stop for how in ("answer", "insisting") for w in ways(name, how)} == set(flow(name).stops)
    assert len(ways(name, "insisting")) > 10


def nothing_else_goes_on(job: Job) -> None:
    """Whatever else is tried is refused, and the stop stands after it."""
    held = {cause.question.inspection for cause in causes_standing(job.view) if cause.question}
    for name in job.flow.inspections:
        if name in held:
            continue
        with pytest.raises(Refused):
            job.do(c.OpenInspection(name))
            assert job.state.run is not None and job.state.run.only, name
            raise Refused(RefusalReason.LATCHED, "It asks something first.")
    for command in (c.Confirm(()), c.Skip(next(iter(job.flow.find)), "not needed"), c.Close()):
        assert job.refused(command) in (RefusalReason.LATCHED, RefusalReason.CLOSE), command
    job.do(c.Pause())
    job.do(c.AddNote("It is over, says the owner."))
    job.restart()
    assert standing(job.view)


@pytest.mark.parametrize("how", WAYS)
@pytest.mark.parametrize("name", BOTH)
def test_a_stop_is_over_only_once_its_cause_was_asked_anew_and_answered_well(name, how):
    """Left with nothing made safe; the next visit, a restart, another visit: the cause comes before all other work."""
    for way in ways(name, how):
        stop = way.stop
        job = back(left(stopped_by(flow(name), way)))
        assert stop in (h.stop for h in standing(job.view)), str(way)
        nothing_else_goes_on(job)
        job = back(left(stopped_again(job, stop)), "T. Elm")
        assert [h.stop for h in standing(job.view)] == [stop, stop], str(way)
        released(job)
        asked = asked_until_cleared(job)
        assert not way.step or way.place in asked, (str(way), asked)
        over = [h for h in job.state.stoppages if h.stop == stop]
        assert {h.cleared_by for h in over} == {"T. Elm"} and all(h.cleared_at for h in over), str(way)
        assert next_queries.next_up(job.view).kind not in (NextKind.CAUSE, NextKind.RELEASE), str(way)
        job.restart()
        assert not standing(job.view), str(way)


def stopped_again(job: Job, stop: str) -> Job:
    """Who can't clear it stops work for it again."""
    job.do(c.StopWork(stop, "still so"))
    assert job.state.job is JobState.STOPPED
    return job


def asked_until_cleared(job: Job) -> list[str]:
    """Follow what comes next, each answered as usual, until no stop stands; the steps answered."""
    asked: list[str] = []
    while standing(job.view):
        assert len(asked) < MOST, asked
        if job.state.run is None:
            coming = next_queries.next_up(job.view)
            if coming.kind is NextKind.FACT:
                fact = job.flow.fact(coming.target)
                stays = job.state.facts.get(fact.id, fact.usual)  # What came in sight is still not known.
                if contradicted(job.view, fact.id, stays):
                    stays = "not-known"
                job.do(c.SetFact(fact.id, stays, "looked at anew"))
                continue
            assert coming.kind is NextKind.CAUSE, coming
            job.do(c.AskCause(coming.target))
            continue
        asked.append(job.at)
        job.answer()
    return asked


def scorched() -> Job:
    """The plug was found scorched; on the next visit an electrician's word has lifted the latch."""
    way = next(
        w for w in ways("washer-shake", "answer") if (w.stop, w.place) == ("scorched", "before.danger")
    )
    return released(back(left(stopped_by(flow(), way))))


def test_no_answer_but_a_good_one_clears_a_stop():
    """Each other answer of the question stops work again; that it can't be done, too."""
    for given in ("gas", "scorched", "shock", "rcd", "people", ""):
        job = scorched()
        job.do(c.AskCause("scorched"))
        answer(job, given)
        assert job.state.job is JobState.STOPPED, given
        assert not any(h.cleared for h in job.state.stoppages), given


@pytest.mark.parametrize("given", ["clear", "floor-wet", "runs"])
def test_what_is_wrong_beside_it_keeps_no_stop(given):
    """A wet floor away from the outlet is asked by itself; the plug is sound."""
    job = scorched()
    job.do(c.AskCause("scorched"))
    answer(job, given)
    assert [h.cleared_by for h in job.state.stoppages] == ["S. Ash"]


def test_an_answer_that_is_taken_back_or_put_right_clears_nothing():
    """Both set it aside: the stop stands again until the question is asked once more."""
    job = scorched()
    job.do(c.AskCause("scorched"))
    job.answer("clear")
    assert not standing(job.view)
    job.do(c.Undo())
    assert standing(job.view) and not job.state.stoppages[0].cleared_by
    while job.state.run is not None:
        job.answer()
    job.ask_causes()
    assert not standing(job.view)


def test_an_old_answer_put_right_is_no_asking_anew():
    """The floor gave way on the visit before: 'I meant stiff' is a word, not a look."""
    way = next(
        w for w in ways("washer-shake", "answer") if (w.stop, w.place) == ("weak-floor", "quick.floor")
    )
    job = released(back(left(stopped_by(flow(), way))))
    given = next(g for g in job.state.answer_records if g.chosen == ("rotten",))
    job.do(c.Correct(given.seq, ("stiff",), "a wrong key on the other day"))
    assert [h.stop for h in standing(job.view)] == ["weak-floor"]
    assert next_queries.next_up(job.view).kind is NextKind.CAUSE


def test_an_old_reading_put_right_is_no_measuring_anew():
    """2 ohm of earth were read; 'I meant 0.1' releases nothing: it is measured again."""
    way = next(
        w for w in ways("washer-shake", "answer") if (w.stop, w.place) == ("no-earth", "earth-check.earth")
    )
    job = back(left(stopped_by(flow(), way)))
    reading = job.state.reading_records[-1]
    job.do(c.CorrectReading(reading.seq, "0.1", reason="a slip of the pen"))
    assert job.refused(c.Release("earth", "Ms Lee", "it was a slip")) is RefusalReason.LATCHED
    assert next_queries.next_up(job.view).kind is NextKind.RECHECK


def test_nobody_comes_back_to_a_stop_without_a_name():
    """The record says who cleared it, so it says who came."""
    job = left(stopped_by(flow(), StopWay("people")))
    assert job.refused(c.BeginVisit("", reason="all well")) is RefusalReason.READING
    assert job.refused(c.BeginVisit("12", reason="all well")) is RefusalReason.READING


def test_a_fact_that_stopped_work_is_asked_anew():
    """A gas dryer on top: the fitter says that it is down, and then what stands there is answered by who looks."""
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}, flow())
    job.do(c.SetFact("stack", "gas", "seen now"))
    job = released(back(left(job)))
    assert job.refused(c.OpenInspection("quick")) is RefusalReason.LATCHED
    asked_until_cleared(job)
    assert job.state.facts["stack"] == "none" and not standing(job.view)


def test_both_papers_say_who_cleared_a_stop_and_when_and_that_nobody_did():
    """On the next visit's papers too; and the machine is not to be used while it stands."""
    job = back(left(stopped_by(flow(), StopWay("no-isolation"))))
    stop = flow().stops["no-isolation"]
    assert stop.says in use_forbidden(job.view)
    for paper in (customer_handover(job.view), technician_record(job.view)):
        assert "Not asked anew yet." in MARKDOWN.write(paper).decode()
    job.ask_causes()
    over = job.state.stoppages[-1]
    assert stop.says not in use_forbidden(job.view)
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = MARKDOWN.write(paper).decode()
        assert "Asked anew and found well, by S. Ash, 2 March 2026 09:" in text and over.cleared_at
        assert "Not asked anew" not in text


def test_what_a_stop_needs_is_released_first():
    """An outlet that is latched is cleared by no question before somebody answers for it."""
    way = next(
        w for w in ways("washer-shake", "answer") if (w.stop, w.place) == ("scorched", "before.danger")
    )
    job = back(left(stopped_by(flow(), way)))
    assert job.refused(c.AskCause("scorched")) is RefusalReason.LATCHED
    assert job.refused(c.AskCause("gas")) is RefusalReason.UNKNOWN


def test_where_the_question_can_t_be_asked_what_the_stop_names_is_established():
    """A panel didn't go on. The next time something is off inside, so that it can't be tried: it is cut off first."""
    way = next(w for w in ways("washer-shake", "answer") if w.place == "closing.rear")
    job = back(left(stopped_by(flow(), way)))
    job.do(c.AskCause("not-restored"))
    while job.at != "round-front.seen":
        job.answer()
    job.answer(*(a.id for a in job.step()[1].answers if a.id not in ("parts", "rear")))
    assert standing(job.view) == () and job.believed("verified") == {"yes"}
    assert job.believed("parts") == {"off"}


def test_what_a_stop_asks_for_is_asked_in_one_go():
    """One key on the map, then question by question until it is cut off and tried; then the map comes."""
    job = back(left(stopped_by(flow(), StopWay("no-isolation"))))
    job.do(c.AskCause("no-isolation"))
    assert job.asked()[-1] == "power.try" and job.at == "map"
    assert not standing(job.view)


def test_a_crack_that_is_none_clears_the_stop_though_the_drum_is_not_sound():
    """By the key there is no question of its own; a drum that is uneven can't be sound, so cracks are looked for."""
    job = released(back(left(stopped_by(flow(), StopWay("cracked")))))
    job.do(c.AskCause("cracked"))
    while job.at != "before-spin.seen":
        job.answer()
    job.do(c.GiveAnswer(job.state.run.id, "seen", ()))
    assert job.believed("drum-sound") == {"unsound"} and standing(job.view)
    job.do(c.AskCause("cracked"))
    job.asked()
    assert job.at == "no-spin.drum"
    job.answer("knocks")
    assert not standing(job.view)


def test_a_graver_stop_of_an_earlier_visit_leads_whatever_stops_work_now() -> None:
    """Gas was smelt and never asked anew; next visit the plinth is not fixed: everybody goes outdoors first, and
    no line says to switch off or to pull the plug before gas is released. The paper calls the gas line first.
    """
    job = stopped_for("gas")
    job = back(left(job))
    job.do(c.StopWork("plinth-loose", "screws loose"))
    assert [h.stop for h in to_deal_with(job.view)] == ["gas"]
    first = dealt_with(job.view)
    assert first is not None and first.stop == "gas" and len(open_lines(job.flow, first)) > 2
    text = MARKDOWN.write(customer_handover(left(job).view)).decode().lower()
    assert text.index("gas emergency") < text.index("builder")


def test_a_slip_of_the_lesser_stop_leaves_gas() -> None:
    """Pressed by mistake on the next visit: the plinth is taken back, gas stays and is no slip."""
    job = back(left(stopped_for("gas")))
    for condition in unreleased(job.view, "gas"):
        job.do(c.Release(condition, "Eve", "mended"))
    job.do(c.StopWork("plinth-loose", "wrong key"))
    job.do(c.WithdrawStop("I pressed the wrong key."))
    assert [h.stop for h in job.state.stops] == ["gas"] and unreleased(job.view, "gas") == ("gas",)
    assert job.refused(c.WithdrawStop("That too.")) is RefusalReason.LATE
    assert dealt_with(job.view).stop == "gas"


def test_a_stop_of_a_fact_that_this_machine_has_no_more_is_no_dead_end() -> None:
    """A gas dryer on top of what is put right to be no front loader: what the stop says is asked instead."""
    job = job_for(flow(), StopWay("", "", ""))
    fact = next(f for f in flow().facts if any(v.stop == "gas-dryer" for v in f.values))
    value = next(v.id for v in fact.values if v.stop == "gas-dryer")
    job.do(c.SetFact(fact.id, value, "looked at"))
    assert job.state.job is JobState.STOPPED
    job = back(left(job))
    job.do(c.SetFact("kind", "top-hung", "misread"))
    released(job)
    asked = asked_until_cleared(job)
    assert asked and not standing(job.view)


def test_words_and_a_cant_leave_gas_the_stop() -> None:
    """Somebody says that it is over; asked anew it can't be told: gas stops work again, and is latched again."""
    job = back(left(stopped_for("gas")))
    for condition in unreleased(job.view, "gas"):
        job.do(c.Release(condition, "Eve", "mended"))
    assert badge(job.view).words[0] == "GAS?", "words alone leave it in sight"
    job.do(c.AskCause("gas"))
    run, step = job.step()
    assert str(run.ref) == "before.danger"
    job.do(c.SayUnable(run.id, step.id, "The tool for it isn't here."))
    assert job.state.job is JobState.STOPPED and "gas" in {h.stop for h in job.state.stops}
    first = dealt_with(job.view)
    assert first is not None and first.stop == "gas" and unreleased(job.view, "gas")


def test_a_latch_that_stands_is_not_told_as_no_longer_known() -> None:
    """A new visit widens what is believed, and what nobody released stands: the log says nothing else of it."""
    job = back(left(stopped_for("gas")))
    says = flow().conditions["gas"].says
    assert unreleased(job.view, "gas") == ("gas",)
    assert not any(says in entry.lost for entry in belief_log(job.view))


def stopped_for(stop: str) -> Job:
    """A job that was stopped by the stop key."""
    return stopped_by(flow(), next(w for w in ways("washer-shake", "key") if w.stop == stop))
