"""References: parsed from what files hold, and written as that again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.domain.references import (
    END,
    FOLLOWING,
    AnswerRef,
    Destination,
    DrawingRef,
    RepairRef,
    StepRef,
    Target,
)
from wizard.domain.vocabulary import Verdict

IDS = st.from_regex(r"[a-z0-9]{1,6}(-[a-z0-9]{1,4})?", fullmatch=True)


@given(IDS, IDS)
def test_a_step_is_written_as_it_is_read(inspection: str, step: str) -> None:
    """A step, and a target that is one, have the same text."""
    ref = StepRef(inspection, step)
    assert StepRef.parse(str(ref)) == ref
    assert Target.parse(str(ref)).ref == ref and str(Target.parse(str(ref))) == str(ref)


@given(IDS)
def test_a_destination_is_written_as_it_is_read(name: str) -> None:
    """A step's id, end, or a stop."""
    for text in (name, f"stop:{name}", "end"):
        assert str(Destination.parse(text)) == text
    assert Destination.parse(f"stop:{name}").stop == name and Destination.to_step(name).step == name


def test_what_a_destination_is_not() -> None:
    """The end is no step and no stop; nor is the step that follows, which only a step by itself leads to."""
    assert (END.step, END.stop, FOLLOWING.step, FOLLOWING.stop) == ("", "", "", "")
    assert END != FOLLOWING and Destination.parse("end") == END
    assert Target("feet").ref is None


@given(IDS, IDS, IDS)
def test_what_is_done_and_shown_is_written_as_it_is_read(one: str, other: str, third: str) -> None:
    """An answer, a repair, and a drawing with what is lit in it or without."""
    answer = AnswerRef(StepRef(one, other), third)
    assert AnswerRef.parse(str(answer)) == answer and str(answer) == f"{one}.{other}: {third}"
    assert RepairRef.parse(f"repair:{one}") == RepairRef(one) and str(RepairRef(one)) == f"repair:{one}"
    for drawing in (DrawingRef(one), DrawingRef(one, other)):
        assert DrawingRef.parse(str(drawing)) == drawing


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        *((AnswerRef, text) for text in ("", "feet.rock", "feet.rock:no", "feet: no", "feet.rock: ")),
        *((RepairRef, text) for text in ("", "feet", "repair:", "repair")),
        *((DrawingRef, text) for text in ("", ":feet", "feet:")),
    ],
)
def test_what_is_none_of_them_is_refused(kind: type[AnswerRef | RepairRef | DrawingRef], text: str) -> None:
    """The error quotes it and says how one is written."""
    with pytest.raises(ValueError, match="Write "):
        kind.parse(text)


@pytest.mark.parametrize("text", ["", "feet", "feet.", ".rock", "a.b.c"])
def test_what_is_no_step_is_refused(text: str) -> None:
    """The error says how a step is written."""
    with pytest.raises(ValueError, match=r"Write inspection\.step"):
        StepRef.parse(text)


@pytest.mark.parametrize("text", ["", "stop:"])
def test_what_leads_nowhere_is_refused(text: str) -> None:
    """Neither a step nor a stop is named."""
    with pytest.raises(ValueError, match="leads nowhere"):
        Destination.parse(text)


def test_words_are_their_text() -> None:
    """A member equals its word and is written as it, so that files and journals hold plain words."""
    assert (
        Verdict.PASS == "pass" and f"{Verdict.PASS}" == "pass" and list(Verdict) == ["pass", "watch", "fail"]
    )
