"""A key of the format is declared once: reading, writing, checking, the schema and the reference are made of that."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import pytest

from wizard.flow.authoring import reference
from wizard.flow.declaring.declaration_fields import KeySpec
from wizard.flow.declaring.decode import decode
from wizard.flow.form import declared_form, form_models, json_schema, table_keys
from wizard.flow.form.form_validation import validate
from wizard.flow.model import Inspection
from wizard.flow.model import file_kinds as kinds_of_files
from wizard.flow.model.files import InspectionFile
from wizard.flow.parsing.encode import encode


@dataclass(frozen=True, slots=True)
class WithKey(Inspection):
    """The inspection with one key more. This line, and the rule that asks for it, are all that it takes."""

    quiet: Annotated[bool, KeySpec("True: nothing runs in it, so that one can listen.")] = False


@dataclass(frozen=True, slots=True)
class WithKeyFile(InspectionFile):
    """The file with that inspection."""

    inspection: Annotated[WithKey, KeySpec("The inspection.")]


@pytest.fixture
def added(monkeypatch: pytest.MonkeyPatch) -> None:
    """The kinds of file, the inspection among them with its new key."""
    known = {**kinds_of_files.FILES, "inspection": WithKeyFile}
    for module in (kinds_of_files, declared_form, json_schema, table_keys, form_models, reference):
        monkeypatch.setattr(module, "FILES", known)


def document(**head: Any) -> dict[str, Any]:
    """An inspection's file with these keys in its head."""
    step = {"id": "a", "kind": "tell", "do": "Listen.", "reach": "look"}
    return {"inspection": {"id": "hum", "title": "Hum", "minutes": 1, **head}, "step": [step]}


def test_a_key_that_is_not_declared_is_an_error() -> None:
    """Today there is no such key, and the nearest ones are offered."""
    (fault,) = validate("inspection", document(quiet=True)).faults
    assert fault.path == ("inspection", "quiet") and '"quiet" is not a key here' in fault.text


@pytest.mark.usefixtures("added")
def test_a_boolean_key_added_to_an_inspection_is_known_everywhere() -> None:
    """One field in one class: it is checked, read, written, completed by an editor and explained in the reference."""
    assert validate("inspection", document(quiet=True)).faults == ()
    (wrong,) = validate("inspection", document(quiet="yes")).faults
    assert wrong.text == 'inspection "hum": "quiet" must be true or false, not a text'
    (near,) = validate("inspection", document(quite=True)).faults
    assert near.text.endswith('"quite" is not a key here. Did you mean "quiet"?')
    read = decode(WithKeyFile, document(quiet=True)).inspection
    assert read.quiet and encode(read)["quiet"] is True
    assert "quiet" not in encode(decode(WithKeyFile, document()).inspection)
    head = json_schema.json_schema("inspection")["$defs"]["WithKey"]["properties"]
    assert head["quiet"] == {
        "description": "True: nothing runs in it, so that one can listen.",
        "type": "boolean",
        "default": False,
    }
    assert (
        "| `quiet` | true or false | True: nothing runs in it, so that one can listen. |"
        in reference.reference()
    )
