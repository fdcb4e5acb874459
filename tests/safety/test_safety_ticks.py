"""A step of which several answers may be given at once: what is ticked the usual way, and what is believed after it."""

from __future__ import annotations

from dataclasses import replace

from tests.safety.small import act, condition, model, sets
from wizard.safety import Act, Barred, Model, Tick
from wizard.safety.changing import ticked

FRONT, BACK = condition("front", "on off"), condition("back", "on off")
HOSE = condition("hose", "dry wet burst", latch="burst")


def tick(name: str, given: str, left: str, usual: bool = True) -> Tick:
    return Tick(f"{name}-on", name, frozenset(given.split()), frozenset(left.split()), usual)


def looked(*ticks: Tick, may: str = "") -> Model:
    """A look at panels that are on, hoses that are dry: each a tick of its own."""
    return model([FRONT, BACK, HOSE], [replace(act("look", may=may), ticks=ticks)])


BOTH = (tick("front", "on", "off"), tick("back", "on", "off"))


def after(machine: Model, belief: str) -> tuple[dict[str, frozenset[str]], str] | None:
    """What is believed after the usual ticks, and which they are."""
    encoding = machine.tables.encoding
    found = ticked(machine.tables, encoding.encode(sets(belief)), machine.tables.acts["look"])
    return (encoding.decode(found[0]), found[1]) if found else None


def test_all_that_may_be_so_is_ticked() -> None:
    """And of what no tick speaks nothing is said."""
    assert after(looked(*BOTH), "hose=wet") == (sets("front=on back=on hose=wet"), "front-on+back-on")
    assert after(looked(BOTH[0]), "hose=wet") == (sets("front=on back=on|off hose=wet"), "front-on")


def test_what_is_known_to_be_off_is_left() -> None:
    assert after(looked(*BOTH), "front=off hose=dry") == (sets("front=off back=on hose=dry"), "back-on")


def test_nothing_ticked_has_a_name_of_its_own() -> None:
    found = after(looked(*BOTH), "front=off back=off hose=dry")
    assert found == (sets("front=off back=off hose=dry"), "none")


def test_a_tick_that_is_not_the_usual_one_is_left_where_it_may_be() -> None:
    """'Dented' is ticked only where it is known."""
    machine = looked(tick("front", "off", "on", usual=False))
    assert after(machine, "hose=dry") == (sets("front=on back=on|off hose=dry"), "none")
    assert after(machine, "front=off hose=dry") == (sets("front=off back=on|off hose=dry"), "front-on")


def test_what_the_step_changes_is_put_whatever_was_believed() -> None:
    """The panel was off, and the step puts it on."""
    machine = looked(*BOTH, may="front=on|off")
    assert after(machine, "front=off back=off hose=dry") == (sets("front=on back=off hose=dry"), "front-on")


def test_a_tick_narrows_within_what_is_believed_and_adds_nothing() -> None:
    machine = looked(tick("hose", "dry burst", "wet"))
    assert after(machine, "hose=dry|wet") == (sets("front=on|off back=on|off hose=dry"), "hose-on")


def test_where_no_tick_is_true_there_is_no_usual_way() -> None:
    """Ticked says on, and left says nothing: of a panel known to be off there is nothing to say."""
    assert after(looked(tick("front", "on", "")), "front=off hose=dry") is None
    machine = looked(tick("front", "on", ""), BOTH[1])
    assert after(machine, "front=off hose=dry") is None


def test_a_latch_outlives_the_ticks() -> None:
    """A burst hose stays one, ticked as dry or not; where only that is known nothing need be said of it."""
    machine = looked(tick("hose", "dry", "wet"))
    found = after(machine, "hose=dry|burst")
    assert found == (sets("front=on|off back=on|off hose=dry|burst"), "hose-on")
    assert after(machine, "hose=burst") == (sets("front=on|off back=on|off hose=burst"), "none")


def test_what_rests_on_what_was_ticked_is_widened() -> None:
    dead = condition("dead", "yes no", alone="yes=no", rests_on="front=on")
    machine = model([FRONT, dead], [replace(act("look"), ticks=(tick("front", "off", "on"),))])
    found = after(machine, "dead=yes")
    assert found == (sets("front=off dead=yes|no"), "front-on")


def test_ticks_of_what_this_machine_does_not_have_are_not_asked() -> None:
    machine = looked(*BOTH, tick("lid", "on", "off"))
    assert after(machine, "hose=dry") == (sets("front=on back=on hose=dry"), "front-on+back-on")


def test_a_chain_goes_on_by_the_ticks() -> None:
    """What is asked for the panels is asked once for both; where it can't be said, it is stuck."""
    both = replace(act("look", "on: front=on back=on"), ticks=BOTH)
    machine = model([FRONT, BACK, HOSE], [both])
    assert machine.chain({}, sets("front=on back=on")) == ("look",)
    lost = replace(both, ticks=(BOTH[0], tick("back", "off", "")))
    found = model([FRONT, BACK], [lost]).chain(sets("back=on"), sets("front=on"))
    assert isinstance(found, Barred) and found.condition == "front"


def test_a_tick_and_an_answer_are_the_unusual_ones_unless_said() -> None:
    """And a step may be asked on its own unless said."""
    assert not Tick("a", "front", frozenset(("on",)), frozenset()).usual
    assert Act("a").establishes and Act("a").usual is None
