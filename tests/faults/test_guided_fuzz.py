"""Contents led by coverage: the harness finds a planted fault, and what once went wrong is read or refused for good.

Minutes for each reader, and the table: python -m tests.faults --guided 180 --keep FOLDER. What it keeps there goes to
tests/faults/guided/found/READER under a name that says what it is.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults.__main__ import main
from tests.faults.foreign_contents import readers
from tests.faults.guided import guided_fuzz
from tests.faults.guided.content_seeds import SEEDS, seeds
from tests.faults.guided.fuzz_limits import MEMORY
from tests.faults.guided.guided_fuzz import FOUND, LEFT_OUT, available, guided
from tests.foreign.test_every_reader import READERS

KNOWN = sorted(path for path in FOUND.rglob("*") if path.is_file())
LARGEST = 10_000
"""Bytes of a content that is kept."""

needed = pytest.mark.skipif(not available(), reason=LEFT_OUT)


@pytest.mark.parametrize("path", KNOWN, ids=lambda p: f"{p.parent.name}-{p.name}")
def test_what_once_went_wrong_is_read_or_refused(tmp_path: Path, path: Path) -> None:
    """Each small file that is kept, by the reader that it was found in."""
    reader = next(r for r in READERS if r.__name__ == path.parent.name)
    assert path.stat().st_size <= LARGEST
    reader(tmp_path, path.read_bytes())


def test_every_reader_starts_from_contents_that_it_takes(tmp_path: Path) -> None:
    """None starts from nothing, and none of what it starts from is a fault of the harness."""
    assert set(SEEDS) == set(readers()) and len(KNOWN) > 15
    for reader in READERS:
        folder = tmp_path / reader.__name__
        folder.mkdir()
        (folder / "made").mkdir()
        contents = seeds(reader.__name__, folder / "made")
        assert contents
        for content in contents:
            reader(folder, content)


@needed
def test_the_harness_bites() -> None:
    """Four bytes that must come one by one: coverage finds them, chance would need four thousand million tries. A
    process that ends by itself, or says nothing, is a finding too.
    """
    found = guided("planted", 60, 1, 3_000_000)
    assert len(found.found) == 1 and "the planted fault" in found.found[0] and found.executions > 1000
    assert "its process ended with" in guided("no such reader", 5, 1, 10).found[0]


@needed
def test_a_reader_is_tried_within_its_bounds() -> None:
    """So many contents and no more, each with its time and memory."""
    found = guided("title", 60, 1, 400)
    assert found.executions == 400 and found.found == () and found.longest > 0.0 and found.grown < MEMORY


def test_without_atheris_nothing_is_tried_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A plain sentence, and no failure."""
    monkeypatch.setattr("tests.faults.__main__.available", lambda: False)
    monkeypatch.setattr(guided_fuzz, "guided", None)
    assert main(["--guided", "5"]) == 0
    assert capsys.readouterr().out == f"{LEFT_OUT}\n"
