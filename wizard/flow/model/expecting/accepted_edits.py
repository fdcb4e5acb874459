"""weak.toml: the edits of a flow that nobody needs to notice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wizard.flow.declaring.declaration_fields import KeySpec, SizeLimit
from wizard.flow.declaring.key_values import Text


@dataclass(frozen=True, slots=True)
class AcceptedEdits:
    """Edits that are accepted as unnoticed, for one reason."""

    edits: Annotated[
        tuple[Text, ...],
        KeySpec(
            "Edits by the name that `flow check --weak` tells them by, as in limits.toml: limit.rock.band.firm.up_to "
            "raised; * stands for any part of a name."
        ),
        SizeLimit(1),
    ]
    reason: Annotated[Text, KeySpec("Why nobody needs to notice.")]


@dataclass(frozen=True, slots=True)
class AcceptedFile:
    """weak.toml"""

    accepted: Annotated[tuple[AcceptedEdits, ...], KeySpec("The edits that are accepted.")] = ()
