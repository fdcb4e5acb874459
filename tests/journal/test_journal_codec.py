"""A codec reads and writes what its classes declare, and says what does not fit. The classes here are invented."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.errors import JournalError
from wizard.journal.codec import Codec, Place
from wizard.journal.sealed_block import decode, encode


class Side(StrEnum):
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Spot:
    side: Side
    height: float
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    kind: ClassVar[str] = "seen"
    run: int
    spots: tuple[Spot, ...] = ()
    pair: tuple[str, int] = ("", 0)
    belief: Mapping[str, frozenset[str]] = field(default_factory=dict)
    sides: Mapping[Side, bool] = field(default_factory=dict)
    best: Spot | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    kind: ClassVar[str] = "told"
    number: float
    yes: bool = False
    side: Side = Side.LEFT
    spot: Spot = Spot(Side.LEFT, 0.0)
    rows: tuple[tuple[Side, ...], ...] = ()
    which: frozenset[Side] = frozenset()
    beliefs: Mapping[str, frozenset[str]] = field(default_factory=dict)
    pair: tuple[str, int] = ("", 0)
    loose: Mapping[str, Any] = field(default_factory=dict)


CODEC = Codec([Entry])
PLACE = Place(7, "2026-03-02T09:00:00Z", 1.5)
HEAD = {"sequence": 7, "at": "2026-03-02T09:00:00Z", "since": 1.5, "kind": "told"}

FINITE = st.floats(allow_nan=False, allow_infinity=False)
WHOLE = st.integers(-(2**63), 2**63 - 1)
SPOTS = st.builds(Spot, side=st.sampled_from(Side), height=FINITE, words=st.text())
LOOSE = st.recursive(
    st.text() | FINITE | WHOLE | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
EVENTS = st.builds(
    Entry,
    number=FINITE,
    yes=st.booleans(),
    side=st.sampled_from(Side),
    spot=SPOTS,
    rows=st.lists(st.lists(st.sampled_from(Side), max_size=3).map(tuple), max_size=3).map(tuple),
    which=st.frozensets(st.sampled_from(Side)),
    beliefs=st.dictionaries(st.text(), st.frozensets(st.text(), max_size=3), max_size=3),
    pair=st.tuples(st.text(), WHOLE),
    loose=st.dictionaries(st.text(), LOOSE, max_size=3),
)


@given(event=EVENTS)
def test_an_event_comes_back_as_it_went(event):
    """Through the bytes of a journal too, with the members of an enum as such."""
    table = CODEC.write(event, PLACE)
    block, _ = encode(table)
    for back in (CODEC.read(table), CODEC.read(decode(block))):
        assert back == (PLACE, event)
        assert isinstance(back[1].side, Side) and all(isinstance(s, Side) for s in back[1].which)


def test_what_stands_at_its_default_is_left_out():
    """A table holds only what differs."""
    assert CODEC.write(Entry(number=2.0), PLACE) == {**HEAD, "number": 2.0}


def test_a_set_is_a_sorted_list():
    """So that the same event makes the same bytes in every process."""
    event = Entry(number=0.0, which=frozenset(Side), beliefs={"supply": frozenset({"live", "cut", "held"})})
    table = CODEC.write(event, PLACE)
    assert table["which"] == ["left", "right"]
    assert table["beliefs"] == {"supply": ["cut", "held", "live"]}
    assert type(table["which"][0]) is str


DEEP: Any = 1
for _ in range(40):
    DEEP = [DEEP]

HOSTILE = [
    ({"number": "2"}, "its key 'number' is '2', not a number"),
    ({"number": True}, "its key 'number' is True, not a number"),
    ({"number": math.nan}, "its key 'number' is nan, no finite number"),
    ({"number": -math.inf}, "its key 'number' is -inf, no finite number"),
    ({"number": 2**64}, "its key 'number' is a whole number of more than 64 bits"),
    ({"yes": 1}, "its key 'yes' is 1, neither true nor false"),
    ({"side": "top"}, "its key 'side' is 'top', none of left, right"),
    ({"side": ["left"]}, "its key 'side' is \\['left'\\], none of left, right"),
    ({"spot": "left"}, "its key 'spot' is 'left', not a table"),
    ({"spot": {"side": "left"}}, "its key 'spot.height' is missing"),
    ({"spot": {"side": "left", "height": 1.0, "odd": 1}}, "its key 'spot.odd' is not known"),
    ({"spot": {"side": "left", "height": "1"}}, "its key 'spot.height' is '1', not a number"),
    ({"rows": "left"}, "its key 'rows' is 'left', not a list"),
    ({"rows": [["left"], ["right", 3]]}, r"its key 'rows\[1\]\[1\]' is 3, none of left, right"),
    ({"which": ["left", "left"]}, "its key 'which' names one thing twice"),
    ({"beliefs": {"supply": "live"}}, "its key 'beliefs.supply' is 'live', not a list"),
    ({"beliefs": []}, r"its key 'beliefs' is \[\], not a table"),
    ({"pair": ["a"]}, "its key 'pair' holds 1 values, not 2"),
    ({"pair": ["a", True]}, r"its key 'pair\[1\]' is True, not a whole number"),
    ({"loose": {"a": [math.nan]}}, "its key 'loose.a' is nan, no finite number"),
    ({"loose": {"a": DEEP}}, "nests more than 32 deep"),
    ({"odd": 1}, "its key 'odd' is not known"),
    ({"sequence": "7"}, "its key 'sequence' is '7', not a whole number"),
    ({"sequence": int("9" * 4000) ** 2}, "its key 'sequence' is a whole number of more than 64 bits"),
    ({"at": 7}, "its key 'at' is 7, not text"),
    ({"since": math.inf}, "its key 'since' is inf, no finite number"),
    ({"kind": "spun"}, "no event is of kind 'spun'"),
    ({"kind": ["told"]}, r"no event is of kind \['told'\]"),
    ({"kind": "x" * 10_000}, "no event is of kind 'x"),
]


@pytest.mark.parametrize(("fields", "says"), HOSTILE)
def test_what_does_not_fit_is_said_with_its_event_and_key(fields, says):
    """In one line of a length fit for a screen."""
    with pytest.raises(JournalError, match=says) as caught:
        CODEC.read({**HEAD, "number": 2.0, **fields})
    said = str(caught.value)
    assert said.startswith("Event ") and "another version of the program, or altered" in said
    assert len(said) < 400 and "\n" not in said


@pytest.mark.parametrize("key", ["sequence", "at", "since", "kind", "number"])
def test_a_key_that_is_missing_is_named(key):
    """Those of the place too."""
    table = {**HEAD, "number": 2.0}
    del table[key]
    with pytest.raises(JournalError, match=f"its key '{key}' is missing"):
        CODEC.read(table)


@given(table=st.dictionaries(st.sampled_from([*HEAD, *Entry.__dataclass_fields__, "odd"]), LOOSE))
def test_any_table_is_read_or_refused(table):
    """Never another error; what is read comes back the same."""
    table = {**HEAD, **table}
    try:
        place, event = CODEC.read(table)
    except JournalError:
        return
    assert CODEC.read(CODEC.write(event, place)) == (place, event)


@pytest.mark.parametrize(
    ("event", "says"),
    [
        (Entry(number=math.nan), "'number' is nan"),
        (Entry(number=1.0, pair=("a", "b")), r"'pair\[1\]' is 'b'"),
        (Entry(number=1.0, rows=["left"]), "'rows' is .*not a tuple"),
        (Entry(number=1.0, which={"left"}), "'which' is .*not a frozenset"),
        (Entry(number=1.0, spot=Spot("top", 1.0)), "'spot.side' is 'top'"),
        (Entry(number=1.0, spot="top"), "'spot' is 'top', not a Spot"),
        (Entry(number=1.0, loose={"a": None}), "'loose.*' is None"),
    ],
)
def test_what_could_not_be_read_again_is_not_written(event, says):
    """A journal that this program wrote can be read by it."""
    with pytest.raises(ValueError, match=says):
        CODEC.write(event, PLACE)


def test_a_class_that_no_journal_can_hold_is_the_program_s_fault():
    """It is no JournalError: the user did nothing."""

    @dataclass(frozen=True)
    class Odd:
        kind: ClassVar[str] = "odd"
        turn: complex

    with pytest.raises(TypeError, match=r"Odd.turn: no journal holds a field of type"):
        Codec([Odd]).read({**HEAD, "kind": "odd", "turn": 1})


def test_two_classes_of_a_kind_and_keys_of_the_place_are_refused():
    """When the codec is made, not when a job runs."""

    @dataclass(frozen=True)
    class Placed:
        kind: ClassVar[str] = "moved"
        at: str

    with pytest.raises(ValueError, match="same kind"):
        Codec([Entry, Entry])
    with pytest.raises(ValueError, match=r"Placed\.at"):
        Codec([Placed])
