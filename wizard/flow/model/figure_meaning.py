"""What a figure of a recorded spin means: which findings it speaks for, and which steps it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.domain.vocabulary import Verdict
from wizard.flow.declaring.declaration_fields import Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import Id, Number, Text
from wizard.flow.model.common import WIDTH
from wizard.flow.model.consequences import Weights


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureMeaning:
    """One row of what a recording means: it holds where a figure of this kind lies in a range, or isn't there.

    It counts by how likely it holds, by the figure's own uncertainty. A row about what a recording can't tell doesn't
    hold.
    """

    figure: Annotated[FigureKind, KeySpec("The kind of figure.")]
    of: Annotated[
        SignalKind | None, KeySpec("motion or sound: of such recordings alone. Left out: of both.")
    ] = None
    low: Annotated[
        Number | None, KeySpec("It is this or more, in the figure's own unit. Left out: any.", "from")
    ] = None
    high: Annotated[
        Number | None, KeySpec("It is less than this, in the figure's own unit. Left out: any.", "to")
    ] = None
    there: Annotated[
        bool | None,
        KeySpec(
            "Of what may be there or not: true where it was found, false where it was looked for and isn't there (with "
            "from or to: none within them). Left out: true."
        ),
    ] = None
    grown: Annotated[
        Number | None,
        KeySpec(
            "It is so many times what it was in the recording before, or more (of a step with before, where both spun "
            "alike). Left out: it isn't set against that."
        ),
    ] = None
    finds: Annotated[Weights, KeySpec("Findings that it establishes, each with its weight.")] = field(
        default_factory=dict
    )
    rules_out: Annotated[Weights, KeySpec("Findings that it rules out, each with its weight.")] = field(
        default_factory=dict
    )
    fills: Annotated[
        Mapping[Id, Id],
        KeySpec(
            "Later steps of this inspection that it answers, each with the answer. They aren't asked then; they stand "
            "as answered from the recording, and can be corrected. The first row that is sure of a step answers it."
        ),
    ] = field(default_factory=dict)
    asks: Annotated[
        tuple[Id, ...],
        KeySpec(
            "Later steps of this inspection that a person is asked, though a row behind this one would answer them."
        ),
        SizeLimit(0, 6),
    ] = ()
    verdict: Annotated[
        Verdict | None,
        KeySpec(
            "What the recording is judged where it holds: pass, watch or fail; the worst counts. Likely and not sure: "
            "watch. Left out: it judges nothing."
        ),
    ] = None
    source: Annotated[Text, KeySpec("Where its bounds and weights come from."), Fit(3, WIDTH)] = ""

    @property
    def missing(self) -> bool:
        """True for a row of what isn't there."""
        return self.there is False
