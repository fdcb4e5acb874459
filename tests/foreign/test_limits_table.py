"""The table of DEVELOPERS.md has every source with its limits, as they are."""

import re
from pathlib import Path

from wizard.foreign.file_reader import size_words
from wizard.foreign.limits import (
    LARGEST_IN_PARCEL,
    LINE_LENGTH,
    NAME_LENGTH,
    SOURCE_LIMITS,
    TEXT_LENGTH,
    Source,
)

PAGE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_table_is_that_of_the_program():
    """A row a source, its numbers at its start."""
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \| [^|]+ \|$", PAGE, re.MULTILINE))
    for source in Source:
        most = SOURCE_LIMITS[source]
        said = [size_words(most.size)]
        said += [f"{most.depth} deep"] if most.depth else []
        said += [f"{most.key_parts} parts of a key"] if most.key_parts else []
        said += [f"{most.values} values"] if most.values else []
        assert rows[source].startswith("; ".join(said)), source
    assert f"{LARGEST_IN_PARCEL // 1_000_000} MB a file unpacked" in rows[Source.PARCEL]
    assert f"{NAME_LENGTH} characters of a name, {LINE_LENGTH} of a line, {TEXT_LENGTH} of a page" in PAGE
