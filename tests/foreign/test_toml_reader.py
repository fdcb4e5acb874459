"""TOML from elsewhere: the same values as the standard library's parser, and no text costs more than its size."""

import time
import tomllib
import tracemalloc

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source, Unreadable
from wizard.foreign.toml_reader import parse_toml, read_toml

SIZE = SOURCE_LIMITS[Source.FLOW_FILE].size - 1_000
SECONDS = 10.0
"""Far above what any of these takes (half a second), far below what the square of their size would."""


def many(part, size=SIZE, start="", end=""):
    """A text of this size made of one part again and again."""
    return start + part * ((size - len(start) - len(end)) // len(part)) + end


COSTLY = {
    "one key of 50,000 parts": ".".join(["a"] * 50_000) + " = 1",
    "one header of 50,000 parts": "[" + ".".join(["a"] * 50_000) + "]",
    "quoted parts": " . ".join(['"a.b"'] * 50_000) + " = 1",
    "a key in an inline table": "x = {" + ".".join(["a"] * 50_000) + " = 1}",
    "keys of 15 parts": "".join(f"a{i}.{'.'.join('b' * 14)} = 1\n" for i in range(SIZE // 45)),
    "tables": many("[[a]]\n"),
    "lists": many("[],", start="a = [", end="]"),
    "deep lists": many("[", start="a = "),
    "inline tables": many("{a=1},", start="a = [", end="]"),
    "escapes": many("\\u0041", start='a = "', end='"'),
    "texts that never end": many("'''a"),
    "texts that never end, escaped": many('"""\\'),
    "one word": many("s"),
    "dots": many(". "),
    "digits": many("1", start="a = "),
    "hexadecimal digits": many("f", start="a = 0x"),
}


@pytest.mark.parametrize("text", COSTLY.values(), ids=COSTLY.keys())
def test_no_text_costs_more_than_its_size(text):
    """Each is refused, or read, at once and in little memory. The first took two minutes and 15 GB."""
    tracemalloc.start()
    began = time.monotonic()
    try:
        with pytest.raises(ValueError):
            parse_toml(text, Source.FLOW_FILE)
        took, (_now, most) = time.monotonic() - began, tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert took < SECONDS and most < 200_000_000, (took, most)


def test_a_key_may_have_so_many_parts_and_no_more():
    """The edge itself; a part in quotes is one, whatever it holds; strings, comments and numbers hold none."""
    most = SOURCE_LIMITS[Source.FLOW_FILE].key_parts
    assert parse_toml(".".join(["a"] * most) + " = 1", Source.FLOW_FILE)
    assert parse_toml('"' + "a." * 40 + '" = 1', Source.FLOW_FILE)
    for quiet in (
        "x = '" + "a." * 40 + "'",
        "# " + "a." * 40,
        'x = """\n' + "a." * 40 + '"""',
        "x = [1.5, 2.5]",
    ):
        assert parse_toml(quiet, Source.FLOW_FILE) == tomllib.loads(quiet)
    with pytest.raises(Unreadable, match=f"a key of more than {most} parts"):
        parse_toml(".".join(["a"] * (most + 1)) + " = 1", Source.FLOW_FILE)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a = [[[[1]]]]", "nested more than 4 deep"),
        ("a = 'xxxxxxxxxxx'", "a text of more than 10 characters"),
        ("aaaaaaaaaaa = 1", "a key of more than 10 characters"),
        ("a = [1, 2, 3, 4, 5, 6]", "more than 6 values"),
        ("a = 99999999999999999999", "a whole number of more than 64 bits"),
        (f"# {'x' * 200}", "it is too long"),
    ],
)
def test_each_limit_is_said(monkeypatch, text, says):
    """What is beyond a limit, and which."""
    monkeypatch.setitem(SOURCE_LIMITS, Source.FLAGS, Limits(100, 4, 4, 6, 10))
    with pytest.raises(Unreadable, match=says):
        parse_toml(text, Source.FLAGS)


plain = st.one_of(
    st.booleans(), st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False), st.text(max_size=20)
)
keys = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
trees = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(keys, inner, max_size=4), max_leaves=20
)


@given(st.dictionaries(keys, trees, max_size=5))
@settings(max_examples=examples(200), deadline=None)
def test_what_a_writer_writes_is_read_as_by_the_standard_library(values):
    """Whatever the keys and texts hold: dots, quotes, hashes, newlines."""
    text = tomli_w.dumps(values)
    assert parse_toml(text, Source.FLOW_FILE) == tomllib.loads(text)


@given(st.text(st.sampled_from("ab.\"'\\#\n =[]{},1-_ \t\r\x00é"), max_size=300))
@settings(max_examples=examples(500), deadline=None)
def test_any_text_is_read_as_by_the_standard_library_or_refused(text):
    """Never another error than a ValueError, and never other values."""
    try:
        wanted = tomllib.loads(text)
    except (ValueError, RecursionError):
        wanted = None
    try:
        found = parse_toml(text, Source.FLOW_FILE)
    except Unreadable:
        return
    except ValueError:
        found = None
    assert found == wanted


@given(st.binary(max_size=400))
@settings(max_examples=examples(200), deadline=None)
def test_any_bytes_are_read_or_refused(data):
    """A ValueError, and nothing else."""
    try:
        assert isinstance(read_toml(data, Source.EVENT), dict)
    except ValueError:
        return
