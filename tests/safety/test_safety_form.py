"""Needs put together, what values turn into, what applies."""

from __future__ import annotations

from wizard.safety import Act, Condition, Effect, closed, fits, loosened, merged


def of(**values: str) -> dict[str, frozenset[str]]:
    return {name: frozenset(text.split()) for name, text in values.items()}


def test_alone_is_closed() -> None:
    """Each value may stay as it is, and may turn into what its successors turn into."""
    values = {"relieved": "", "shut": "", "open": "", "gone": ""}
    assert closed(values, of(relieved="shut", shut="open")) == of(
        relieved="relieved shut open", shut="shut open", open="open", gone="gone"
    )


def test_what_alone_names_may_go_round() -> None:
    assert closed({"a": "", "b": ""}, of(a="b", b="a")) == of(a="a b", b="a b")


def test_needs_together_allow_what_all_of_them_allow() -> None:
    """A reach that has another's needs and more of its own is the stricter of both."""
    outer, own = of(supply="cut held locked", gas="none"), of(supply="held locked", taps="relieved")
    assert merged(outer, own) == of(supply="held locked", gas="none", taps="relieved")
    assert merged() == {}


def test_needs_that_exclude_each_other_allow_nothing() -> None:
    assert merged(of(supply="live"), of(supply="held")) == {"supply": frozenset()}


def test_a_flow_may_add_and_narrow_but_not_loosen() -> None:
    """A new condition or fewer values strengthen; one value more loosens."""
    library = of(supply="held locked", gas="none")
    assert loosened(library, of(supply="locked", level="yes")) == ()
    assert loosened(library, of(supply="held locked")) == ()
    assert loosened(library, of(supply="locked live", gas="none suspect", level="yes")) == ("supply", "gas")


def test_a_fact_that_is_not_known_fits_nothing() -> None:
    assert fits({}, {})
    assert fits({"kind": ("hung", "base")}, {"kind": "base"})
    assert not fits({"kind": ("hung",)}, {"kind": "base"})
    assert not fits({"kind": ("hung",)}, {})


def test_a_value_that_is_only_turned_into_stays_itself() -> None:
    """A name that is no value is kept, so that a check can say it."""
    assert closed({"a": ""}, of(a="b")) == of(a="a b")


def test_an_answer_is_neither_usual_nor_a_stop_unless_said() -> None:
    plain, usual = Effect("other"), Effect("mine", usual=True)
    assert not plain.usual and not plain.stop
    assert Act("a.b", answers=(plain, usual)).usual is usual
    assert Act("a.b", answers=(plain,)).usual is None


def test_a_condition_is_of_the_machine_unless_it_says_so() -> None:
    """Only who is near the machine is asked last."""
    assert not Condition("drum", "The drum", {"still": "still"}).last


def test_what_was_asked_for_one_work_holds_for_the_next_unless_it_says_so() -> None:
    assert not Condition("drum", "The drum", {"still": "still"}).passing
