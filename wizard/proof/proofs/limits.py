"""Exactly one limit judges a step on every machine that the step is for."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import Flow, fits
from wizard.proof.proofs.machines import machines, say, tell
from wizard.proof.proofs.shown import Places, Shown


def limits(flow: Flow, places: Places) -> Iterator[Shown]:
    """Each judged step on whose machines none of its limits fits, or several do."""
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            found = flow.limits.get(step.limit, ())
            if not step.limit or (len(found) == 1 and not found[0].applies):
                continue
            facts = {f for applies in (inspection.applies, *(li.applies for li in found)) for f in applies}
            for machine in machines(flow, facts):
                fitting = sum(fits(li.applies, machine) for li in found)
                if fits(inspection.applies, machine) and fitting != 1:
                    many = "none" if fitting == 0 else f"{fitting} at once"
                    said = f'step "{step.id}": of the limits "{step.limit}" {many} fits {say(machine)}'
                    yield places.show(
                        places.step(inspection.id, step.id, "limit"), said, "limit", tell(machine)
                    )
                    break
