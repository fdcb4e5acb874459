"""The decision as it stands: ticks, digits, what is left to ask."""

import pytest

from tests.helpers.jobs import Job
from wizard.diagnosis.next_inspection.candidates import Counsel
from wizard.engine.guidance.session_ranking import Residual, ranking
from wizard.screens.viewmodels.faults.fault_choice import begin_choice, ranked_choice


@pytest.fixture
def job():
    return Job()


def decision(job, ticks=None, decided=()):
    """The decision with the ranking of the state."""
    return ranked_choice(begin_choice(job.view, ticks), ranking(job.view), decided)


def test_before_any_ranking_nothing_is_offered(job):
    """No row has the mark, none a digit."""
    begun = begin_choice(job.view, None)
    assert begun.at(0) is None and begun.numbered(1) is None and begun.digits == "" and begun.faults == ()


def test_each_row_is_found_by_its_place_and_by_its_digit(job):
    """The likeliest fault is 1."""
    found = decision(job)
    assert found.digits == "1,2,3,4"
    assert found.at(1) == found.numbered(2) == found.rows[1] and found.at(4) is found.numbered(9) is None


def test_what_was_decided_before_is_ticked_until_a_tick_changes_it(job):
    """Nothing was decided yet: with nothing ticked it is unchanged."""
    assert decision(job).unchanged and decision(job).ticked == frozenset()
    first = decision(job).rows[0].fault
    ticked = decision(job, decision(job).toggled(first))
    assert ticked.faults == (first,) and not ticked.unchanged
    assert decision(job, ticked.toggled(first)).unchanged


def test_with_nothing_ticked_the_counsel_is_what_is_left_to_say(job):
    """Else what stays unexplained, once that is known."""
    counsel = Counsel((), True, "Look at the feet.", (), (), {})
    assert decision(job).left(None, counsel, False) == ["Look at the feet."]
    assert decision(job).left(None, None, False) == []
    one = decision(job, frozenset({decision(job).rows[0].fault}))
    assert one.left(None, counsel, True) == []
    residual = Residual()
    assert "Nothing that was seen stays unexplained." in one.left(residual, None, False)
