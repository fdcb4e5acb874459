"""Check the form of one file against its declarations."""

from __future__ import annotations

from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.form.declared_form import has_form
from wizard.flow.form.form_check import FormCheck


def validate(kind: FileKind, values: dict[str, Any]) -> FormCheck:
    """Return what is wrong with the form of a file of this kind, and what of it is sound."""
    if has_form(kind, values):
        return FormCheck((), values, False)
    from wizard.flow.form.form_faults import form_faults  # Late: wanted only for what isn't sound.

    return form_faults(kind, values)
