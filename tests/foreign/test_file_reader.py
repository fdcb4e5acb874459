"""A foreign file's bytes: a plain file, of its size, or a reason in words; and a path that somebody typed."""

import os
import sys

import pytest

from wizard.errors import UsageError
from wizard.foreign.file_reader import read_file, size_words, typed_path
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source, TooLarge, Unreadable


@pytest.mark.parametrize(
    ("size", "said"),
    [(4_000_000, "4 MB"), (2_440_000, "2.4 MB"), (310_000, "310 kB"), (10, "1 kB")],
)
def test_a_size_is_said_as_people_read_it(size: int, said: str) -> None:
    assert size_words(size) == said


def test_a_file_is_read_up_to_its_limit(tmp_path, monkeypatch):
    """At the edge whole, beyond it refused."""
    monkeypatch.setitem(SOURCE_LIMITS, Source.FLAGS, Limits(10))
    (tmp_path / "x").write_bytes(b"1234567890")
    assert read_file(tmp_path / "x", Source.FLAGS) == b"1234567890"
    (tmp_path / "x").write_bytes(b"12345678901")
    with pytest.raises(TooLarge, match="thresholds of flags"):
        read_file(tmp_path / "x", Source.FLAGS)


@pytest.mark.skipif(sys.platform == "win32", reason="no pipes with a name there")
def test_a_pipe_keeps_nobody_waiting(tmp_path):
    """A pipe that nobody writes to would be read for ever."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(Unreadable, match="no plain file"):
        read_file(tmp_path / "pipe", Source.FLAGS)
    with pytest.raises(IsADirectoryError):
        read_file(tmp_path, Source.FLAGS)
    with pytest.raises(FileNotFoundError):
        read_file(tmp_path / "none", Source.FLAGS)


def test_a_typed_path_is_one_or_is_refused_in_words(tmp_path, monkeypatch):
    """A user that there isn't, and a name that no file has."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert typed_path("~/x") == tmp_path / "x"
    with pytest.raises(UsageError, match="~nosuchuser-9: this computer has no such user"):
        typed_path("~nosuchuser-9/photo.jpg")
    with pytest.raises(UsageError, match=r"a\\x00b: no file's name"):
        typed_path("a\0b")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"[" * 50_000, "nested more"),
        (b"[[[[[1]]]]]", "nested more"),
        (b"[" + b"1," * 5_000 + b"1]", "values"),
    ],
)
def test_json_is_held_to_its_limits(data, says):
    """The first ended the program by a RecursionError."""
    with pytest.raises(Unreadable, match=says):
        read_json(data, Source.CHECKED)
    assert read_json(b'{"a": 1}', Source.CHECKED) == {"a": 1}
