"""Which drawing shows what a step names, by the kind of machine: the one named, another in its place, or none."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.references import DrawingRef
from wizard.flow.model.common import Drawing, fits

Drawings = Mapping[str, Drawing]


def shown_as(drawings: Drawings, name: str) -> tuple[Drawing, ...]:
    """The drawings that may be on screen where a step names ``name``: those in its place, then itself; each once."""
    others = tuple(d for d in drawings.values() if name in d.instead)
    return (*others, drawings[name]) if name in drawings else others


def drawn_for(drawings: Drawings, where: DrawingRef | None, facts: Mapping[str, str]) -> DrawingRef | None:
    """What is on screen of the machine with these ``facts`` where a step names ``where``.

    None where no drawing looks like that machine, or it isn't known which machine it is: none is better than a wrong
    one. What no flow has is returned as it is.
    """
    found = shown_as(drawings, where.drawing) if where else ()
    if where is None or not found:
        return where
    fitting = next((d.id for d in found if fits(d.applies, facts)), "")
    return DrawingRef(fitting, where.region) if fitting else None


def may_show(drawing: Drawing, applies: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether one of the machines that ``applies`` allows can look like this drawing."""
    return all(set(values) & set(applies.get(fact, values)) for fact, values in drawing.applies.items())
