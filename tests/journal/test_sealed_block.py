"""Sealed blocks. Outside checks: tomllib reads them (TOML 1.0), sha256sum and hashlib make the seals."""

import hashlib
import math
import re
import tomllib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.journal.sealed_block import START, decode, encode, grouped, seal

GOLDEN = b"""\
[[event]]
sequence = 3
kind = "noted"
says = "\\u001b one\\ntwo \\"\\u007f\\" \xe2\x80\xa8 \xf0\x9f\x94\xa7"
on = true
nothing = []
many = [
    1,
    2.5,
]

[event.place]
"left foot" = "a.b"

[event.place.empty]

[event.seal]
chain = "d41e3c4753f72821f06a74b29329ee9bb1cb763b27f9cdf6ca8ac49a02b25ca7"
"""
EVENT: dict[str, Any] = {
    "sequence": 3,
    "kind": "noted",
    "place": {"left foot": "a.b", "empty": {}},
    "says": '\x1b one\ntwo "\x7f" \u2028 \U0001f527',
    "on": True,
    "nothing": [],
    "many": [1, 2.5],
}

texts = st.text(max_size=20)
plain = st.one_of(
    texts,
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
    st.booleans(),
    st.sampled_from(["\n[[event]]\n", "[event.seal]\nchain = ", '"""', "'''", "\r\n", "\\", "\x00\x7f\x85"]),
)
values = st.recursive(
    plain,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)
happenings = st.dictionaries(texts.filter(lambda key: key != "seal"), values, max_size=6)


def test_a_block_is_these_bytes() -> None:
    """The form on the disk is fixed byte for byte: journals of years are in it."""
    assert encode(EVENT, START)[0] == GOLDEN


def test_the_chain_is_sha256_of_the_last_chain_and_the_block_before_its_chain_line() -> None:
    """Anyone can check a seal with sha256sum; no canonical form is needed."""
    previous = "0123456789abcdef" * 4
    block, chain = encode(EVENT, previous)
    before, line = block[: block.rindex(b"chain = ")], block[block.rindex(b"chain = ") :]
    assert hashlib.sha256(previous.encode("ascii") + before).hexdigest() == chain
    assert line == f'chain = "{chain}"\n'.encode("ascii")
    assert seal(previous, before) == chain


@given(st.lists(happenings, min_size=1, max_size=3))
@settings(max_examples=100, deadline=None)
def test_what_is_written_is_read_back(events: list[dict[str, Any]]) -> None:
    """Any event comes back the same, from its block and from the whole file read as TOML."""
    chain, data = START, b""
    for event in events:
        block, chain = encode(event, chain)
        assert decode(block) == event
        data += block
    whole = tomllib.loads(data.decode("utf-8"))
    assert [{k: v for k, v in event.items() if k != "seal"} for event in whole["event"]] == events
    assert whole["event"][-1]["seal"] == {"chain": chain}


@given(happenings)
@settings(max_examples=100, deadline=None)
def test_a_header_line_stands_only_where_a_block_starts(event: dict[str, Any]) -> None:
    """No text in an event can look like the start or the seal of a block, so blocks can be split by lines."""
    block, _ = encode(event, START)
    assert re.findall(rb"(?m)^\[\[event\]\]$", block) == [b"[[event]]"] and block.startswith(b"[[event]]\n")
    assert len(re.findall(rb"(?m)^\[event\.seal\]$", block)) == 1
    assert b"\r" not in block and block.endswith(b'"\n')


def test_an_event_of_tables_only_still_has_its_header() -> None:
    """A writer that names sub-tables straight away would leave the block without its first line."""
    block, _ = encode({"place": {"item": "left"}}, START)
    assert block.startswith(b"[[event]]\n\n[event.place]\n")
    assert decode(block) == {"place": {"item": "left"}}


def test_a_long_list_of_tables_is_one_event() -> None:
    """Lists of tables too long for a line become [[event.x]] tables and stay inside their block."""
    event = {"rows": [{"text": "x" * 90, "sub": {"a": [{"b": "y" * 100}]}}, {"text": "z" * 120}], "after": 1}
    assert decode(encode(event, START)[0]) == event


@pytest.mark.parametrize("value", [math.inf, -math.inf, -0.0, 5e-324, 1e300, 1e16])
def test_floats_keep_every_bit(value: float) -> None:
    """Infinite, tiny and huge numbers come back with their sign and last digit."""
    got = decode(encode({"v": value}, START)[0])["v"]
    assert isinstance(got, float) and got == value and math.copysign(1, got) == math.copysign(1, value)


def test_nan_is_kept() -> None:
    """TOML has a word for 'not a number'."""
    assert math.isnan(decode(encode({"v": math.nan}, START)[0])["v"])


def test_lone_surrogates_are_replaced() -> None:
    """Half a character from a broken paste can't be UTF-8: U+FFFD stands for it, in keys too."""
    assert decode(encode({"a\udc80": ["x\ud800y"]}, START)[0]) == {"a\ufffd": ["x\ufffdy"]}


def test_tuples_come_back_as_lists() -> None:
    """A frozen list may be handed in."""
    assert decode(encode({"v": (1, ("a",))}, START)[0]) == {"v": [1, ["a"]]}


@pytest.mark.parametrize(
    ("event", "error", "place"),
    [
        ({"a": {"b": [1, None]}}, TypeError, r"event\.a\.b\[1\]: NoneType"),
        ({"a": {1, 2}}, TypeError, r"event\.a: set"),
        ({"a": b"x"}, TypeError, r"event\.a: bytes"),
        ({"a": {1: 2}}, TypeError, r"event\.a: a key must be text, not int"),
        ({"a": 2**63}, ValueError, r"event\.a: .*64 bits"),
        ({"a": -(2**63) - 1}, ValueError, r"event\.a: .*64 bits"),
        ({"seal": {}}, ValueError, r"event\.seal"),
        ({chr(0xD800): 1, chr(0xDFFF): 2}, ValueError, "two keys"),
    ],
)
def test_what_toml_cannot_hold_is_refused_with_its_place(
    event: Any, error: type[Exception], place: str
) -> None:
    """An error names the key path, so that the caller can be mended."""
    with pytest.raises(error, match=place):
        encode(event, START)


def test_endless_nesting_is_refused() -> None:
    """A mapping that holds itself gets an error and no overflow."""
    event: dict[str, Any] = {}
    event["me"] = event
    with pytest.raises(ValueError, match="nested more than 32"):
        encode(event, START)


@pytest.mark.parametrize("previous", ["", "0" * 63, "G" * 64, "A" * 64])
def test_a_chain_value_is_64_lower_hex_digits(previous: str) -> None:
    """A wrong previous value would make a journal that can't be verified."""
    with pytest.raises(ValueError, match="previous"):
        encode({}, previous)


@pytest.mark.parametrize(
    "block",
    [
        b"[[event]]\na = \n\n[event.seal]\n",
        b"[[event]]\na = 1\n",
        b"[[event]]\n[event.seal]\nchain = ''\nmore = 1\n",
        b"[[event]]\n[[event]]\n[event.seal]\nchain = ''\n",
        b"[[event]]\n[event.seal]\nchain = ''\n[other]\n",
        b"event = 1\n",
        b"event = [1]\n",
        b"[[event]]\na = '\xff'\n",
    ],
)
def test_a_block_that_is_not_one_event_is_refused(block: bytes) -> None:
    """A forged seal over something else is not taken for an event."""
    with pytest.raises(ValueError):
        decode(block)


def test_a_chain_value_is_printed_in_groups_of_four() -> None:
    """The first 16 digits, as the report prints them."""
    assert grouped("abcdef0123456789" * 4) == "abcd ef01 2345 6789"


def test_an_empty_event_is_a_block(make_blocks: Callable[[list[dict[str, Any]]], list[bytes]]) -> None:
    """No keys at all is still an event."""
    assert decode(make_blocks([{}])[0]) == {}


@pytest.mark.parametrize("value", [2**63 - 1, -(2**63), 127, 0, True, False])
def test_whole_numbers_of_64_bits_are_kept(value: int) -> None:
    """And what is on or off stays so."""
    kept = decode(encode({"a": value})[0])["a"]
    assert kept == value and type(kept) is type(value)


def test_nesting_of_thirty_two_is_kept_and_one_more_refused() -> None:
    deepest: Any = 1
    for _ in range(31):
        deepest = {"in": deepest}
    assert decode(encode({"in": deepest})[0]) == {"in": deepest}
    with pytest.raises(ValueError, match="nested more than 32"):
        encode({"in": {"in": deepest}})
    rows: Any = 1
    for _ in range(31):
        rows = [rows]
    assert decode(encode({"in": rows})[0]) == {"in": rows}
    with pytest.raises(ValueError, match="nested more than 32"):
        encode({"in": [rows]})


MOST = SOURCE_LIMITS[Source.EVENT].size
"""The bytes of the largest block."""


def filled(size: int) -> dict[str, Any]:
    """An event whose block has so many bytes."""
    many = {f"says{n}": "x" * 90_000 for n in range(size // 100_000)}
    spare = size - len(encode({**many, "rest": ""})[0])
    return {**many, "rest": "x" * spare}


def test_the_largest_block_is_written_and_read():
    block, _chain = encode(filled(MOST))
    assert len(block) == MOST and decode(block) == filled(MOST)


def test_a_byte_more_is_neither_written_nor_read():
    with pytest.raises(ValueError, match=f"over {MOST} none is read again"):
        encode(filled(MOST + 1))
    block, _chain = encode(filled(MOST))
    with pytest.raises(Unreadable, match=f"over {MOST} bytes"):
        decode(block + b"\n")
