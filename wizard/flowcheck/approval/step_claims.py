"""The claims of inspections and procedures: what each step needs, may change, measures, and what its answers say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import (
    Answer,
    AnyStep,
    Caution,
    ComputeStep,
    Inspection,
    Limit,
    MeasureStep,
    Step,
    limit_id,
)
from wizard.flow.model.steps import HandsStep
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind, claim
from wizard.flowcheck.approval.claim_kinds import ClaimKind
from wizard.flowcheck.approval.machine_claims import flags, per_name
from wizard.measure.quantities.units import from_si

_ORDER = tuple(SignalWord)
_SHORT = 1.0
"""Minutes of a step that says nothing of them."""


def inspection(one: Inspection) -> Iterator[Claim]:
    """For which machines it is, what it warns of, and the claims of its steps."""
    at = ClaimPlace(PlaceKind.INSPECTION, (one.id,))
    yield from per_name(at, ClaimKind.APPLIES, one.applies)
    yield from cautions(at, one.caution)
    yield from flags(at, {ClaimKind.OWED: one.owed})
    if one.repairs:
        yield claim(at, ClaimKind.PROVES_ONLY, values=one.repairs)
    for step in one.steps:
        yield from _step(StepRef(one.id, step.id), step, one.procedure)


def cautions(at: ClaimPlace, given: Iterable[Caution]) -> Iterator[Claim]:
    """Of what it warns, by the signal words, and in which words: a notice is no warning."""
    warned = [caution for caution in given if caution.word is not SignalWord.NOTICE]
    if warned:
        words = sorted((caution.word for caution in warned), key=_ORDER.index)
        yield claim(at, ClaimKind.CAUTION, values=words)
    for says in dict.fromkeys(" ".join(caution.says.split()) for caution in warned):
        yield claim(at, ClaimKind.WARNED, says)


def known_by(at: ClaimPlace, known: KnownBy | None, known_of: Mapping[str, KnownBy]) -> Iterator[Claim]:
    """How what is answered there is known, where the flow says: it stands on the papers."""
    if known is not None:
        yield claim(at, ClaimKind.KNOWN_AS, values=(known.value,))
    for condition, how in known_of.items():
        yield claim(at, ClaimKind.KNOWN_OF, condition, (how.value,))


def brought_about(
    at: ClaimPlace, so: Mapping[str, frozenset[str]], may: Mapping[str, frozenset[str]]
) -> Iterator[Claim]:
    """What is so afterwards: set where the act may change it so, else what is believed is narrowed, or latched."""
    for name, values in so.items():
        kind = ClaimKind.SETS if values <= may.get(name, frozenset()) else ClaimKind.SAYS
        yield from per_name(at, kind, {name: values})


def safety_limits(inspections: Iterable[Inspection]) -> frozenset[str]:
    """The limits that judge what keeps people safe."""
    return frozenset(limit_id(s) for i in inspections for s in i.steps if guards(s, i.procedure)) - {""}


def guards(step: Step, procedure: bool) -> bool:
    """True where what a step comes to keeps people safe: in a procedure, or where an answer of it says so or stops."""
    return procedure or any(a.so or a.stop for a in step.answers)


def limit(name: str, variants: tuple[Limit, ...]) -> Iterator[Claim]:
    """The bands of a limit, of several variants each by its number."""
    for number, one in enumerate(variants, 1):
        at = ClaimPlace(PlaceKind.LIMIT, (name, str(number)) if len(variants) > 1 else (name,))
        yield from per_name(at, ClaimKind.APPLIES, one.applies)
        for band in one.bands:
            word = "up to" if band.inclusive else "below"
            edge = f"{word} {_number(band.top, one.unit)}" if band.top is not None else "beyond"
            yield claim(at, ClaimKind.BAND, band.id, (band.verdict.value, edge))


def _step(ref: StepRef, step: AnyStep, procedure: bool) -> Iterator[Claim]:
    at = ClaimPlace(PlaceKind.STEP, (str(ref),))
    if isinstance(step, HandsStep):
        yield claim(at, ClaimKind.SHOWN, values=(step.reach,))
        yield from per_name(at, ClaimKind.NEEDS, step.needs)
        yield from per_name(at, ClaimKind.MAY, step.may)
        yield from flags(at, {ClaimKind.VOUCHED: bool(step.because)})
        if step.takes:
            yield claim(at, ClaimKind.TAKES, values=(f"{step.takes:g}",))
    yield from cautions(at, step.caution)
    yield from flags(at, {ClaimKind.MANY: step.many})
    if step.minutes > _SHORT:
        yield claim(at, ClaimKind.UNATTENDED, values=(f"{step.minutes:g}",))
    if step.wait is not None:
        minutes = [f"{each:g}" for each in step.wait.minutes]
        yield claim(at, ClaimKind.WAIT, step.wait.since or "shown", minutes)
        yield from per_name(at, ClaimKind.WAIT_WHERE, step.wait.applies)
    if step.unable.stop:
        yield claim(at, ClaimKind.UNABLE, values=(step.unable.stop,))
    if guards(step, procedure):
        yield from _worded(ref, step)
        yield from _measured(at, step)
    yield from known_by(at, step.known, step.known_of)
    for answer in step.answers:
        yield from _answer(ref, step, answer)


def _answer(ref: StepRef, step: AnyStep, answer: Answer) -> Iterator[Claim]:
    at = ClaimPlace(PlaceKind.ANSWER, (str(ref), answer.id))
    yield from brought_about(at, answer.so, step.may)
    yield from known_by(at, answer.known, answer.known_of)
    if step.many:
        alone = ClaimPlace(PlaceKind.LEFT_ALONE, (str(ref), answer.id))
        yield from brought_about(alone, answer.unticked_so, step.may)
    yield from flags(at, {ClaimKind.LEAVES_OUT: answer.leaves_out})
    if answer.wait:
        yield claim(at, ClaimKind.WAIT, "shown", (f"{answer.wait:g}",))
    if answer.stop:
        yield claim(at, ClaimKind.STOPS, values=(answer.stop,))
    if answer.then is not None and answer.then.stop:
        yield claim(at, ClaimKind.STOPS_AFTER, answer.then.stop, (str(answer.most),))


def _worded(ref: StepRef, step: AnyStep) -> Iterator[Claim]:
    """In which words a step that keeps people safe is done, told and answered: what an answer says is so rests on what
    a person read.
    """
    at = ClaimPlace(PlaceKind.STEP, (str(ref),))
    for kind, text in ((ClaimKind.DONE, step.do), (ClaimKind.EXPECTED, step.expect)):
        if text:
            yield claim(at, kind, text)
    for answer in step.answers:
        if answer.says:
            yield claim(ClaimPlace(PlaceKind.ANSWER, (str(ref), answer.id)), ClaimKind.ANSWERED, answer.says)


def _measured(at: ClaimPlace, step: AnyStep) -> Iterator[Claim]:
    """What is read, with what, where and how often, and by what it is judged."""
    if limit_id(step):
        yield claim(at, ClaimKind.JUDGED, values=(limit_id(step),))
    if isinstance(step, ComputeStep):
        yield claim(at, ClaimKind.COMPUTED, values=(step.compute.calculator,))
        inputs = {name: str(source) for name, source in step.compute.inputs.items()}
        chosen = {name: str(source) for name, source in step.compute.choices.items()}
        settings = {name: f"{value:.9g}" for name, value in step.compute.settings.items()}
        for name, source in (inputs | chosen | settings).items():
            yield claim(at, ClaimKind.INPUT, name, (source,))
    if isinstance(step, MeasureStep):
        reading = step.reading
        yield claim(at, ClaimKind.READS_FROM, values=(_number(reading.low, reading.unit),))
        yield claim(at, ClaimKind.READS_TO, values=(_number(reading.high, reading.unit),))
        yield claim(at, ClaimKind.READS_OFTEN, values=(str(reading.repeats),))
        yield claim(at, ClaimKind.READS_WITH, values=(reading.tool,))
        if reading.each:
            yield claim(at, ClaimKind.READS_EACH, values=(reading.each,))
        for place in dict.fromkeys(reading.places):
            yield claim(at, ClaimKind.READS_PLACE, place)
        for way in dict.fromkeys(reading.ways):
            yield claim(at, ClaimKind.READS_WAY, way)


def _number(value: float, unit: str) -> str:
    """A number as people read it, with its unit."""
    return f"{from_si(value, unit):.9g} {unit}"
