"""The picture of a step of a session (a rim, play, swings, the four feet), and all of a session for its papers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wizard.engine import derive, judging
from wizard.engine.compute import gather, reckon, unit_of
from wizard.engine.compute.values import Inputs, means, typical
from wizard.engine.judging import Outcome
from wizard.engine.state import Run, State
from wizard.flow.model import Flow, Step
from wizard.measure import units
from wizard.review.pictures import clock, feet, play, recording, ringdown


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of a session: whose step it is, in which phase, and its lines."""

    title: str
    phase: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """How pictures are drawn: the unit of their words, in ASCII or not, and how wide those are that may be."""

    unit: str
    plain: bool = False
    columns: int = 48


def picture(flow: Flow, state: State, run: Run, step: Step, look: Look | None = None) -> tuple[str, ...]:
    """The picture of a step as it stands in a run; nothing where it has none or can't be drawn yet.

    ``look`` left out: in the step's own unit, with Unicode.
    """
    look = look or Look(unit_of(flow, state, step))
    if step.reading is not None:
        return _read(flow, state, run, step, look)
    return _computed(flow, state, run, step, look) if step.compute else ()


def _read(flow: Flow, state: State, run: Run, step: Step, look: Look) -> tuple[str, ...]:
    """A measure step with the aid 'clock' or 'feet': what was read so far."""
    assert step.reading is not None
    if step.aid == "recording":
        return _recorded(state, run, step, look)
    if step.aid not in ("clock", "feet"):
        return ()
    names = judging.items(step.reading, state.facts)
    taken = state.readings(run.id, step.id)
    judged = judging.judge_readings(flow, state, step, taken).items if taken else ()
    places = sorted({(t.item, t.way) for t in taken})
    known = {item: j for (item, way), j in zip(places, judged, strict=True) if way == 0}
    if step.aid == "clock":
        dials = [known[n].mean if n in known else None for n in range(len(names))]
        u = max((j.uncertainty for j in known.values()), default=0.0)
        return clock.clock(dials, look.unit, plain=look.plain, uncertainty=u)
    words = dict.fromkeys(feet.FEET, ".")
    shown = {n: units.brief(j.mean, look.unit, j.uncertainty) for n, j in known.items()}
    words.update({feet.FEET[n]: text for n, text in shown.items() if n < len(feet.FEET)})
    return feet.feet(words, look.plain)


def _recorded(state: State, run: Run, step: Step, look: Look) -> tuple[str, ...]:
    """A decay that was recorded: the last one of the readings that count."""
    kept = [state.recording(t.recording) for t in state.readings(run.id, step.id) if t.recording]
    if not kept or kept[-1] is None:
        return ()
    return recording.picture(kept[-1].found, look.columns, plain=look.plain)


def _computed(flow: Flow, state: State, run: Run, step: Step, look: Look) -> tuple[str, ...]:
    """A compute step whose calculator can be drawn."""
    assert step.compute is not None
    draw = _DRAWN.get(step.compute.calculator)
    outcome = reckon(flow, state, run, step).outcome if draw else None
    if draw is None or outcome is None:
        return ()
    inputs = {
        name: gather.values_at(flow, state, where, run, lambda _run, _step: ())
        for name, where in step.compute.inputs.items()
    }
    return draw(inputs, outcome, look)


def _play(inputs: Inputs, _outcome: Outcome, look: Look) -> tuple[str, ...]:
    values = inputs["readings"]
    return play.play(means(values), look.unit, typical(values), look.columns, plain=look.plain)


def _rim(inputs: Inputs, _outcome: Outcome, look: Look) -> tuple[str, ...]:
    values = inputs["readings"]
    return clock.clock(means(values), look.unit, plain=look.plain, uncertainty=typical(values))


def _swings(inputs: Inputs, _outcome: Outcome, look: Look) -> tuple[str, ...]:
    timed = inputs.get("period", ())
    period, period_u = (timed[0].mean, timed[0].uncertainty) if timed else (None, 0.0)
    heights = means(inputs["peaks"])
    return ringdown.peaks(heights, period, columns=look.columns, plain=look.plain, period_u=period_u)


def _turns(_inputs: Inputs, outcome: Outcome, look: Look) -> tuple[str, ...]:
    return feet.turns({j.name: j.mean for j in outcome.items}, look.plain)


_DRAWN: Mapping[str, Callable[[Inputs, Outcome, Look], tuple[str, ...]]] = {
    "play-by-clock": _play,
    "run-out": _rim,
    "decrement": _swings,
    "foot-turns": _turns,
}
"""Calculator -> how its inputs, or what came of them, are drawn."""


def pictures(flow: Flow, state: State, plain: bool = False) -> Iterator[Picture]:
    """Every picture of a session that still counts, in the flow's order; a rim only once, with what came of it."""
    for inspection in flow.inspections.values():
        for phase in ("before", "after"):
            runs = derive.runs_of(state, inspection.id, phase)
            if not runs or inspection.gate:
                continue
            drawn = {
                s.id: picture(flow, state, runs[-1], s, Look(unit_of(flow, state, s), plain))
                for s in inspection.steps
                if _done(state, runs[-1], s)
            }
            over = _drawn_again(inspection.steps, drawn)
            for step in inspection.steps:
                if drawn.get(step.id) and f"{inspection.id}.{step.id}" not in over and _lasting(step):
                    yield Picture(f"{inspection.title}: {step.do}", phase, drawn[step.id])


def _lasting(step: Step) -> bool:
    """False for what was to be done there and then: the turns of the feet."""
    return step.compute is None or step.compute.calculator != "foot-turns"


def _done(state: State, run: Run, step: Step) -> bool:
    return any(g.step == step.id and g.how == "answer" for g in state.answers(run.id))


def _drawn_again(steps: Sequence[Step], drawn: Mapping[str, Sequence[str]]) -> set[str]:
    """The steps whose readings another picture shows."""
    return {where for s in steps if s.compute and drawn.get(s.id) for where in s.compute.inputs.values()}


def in_markdown(flow: Flow, state: State) -> list[str]:
    """All pictures of a session as a section of Markdown, in ASCII, so that any printer and any viewer shows them."""
    from wizard.review.words import safe, sentence

    lines: list[str] = []
    for p in pictures(flow, state, plain=True):
        phase = " After the repair." if p.phase == "after" else ""
        lines += [
            "",
            f"{safe(sentence(p.title))}{phase}",
            "",
            "```text",
            *(row.rstrip() for row in p.lines),
            "```",
        ]
    return ["## Pictures of what was measured", *lines] if lines else []
