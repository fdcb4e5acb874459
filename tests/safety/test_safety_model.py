"""What each thing that happens does to a belief."""

from __future__ import annotations

import pytest

from tests.safety.lab import lab
from tests.safety.small import GAS, SUPPLY, TRIED, act, condition, model, sets, small
from wizard.safety import Contradiction, changed


def test_nothing_known_is_all_values_but_latches() -> None:
    assert small().top() == sets("gas=none|suspect supply=live|held|locked tried=no|yes part=sound|unsound")


def test_what_is_left_out_or_empty_is_not_known() -> None:
    """A belief read from a journal that lacks a condition, or claims the empty set, claims nothing of it."""
    believed = {"gas": frozenset({"none"}), "supply": frozenset[str](), "other": frozenset({"x"})}
    assert small().settle(believed) == small().top() | sets("gas=none")


def test_a_value_that_a_condition_lacks_is_named() -> None:
    with pytest.raises(ValueError, match="condition 'gas' has no value 'blue'"):
        small().settle(sets("gas=blue"))


def test_what_rests_on_others_is_widened_when_they_may_be_otherwise() -> None:
    """A belief that claims 'tried' of a machine that may be live isn't believed."""
    assert small().settle(sets("supply=live|held tried=yes"))["tried"] == {"yes", "no"}
    assert small().settle(sets("supply=held|locked tried=yes"))["tried"] == {"yes"}


def test_what_rests_on_what_rests_falls_too() -> None:
    """The order of the conditions in the file plays no part."""
    dead = condition("dead", "no yes", alone="yes=no", rests_on="tried=yes")
    for order in ([dead, TRIED, SUPPLY], [SUPPLY, TRIED, dead]):
        after = model(order, []).settle(sets("supply=live tried=yes dead=yes"))
        assert after["dead"] == {"yes", "no"}


def test_showing_a_step_makes_possible_what_may_come_of_it() -> None:
    """And what rests on that is no longer believed: a hand on the plug is the end of 'tried'."""
    after = small().show(sets("gas=none supply=held tried=yes part=sound"), "plug")
    assert after == sets("gas=none supply=live|held|locked tried=yes|no part=sound")


def test_an_answer_puts_what_its_step_may_change_and_narrows_the_rest() -> None:
    """The plug step changes the supply; the look only sees the part."""
    after, against = small().answer(small().top(), "plug", sets("supply=locked"))
    assert (after, against) == (small().top() | sets("supply=locked"), ())
    after, against = small().answer(small().top(), "look", sets("part=unsound"))
    assert (after["part"], against) == ({"unsound"}, ())


def test_what_an_answer_does_not_name_stays_possible() -> None:
    shown = small().show(sets("gas=none supply=held tried=yes part=sound"), "plug")
    after, _ = small().answer(shown, "plug", {})
    assert after["supply"] == {"live", "held", "locked"}


def test_a_contradiction_keeps_old_and_new_and_is_named() -> None:
    """It lit up though the plug was in the bag: so somebody pulled another plug, or misread. Both stay possible."""
    shown = small().show(sets("gas=none supply=held tried=no"), "try")
    after, against = small().answer(shown, "try", sets("tried=no supply=live"))
    assert against == (Contradiction("supply", frozenset({"held"}), frozenset({"live"})),)
    assert after["supply"] == {"held", "live"}


def test_a_fact_or_a_fault_narrows_like_a_look() -> None:
    after, against = small().learn(small().top(), sets("part=unsound elsewhere=yes"))
    assert (after["part"], against) == ({"unsound"}, ())
    after, against = small().learn(sets("part=sound"), sets("part=unsound"))
    assert [c.condition for c in against] == ["part"]
    after, against = small().learn(sets("gas=suspect"), sets("gas=none"))
    assert (after["gas"], [c.condition for c in against]) == ({"none", "suspect"}, ["gas"])


def test_away_is_what_values_turn_into_alone() -> None:
    after = small().away(sets("gas=none supply=held tried=yes part=sound"))
    assert after == sets("gas=none|suspect supply=held|live tried=yes|no part=sound")
    locked = small().away(sets("gas=none supply=locked tried=yes part=sound"))
    assert locked["supply"] == {"locked"}
    assert locked["tried"] == {"yes", "no"}


def test_anew_is_nothing_known() -> None:
    assert small().anew(sets("gas=none supply=locked tried=yes part=sound")) == small().top()


def test_forgetting_is_all_values_of_those_conditions_and_of_what_rests_on_them() -> None:
    known = sets("gas=none supply=held tried=yes part=sound")
    after = small().forget(known, ["supply", "nothing-here"])
    assert after == sets("gas=none supply=live|held|locked tried=yes|no part=sound")
    assert small().touches("try") == ("supply", "tried")


def test_a_latch_is_put_whatever_was_believed_and_outlives_all_but_its_release() -> None:
    """Gas that was smelt is no contradiction to none before."""
    known = sets("gas=none supply=held tried=yes part=sound")
    stopped, against = small().answer(known, "smell", sets("gas=stopped"))
    assert (stopped["gas"], against) == ({"stopped"}, ())
    for later in (small().away(stopped), small().anew(stopped), small().forget(stopped, ["gas"])):
        assert small().latched(later) == ("gas",)
    denied, _ = small().answer(stopped, "smell", sets("gas=none"))
    assert small().latched(denied) == ("gas",)
    released = small().release(denied, "gas")
    assert released["gas"] == {"none", "suspect"}
    assert small().latched(released) == ()


def test_missing_is_in_the_order_of_the_conditions() -> None:
    needs = sets("part=sound tried=yes gas=none|suspect elsewhere=yes")
    assert small().missing(small().top(), needs) == ("tried", "part")
    assert not small().holds(small().top(), needs)
    assert small().missing(sets("supply=held tried=yes part=sound"), needs) == ()
    assert small().holds(sets("supply=held tried=yes part=sound"), needs)


def test_only_what_applies_is_there() -> None:
    """A washer that stands alone has no second supply, and nothing needs it."""
    alone, stacked = lab().model(stack="none"), lab().model(stack="electric")
    assert "supply2" not in alone.top()
    assert "library.plug2" not in alone.acts
    assert "supply2" in stacked.top()
    needs = lab().reaches[5].needs
    assert "supply2" in needs
    assert "supply2" not in alone.needs(needs)
    assert list(stacked.needs(needs)) == [c for c in stacked.conditions if c in needs]


def test_what_has_changed_is_what_an_event_carries() -> None:
    before = sets("gas=none supply=held tried=yes part=sound")
    assert changed(before, small().away(before)) == sets("gas=none|suspect supply=held|live tried=yes|no")
    assert changed(before, small().settle(before)) == {}


def test_conditions_that_rest_on_each_other_make_no_model() -> None:
    one, other = condition("one", "a b", rests_on="other=a"), condition("other", "a b", rests_on="one=a")
    with pytest.raises(ValueError, match="cycle"):
        model([GAS, one, other], [])


def test_what_rests_on_a_condition_that_is_not_here_rests_on_the_others_alone() -> None:
    """A machine without a second supply: tried is tried by the first."""
    tried = condition("tried", "no yes", alone="yes=no", rests_on="supply2=held supply=held|locked")
    for here in ([SUPPLY, tried], [tried, SUPPLY]):
        machine = model(here, [])
        assert machine.settle(sets("supply=held tried=yes"))["tried"] == {"yes"}
        assert machine.settle(sets("supply=live tried=yes"))["tried"] == {"yes", "no"}
    assert model([tried], []).settle(sets("tried=yes")) == sets("tried=yes")


def test_a_step_touches_the_latch_that_it_may_say() -> None:
    """Undoing the only answer that speaks of gas forgets what was known of it."""
    alarm = act("alarm", "gone: supply=held", "gas!: gas=stopped")
    assert model([GAS, SUPPLY], [alarm]).touches("alarm") == ("gas", "supply")


def test_what_a_stop_says_is_put_whatever_was_believed() -> None:
    """Not narrowed, and no contradiction: it is so now. A latch that stands stays, what is not named too."""
    believed = sets("gas=none supply=held tried=yes part=sound")
    assert small().put(believed, sets("part=sound|unsound"))["part"] == {"sound", "unsound"}
    assert small().put(believed, sets("part=unsound")) == sets("gas=none supply=held tried=yes part=unsound")
    stopped = small().put(believed, sets("gas=stopped"))
    assert stopped["gas"] == {"stopped"} and small().put(stopped, sets("gas=none"))["gas"] >= {"stopped"}
    assert small().put(believed, sets("supply=live"))["tried"] == {"yes", "no"}, "what rests on it is lost"
