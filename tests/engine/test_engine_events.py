"""Every kind of event comes back from a journal as it went, and a journal of another format is refused in words."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.decay_records import made
from tests.helpers.flows.spin_flow import spin
from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.messages import commands as cmd
from wizard.engine.messages import events as ev
from wizard.engine.messages.decay_record import DecayFit
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.messages.spin_record import KeptFigure, SpinRecord
from wizard.errors import JournalError
from wizard.journal.sealed_block import decode, encode

WHOLE = st.integers(-(2**63), 2**63 - 1)
FINITE = st.floats(allow_nan=False, allow_infinity=False)
LOOSE = st.recursive(
    st.text(max_size=8) | FINITE | WHOLE | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)
PLAIN = {int: WHOLE, float: FINITE, str: st.text(max_size=12), bool: st.booleans(), Any: LOOSE}


def of_type(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a field's type."""
    if hint in PLAIN:
        return PLAIN[hint]
    origin, inner = get_origin(hint), get_args(hint)
    if origin is tuple and inner[-1] is not Ellipsis:
        return st.tuples(*map(of_type, inner))
    if origin is tuple:
        return st.lists(of_type(inner[0]), max_size=3).map(tuple)
    if origin is frozenset:
        return st.frozensets(of_type(inner[0]), max_size=3)
    if origin is Mapping:
        return st.dictionaries(of_type(inner[0]), of_type(inner[1]), max_size=3)
    if origin is UnionType:
        return st.none() | of_type(inner[0])
    if issubclass(hint, StrEnum):
        return st.sampled_from(hint)
    if hint is DecayFit:
        return st.builds(made, settles_u=FINITE, column=st.text(max_size=9), swings=WHOLE)
    if hint is SpinRecord:
        return st.builds(
            spin, figure_of(), rate=st.floats(1, 1e5), place=st.lists(st.text(max_size=9)).map(tuple)
        )
    assert is_dataclass(hint), f"no values are made of {hint}"
    return instances(hint)


def figure_of() -> st.SearchStrategy[KeptFigure]:
    """Figures of a recorded spin, told or not."""
    known = {
        "uncertainty": st.floats(0, 1e6),
        "bias": st.floats(0, 1e6),
        "value": FINITE,
        "says": st.text(max_size=9),
    }
    there, at = st.none() | st.booleans(), st.none() | FINITE
    return st.builds(KeptFigure, st.sampled_from(FigureKind), told=st.booleans(), there=there, at=at, **known)


def instances(cls: type[Any]) -> st.SearchStrategy[Any]:
    """Instances of a dataclass, some with their defaults."""
    hints = get_type_hints(cls)
    needed = {f.name for f in fields(cls) if f.default is f.default_factory}
    chosen = {f.name: of_type(hints[f.name]) for f in fields(cls)}
    return st.fixed_dictionaries(
        {name: made for name, made in chosen.items() if name in needed},
        optional={name: made for name, made in chosen.items() if name not in needed},
    ).map(lambda values: cls(**values))


@pytest.mark.parametrize("cls", ev.CODEC.kinds.values(), ids=list(ev.CODEC.kinds))
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_every_event_comes_back_as_it_went(cls, data):
    """Through the bytes of a journal."""
    record = data.draw(
        st.builds(ev.Recorded, seq=WHOLE, at=st.text(max_size=9), since=FINITE, event=instances(cls))
    )
    block, _ = encode(ev.to_dict(record))
    assert ev.from_dict(decode(block)) == record


def test_every_class_has_its_kind():
    """None is left out of the codec, whatever its file."""
    names = {name for name, made in vars(ev).items() if isinstance(made, type) and issubclass(made, ev.Event)}
    assert {cls.__name__ for cls in ev.CODEC.kinds.values()} == names - {"Event"}
    assert all(vars(ev)[cls.__name__] is cls for cls in ev.CODEC.kinds.values())
    assert [cls.kind for cls in ev.CODEC.kinds.values()] == list(EventKind)


def having(*names: str, kinds=ev.CODEC.kinds) -> set[type[Any]]:
    """The classes that have all these fields."""
    return {cls for cls in kinds.values() if {*names} <= {spec.name for spec in fields(cls)}}


def test_every_class_with_a_field_is_in_the_union_that_has_it():
    """So a fold or a flag that asks for one of them by its union meets them all."""
    assert set(get_args(ev.Believing)) == having("belief")
    assert set(get_args(ev.OfStep)) == having("run", "step")
    assert set(get_args(ev.OfRun)) == having("run")
    assert set(get_args(ev.Reasoned)) == having("reason")
    assert set(get_args(cmd.Reasoned)) == having("reason", kinds=cmd.COMMANDS.kinds)
    assert set(get_args(cmd.Ranged)) == having("sure", kinds=cmd.COMMANDS.kinds)


BEGAN = {
    "sequence": 1,
    "at": "2026-03-02T09:00:00Z",
    "since": 0.0,
    "kind": "began",
    "session": "2026-03-02-a",
}
GONE = {"sequence": 2, "at": "2026-03-02T09:00:00Z", "since": 0.0, "kind": "a kind of long ago"}


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ({}, "is of format 1; this program reads format 2. Read it with the older program"),
        ({"format": 1}, "is of format 1; .* begin a new job here"),
        ({"format": 3}, "is of format 3; .* Use a newer one"),
        ({"format": "2"}, "is of format '2'"),
        ({"format": 2.0}, "can't be read: its key 'format' is 2.0, not a whole number"),
    ],
)
def test_another_format_is_refused_before_its_events_are_read(written, says):
    """A journal of format 1 does not name its format; what its events were no longer matters."""
    with pytest.raises(JournalError, match=says) as caught:
        ev.records_of([{**BEGAN, **written}, GONE], "Session 2026-03-02-a")
    assert "long ago" not in str(caught.value)


def test_this_format_names_itself():
    """So that the next one is told apart from it."""
    began = ev.Recorded(1, "2026-03-02T09:00:00Z", 0.0, ev.Began(format=ev.FORMAT, session="2026-03-02-a"))
    assert ev.to_dict(began) == {**BEGAN, "format": 2}
    assert ev.records_of([ev.to_dict(began)], "Session 2026-03-02-a") == (began,)
    assert ev.records_of([], "Session 2026-03-02-a") == ()
