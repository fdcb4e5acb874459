"""The JSON Schema of each kind of file: closed, every key explained, and true of the files that are sound."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.helpers.flows.flow_folders import good
from wizard.errors import UsageError
from wizard.flow.form.form_validation import validate
from wizard.flow.form.json_schema import json_schema
from wizard.flow.form.table_keys import keys_of_table, table_at
from wizard.flow.model.file_kinds import FILES
from wizard.flow.parsing.flow_files import decode, kind_of, parse


def tables(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every table of a schema: itself and its definitions."""
    yield schema["title"], schema
    yield from schema.get("$defs", {}).items()


@pytest.mark.parametrize("kind", FILES)
def test_every_key_is_explained(kind: str) -> None:
    """An editor can show what each key of each table is for."""
    schema = json_schema(kind)
    for name, table in tables(schema):
        assert table.get("description"), name
        for key, about in table.get("properties", {}).items():
            other = schema.get("$defs", {}).get(about.get("$ref", "").rpartition("/")[2], {})
            assert about.get("description") or other.get("description"), f"{name}.{key}"


@pytest.mark.parametrize("kind", FILES)
def test_every_table_is_closed(kind: str) -> None:
    """An editor marks unknown keys, as the check does."""
    for name, table in tables(json_schema(kind)):
        if "properties" in table:
            assert table["additionalProperties"] is False, name


@pytest.mark.parametrize("name", sorted(n for n in good() if kind_of(n) in FILES))
def test_sound_files_have_only_keys_of_the_schema(name: str) -> None:
    """What the schema lists is what the good flow uses: checked by walking the schema, not by pydantic."""
    schema = json_schema(kind_of(name))
    walk(schema, schema, parse(decode(good()[name])))


def walk(schema: dict[str, Any], here: dict[str, Any], value: Any) -> None:
    """Follow a value through the schema; required keys are there, all others are listed."""
    if "$ref" in here:
        here = schema["$defs"][here["$ref"].rpartition("/")[2]]
    if "oneOf" in here:
        options = [schema["$defs"][o["$ref"].rpartition("/")[2]] for o in here["oneOf"]]
        (here,) = (o for o in options if o["properties"]["kind"]["const"] == value["kind"])
    if isinstance(value, dict) and "properties" in here:
        assert set(here.get("required", ())) <= set(value) <= set(here["properties"])
        for key, inner in value.items():
            walk(schema, here["properties"][key], inner)
    elif isinstance(value, list):
        for inner in value:
            walk(schema, here.get("items", {}), inner)


def test_a_schema_names_its_dialect() -> None:
    """Editors are told which JSON Schema it is."""
    assert json_schema("flow")["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_an_unknown_kind_is_refused() -> None:
    """The error names the nearest kind."""
    with pytest.raises(UsageError, match='Did you mean "faults"'):
        json_schema("fault")


def test_the_keys_at_a_place_are_known_at_any_depth() -> None:
    """Suggestions come from the keys of the very table an unknown key stands in."""
    steps = {"step": [{"kind": "measure", "reading": {}}, {"kind": "choose", "answer": [{}]}, {}]}
    assert keys("inspection", steps, ()) == ["inspection", "step"]
    assert "from" in keys("inspection", steps, ("step", 0, "reading"))
    assert "unticked" in keys("inspection", steps, ("step", 1, "answer", 0))
    assert "answer" not in keys("inspection", steps, ("step", 0))
    assert keys("inspection", steps, ("step", 0, "evidence")) == []
    assert keys("inspection", steps, ("step", 2)) == []


def keys(kind: str, values: dict[str, Any], path: tuple[str | int, ...]) -> list[str]:
    """The keys that may stand at a path of a file of this kind."""
    return keys_of_table(table_at(kind, values, path).table)


def test_an_unknown_key_is_taken_as_the_one_meant() -> None:
    """A misspelt key is reported, and its value still used, so that it doesn't cause further errors."""
    values = {"sheet": {"modle": "A 1", "source": "B"}, "limit": []}
    checked = validate("sheet", values)
    assert checked.sound.get("sheet") == {"model": "A 1", "source": "B"}
    assert [(f.path, f.rule) for f in checked.faults] == [(("sheet", "modle"), "key"), (("limit",), "value")]
    assert values["sheet"] == {"modle": "A 1", "source": "B"}


def test_what_cannot_be_saved_is_left_out_whole() -> None:
    """An entry with a wrong value goes, its neighbours stay."""
    finding = {"id": "a", "says": "A", "leak": 0.1, "weights": {}}
    checked = validate("findings", {"finding": [finding, {**finding, "leak": "b"}, {**finding, "id": "c"}]})
    assert [f["id"] for f in checked.sound["finding"]] == ["a", "c"]
    assert checked.doubtful
    (fault,) = checked.faults
    assert fault.path == ("finding", 1, "leak")
    assert fault.text == 'finding "a": "leak" must be a number, not a text'
