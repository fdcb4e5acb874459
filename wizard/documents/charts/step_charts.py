"""The chart of a step of a session (a rim, play, swings, the four feet), and all of a session for its papers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from wizard.calculators import CALCULATORS, ChartKind
from wizard.calculators.values import Inputs, means, typical
from wizard.documents.charts import decay_chart, foot_plan, play_chart
from wizard.documents.charts.dial import dial
from wizard.documents.charts.recorded_decay import recorded_decay
from wizard.documents.charts.session_chart import RenderOptions, SessionChart
from wizard.documents.charts.spin_chart import spin_chart
from wizard.documents.charts.spins_compared import spins_compared
from wizard.documents.document_tree import Chart, Evidence
from wizard.documents.spin_picture import SpinPicture, spin_picture
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Aid, AnswerHow, Phase
from wizard.engine.measuring import input_values, judging
from wizard.engine.measuring.computing import computation, unit_of
from wizard.engine.measuring.judging import JudgedOutcome
from wizard.engine.measuring.spin_comparison import recorded_before
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import Run, SpinRecording, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, MeasureStep, RecordStep, Step
from wizard.measure.quantities import units

_SPIN_ROWS = 5


def step_chart(view: JobView, run: Run, step: Step, options: RenderOptions | None = None) -> Chart:
    """The chart of a step as it stands in a run; nothing where it has none or can't be drawn yet.

    ``options`` left out: in the step's own unit, with Unicode.
    """
    options = options or RenderOptions(unit_of(view, step))
    if isinstance(step, MeasureStep):
        return _read(view, run, step, options)
    if isinstance(step, RecordStep):
        return _spin(view, run, step, options)
    return _computed(view, run, step, options) if isinstance(step, ComputeStep) else Chart()


def _read(view: JobView, run: Run, step: MeasureStep, options: RenderOptions) -> Chart:
    """A measure step with the aid 'clock' or 'feet': what was read so far."""
    if step.aid is Aid.RECORDING:
        return _recorded(view.state, run, step, options)
    if step.aid not in (Aid.CLOCK, Aid.FEET):
        return Chart()
    names = judging.items(step.reading, view.state.facts)
    taken = view.state.readings(run.id, step.id)
    judged = judging.judge_readings(view, step, taken).items if taken else ()
    places = sorted({(t.item, t.way) for t in taken})
    known = {item: j for (item, way), j in zip(places, judged, strict=True) if way == 0}
    if step.aid is Aid.CLOCK:
        dials = [known[n].mean if n in known else None for n in range(len(names))]
        u = max((j.uncertainty for j in known.values()), default=0.0)
        return dial(dials, options.unit, plain=options.plain, uncertainty=u)
    words = dict.fromkeys(foot_plan.FEET, ".")
    shown = {n: units.brief(j.mean, options.unit, j.uncertainty) for n, j in known.items()}
    words.update({foot_plan.FEET[n]: text for n, text in shown.items() if n < len(foot_plan.FEET)})
    return foot_plan.foot_plan(words, options.plain)


def _recorded(state: State, run: Run, step: Step, options: RenderOptions) -> Chart:
    """A decay that was recorded: the last one of the readings that count."""
    kept = [state.recording(t.recording) for t in state.readings(run.id, step.id) if t.recording]
    if not kept or kept[-1] is None:
        return Chart()
    return recorded_decay(kept[-1].found, options.columns, plain=options.plain)


def _spin(view: JobView, run: Run, step: RecordStep, options: RenderOptions) -> Chart:
    """A recorded spin: beside the one before the repair, where there is one and both can be compared."""
    kept = recording_of(view.state, run, step)
    if kept is None:
        return Chart()
    before = recorded_before(view.state, step)
    words: tuple[str, ...] = ()
    if before is not None and before.seq != kept.seq:
        compared = spins_compared(before.spin, kept.spin, options.columns, plain=options.plain)
        if compared.lines:
            return compared
        words = compared.words
    return Chart(spin_chart(kept.spin, options.columns, _SPIN_ROWS, options.plain), words)


def recording_of(state: State, run: Run, step: Step) -> SpinRecording | None:
    """The recording that a step took in a run, as far as its answer counts."""
    counts = {given.recording for given in state.answers(run.id) if given.step == step.id}
    return next((k for k in reversed(state.spins) if k.run == run.id and k.seq in counts), None)


def _picture(view: JobView, run: Run, step: Step) -> SpinPicture | None:
    """The same in parts, for a drawing."""
    if not isinstance(step, RecordStep):
        return None
    kept, before = recording_of(view.state, run, step), recorded_before(view.state, step)
    return spin_picture(before.spin, kept.spin) if kept and before and before.seq != kept.seq else None


def _computed(view: JobView, run: Run, step: ComputeStep, options: RenderOptions) -> Chart:
    """A compute step whose calculator can be drawn."""
    kind = CALCULATORS[step.compute.calculator].drawn_as
    draw = _DRAWN[kind] if kind is not None else None
    outcome = computation(view, run, step).outcome if draw else None
    if draw is None or outcome is None:
        return Chart()
    inputs = {
        name: input_values.values_at(view, where, run, lambda _run, _step: ())
        for name, where in step.compute.inputs.items()
    }
    return draw(inputs, outcome, options)


def _play(inputs: Inputs, _outcome: JudgedOutcome, options: RenderOptions) -> Chart:
    values = inputs["readings"]
    return play_chart.play_chart(
        means(values), options.unit, typical(values), options.columns, plain=options.plain
    )


def _rim(inputs: Inputs, _outcome: JudgedOutcome, options: RenderOptions) -> Chart:
    values = inputs["readings"]
    return dial(means(values), options.unit, plain=options.plain, uncertainty=typical(values))


def _swings(inputs: Inputs, _outcome: JudgedOutcome, options: RenderOptions) -> Chart:
    timed = inputs.get("period", ())
    period, period_u = (timed[0].mean, timed[0].uncertainty) if timed else (None, 0.0)
    heights = means(inputs["peaks"])
    return decay_chart.peaks(heights, period, columns=options.columns, plain=options.plain, period_u=period_u)


def _turns(_inputs: Inputs, outcome: JudgedOutcome, options: RenderOptions) -> Chart:
    return foot_plan.turns({j.name: j.mean for j in outcome.items}, options.plain)


_DRAWN: Mapping[ChartKind, Callable[[Inputs, JudgedOutcome, RenderOptions], Chart]] = {
    ChartKind.PLAY: _play,
    ChartKind.RIM: _rim,
    ChartKind.SWINGS: _swings,
    ChartKind.TURNS: _turns,
}
"""How the inputs of a calculator, or what came of them, are drawn."""

_SEEN: Mapping[str, str] = {
    Aid.CLOCK: "what was read round the clock",
    Aid.FEET: "what was read at the four feet",
    Aid.RECORDING: "the tub's swings, as recorded",
    "play-by-clock": "the play, round the clock",
    "run-out": "the rim, round the clock",
    "decrement": "the tub's swings, one after the other",
    "foot-turns": "how far each foot is turned",
}
"""Aid of a step, or its calculator -> what its chart shows."""


def step_charts(view: JobView) -> Iterator[SessionChart]:
    """Every chart of a session that still counts, in the flow's order; a rim only once, with what came of it."""
    for inspection in view.flow.inspections.values():
        for phase in Phase:
            runs = inspection_queries.runs_of(view.state, inspection.id, phase)
            if not runs or inspection.procedure:
                continue
            drawn = {
                s.id: _forms(view, runs[-1], s) for s in inspection.steps if _done(view.state, runs[-1], s)
            }
            over = _drawn_again(inspection.steps, drawn)
            for step in inspection.steps:
                forms = drawn.get(step.id)
                if forms and StepRef(inspection.id, step.id) not in over and _lasting(step):
                    after = inspection_queries.run_after_repair(view, runs[-1])
                    picture = _picture(view, runs[-1], step)
                    title = f"{inspection.title}: {_caption(view, step, picture)}"
                    recorded = isinstance(step, RecordStep)
                    known = Evidence.FROM_RECORDING if recorded else Evidence.MEASURED
                    yield SessionChart(title, after, *forms, spin=picture, known=known)


def _caption(view: JobView, step: Step, picture: SpinPicture | None) -> str:
    """What is seen in a step's chart: what it is judged by, else what kind of chart it is. No act: that is for the
    technician. ``picture``: of two spins on one axis.
    """
    limit = judging.limit_of(view, step)
    if limit is not None:
        return limit.says
    if isinstance(step, RecordStep):
        compared = picture is not None
        return "the spin as recorded, before and after" if compared else "the spin as recorded"
    if isinstance(step, ComputeStep):
        return _SEEN[step.compute.calculator]
    return _SEEN[step.aid] if isinstance(step, MeasureStep) and step.aid else step.do


def _forms(view: JobView, run: Run, step: Step) -> tuple[Chart, Chart] | None:
    """A step's chart and its ASCII form; None where it has none."""
    unit = unit_of(view, step)
    chart = step_chart(view, run, step, RenderOptions(unit))
    return (chart, step_chart(view, run, step, RenderOptions(unit, plain=True))) if chart else None


def _lasting(step: Step) -> bool:
    """False for what was to be done there and then: the turns of the feet."""
    chart = CALCULATORS[step.compute.calculator].drawn_as if isinstance(step, ComputeStep) else None
    return chart is not ChartKind.TURNS


def _done(state: State, run: Run, step: Step) -> bool:
    return any(g.step == step.id and g.how is AnswerHow.ANSWER for g in state.answers(run.id))


def _drawn_again(steps: Sequence[Step], drawn: Mapping[str, object]) -> set[StepRef]:
    """The steps whose readings another chart shows."""
    shown = (s for s in steps if isinstance(s, ComputeStep) and drawn.get(s.id))
    return {where for s in shown for where in s.compute.inputs.values()}
