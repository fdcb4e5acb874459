"""FORMAT.md is made of the schema, and tells every key."""

from __future__ import annotations

from pathlib import Path

import pytest

from wizard.calculators import CALCULATORS
from wizard.flow.authoring.reference import reference
from wizard.flow.form.json_schema import json_schema
from wizard.flow.model.file_kinds import FILES

PAPER = Path(__file__).parent.parent.parent / "flows" / "FORMAT.md"


def test_the_paper_is_what_the_schema_makes() -> None:
    """Make it anew with: python -m wizard.flow.authoring.reference > flows/FORMAT.md"""
    assert PAPER.read_text(encoding="utf-8") == reference()


@pytest.mark.parametrize("kind", FILES)
def test_every_table_and_key_is_told(kind: str) -> None:
    """Each key of each file's schema has its row."""
    text = reference()
    schema = json_schema(kind)
    for name, table in schema.get("$defs", {}).items():
        for key in table.get("properties", {}):
            assert f"| `{key}` |" in text or name == "Caution", f"{name}.{key}"


def test_every_calculator_is_told() -> None:
    """With its inputs and constants."""
    text = reference()
    for made in CALCULATORS.values():
        assert f"- `{made.id}`: " in text
        assert all(f"input `{name}`" in text for name in made.inputs)
        assert all(f"setting `{name}`" in text for name in made.settings)


def test_every_key_has_a_description() -> None:
    """No row is left without words."""
    rows = [line for line in reference().splitlines() if line.startswith("| `")]
    assert len(rows) > 100
    assert [row for row in rows if row.endswith("|  |")] == []
