"""The steps of an inspection: a class a kind, each with the keys of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Annotated, ClassVar

from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.recording_vocabulary import DrumLoad, FigureKind, RecordingPlace, SignalKind
from wizard.domain.references import FOLLOWING, DrawingRef
from wizard.domain.vocabulary import Aid, StepKind, Verdict
from wizard.flow.declaring.declaration_fields import Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import (
    Applies,
    ConditionId,
    FactId,
    FindingId,
    Id,
    LimitId,
    Minutes,
    Needs,
    Number,
    Paragraph,
    Place,
    ReachId,
    Seconds,
    StepPath,
    Text,
)
from wizard.flow.model.common import APPLIES, DRAWING, WIDTH, Caution
from wizard.flow.model.consequences import SO, Answer, Unable, VerdictConsequence
from wizard.flow.model.figure_meaning import FigureMeaning
from wizard.flow.model.measuring import Compute, Reading

DONE = "done"
LOOK: Mapping[str, str] = {"yes": "Yes", "no": "No"}
"""The answers of a look, and how they are read unless the file says otherwise."""

_VERDICTS: Mapping[Verdict, str] = {Verdict.PASS: "Pass", Verdict.WATCH: "Watch", Verdict.FAIL: "Fail"}
CLOSEUP = (
    "A drawing of the part in hand, seen from close by, then : and the region that is lit. It stands beside the words; "
    "drawing, which it wants too, shows the whole machine in its place on one key, or beside it where there is room."
)
AID = (
    "What helps to measure, on one key: a stopwatch; taps, which count and time swings; a clock, which draws readings "
    "round a rim as they come; the four feet, drawn from above; bleed, which computes the wait left until a charged "
    "bus is safe; recording, which fits a phone's or logger's CSV of a tub let go, and gives the damping ratio (as "
    "from a push of 15 mm, with 2 mm still seen)."
)


KNOWN = (
    "How its answers are known, for the papers. Left out: what is read or computed is measured; what only says what to "
    "do is done; of the others what is answered where only words go was told, and the rest was seen."
)

LimitKey = Annotated[LimitId, KeySpec("The id of the limit that judges the number.")]
EvidenceKey = Annotated[
    Mapping[FindingId, Annotated[tuple[Id, ...], SizeLimit(1)]],
    KeySpec("Findings, each with the bands of the limit that speak for it."),
]
AidKey = Annotated[Aid | None, KeySpec(AID)]
OnKey = Annotated[tuple[VerdictConsequence, ...], KeySpec("What each verdict brings about."), SizeLimit(0, 3)]
SoKey = Annotated[Needs, KeySpec(f"Without a limit. {SO}")]
_NOTHING: Mapping[str, frozenset[str]] = MappingProxyType({})
_AS_ANSWERED: Mapping[str, KnownBy] = MappingProxyType({})
_ENDS = Unable()


@dataclass(frozen=True, slots=True)
class Wait:
    """What a step waits for: that a condition has been as it is, or the step on screen, for so long."""

    minutes: Annotated[
        tuple[Minutes, ...],
        KeySpec("How long. The second one is for the second time that it is answered in a run, and so on."),
        SizeLimit(1, 5),
    ]
    since: Annotated[
        ConditionId,
        KeySpec(
            "A condition that the step needs: the time counts from when it became so. Left out: from when the step "
            "came on screen."
        ),
    ] = ""
    applies: Annotated[Applies, KeySpec(APPLIES)] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One screen: it asks one action. ``answers`` are all that may be given, those included that its kind implies."""

    kind: ClassVar[StepKind]

    id: Annotated[Id, KeySpec("The step's id.")]
    do: Annotated[Paragraph, KeySpec("The action, at most 6 lines of 74 columns."), Fit(6, WIDTH)]
    expect: Annotated[Paragraph, KeySpec("What to expect after it."), Fit(3, WIDTH)] = ""
    caution: Annotated[tuple[Caution, ...], KeySpec("Warnings that stand before the action.")] = ()
    drawing: Annotated[
        DrawingRef | None, DRAWING, KeySpec("A drawing's name, then : and the region that is lit.")
    ] = None
    closeup: Annotated[DrawingRef | None, DRAWING, KeySpec(CLOSEUP)] = None
    minutes: Annotated[Minutes, KeySpec("How long it usually takes.")] = 1.0
    wait: Annotated[
        Wait | None, KeySpec("Time that must have passed before it is answered; it is shown.")
    ] = None
    next: Annotated[Place, KeySpec("Where its answers lead unless they say. Left out: the next step.")] = (
        FOLLOWING
    )
    unable: Annotated[Unable, KeySpec("Where 'unable' leads. Left out: the inspection ends.")] = _ENDS
    answers: tuple[Answer, ...] = field(init=False, default=())

    def __post_init__(self) -> None:
        """Give the answers, each leading where the step does unless it says otherwise."""
        led = tuple(replace(a, next=self.next) if a.next == FOLLOWING else a for a in self._answers())
        object.__setattr__(self, "answers", led)

    def _answers(self) -> tuple[Answer, ...]:
        """Return the answers of this kind of step."""
        raise NotImplementedError

    def answer(self, answer_id: str) -> Answer | None:
        """Return the answer with this id, or None."""
        return next((a for a in self.answers if a.id == answer_id), None)

    @property
    def drawings(self) -> tuple[tuple[str, DrawingRef], ...]:
        """The keys that name a drawing here, each with what it names."""
        named = (("drawing", self.drawing), ("closeup", self.closeup))
        return tuple((key, where) for key, where in named if where is not None)

    @property
    def usual(self) -> Answer | None:
        """The answer that a healthy machine gives, where one is marked."""
        return next((a for a in self.answers if a.usual), None)

    @property
    def many(self) -> bool:
        """True where several answers may be ticked."""
        return False

    @property
    def once(self) -> bool:
        """True where it is asked once on a visit."""
        return False

    @property
    def where(self) -> bool:
        """True where it asks at which places something was found."""
        return False

    @property
    def reach(self) -> str:
        """The id of the reach of the hands; empty where nobody does anything."""
        return ""

    @property
    def known(self) -> KnownBy | None:
        """How its answers are known, where the file says; None where that follows from its kind and reach."""
        return None

    @property
    def known_of(self) -> Mapping[str, KnownBy]:
        """The conditions that are known otherwise than the answers that tell of them, each with how."""
        return _AS_ANSWERED

    @property
    def needs(self) -> Mapping[str, frozenset[str]]:
        """What must be so besides what the reach needs."""
        return _NOTHING

    @property
    def may(self) -> Mapping[str, frozenset[str]]:
        """What may come of it, answered or not."""
        return _NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class HandsStep(Step):
    """A step that somebody does at the machine: it says where the hands go."""

    reach: Annotated[ReachId, KeySpec("Where the hands go: the id of a reach.")] = field()
    needs: Annotated[
        Needs, KeySpec("What must be so besides what the reach needs: conditions, and values.")
    ] = field(default_factory=dict)
    may: Annotated[
        Needs,
        KeySpec(
            "What may come of it, answered or not: conditions, each with every value it may have after it."
        ),
    ] = field(default_factory=dict)
    known: Annotated[KnownBy | None, KeySpec(KNOWN)] = None
    known_of: Annotated[
        Mapping[ConditionId, KnownBy],
        KeySpec("Conditions that its answers tell of, each with how it is known where that is otherwise."),
    ] = field(default_factory=dict)
    takes: Annotated[
        Seconds,
        KeySpec(
            "Seconds that doing it takes at least, the quickest hands counted: where people's safety rests on the "
            "step, no answer is taken before. Left out: as long as its words take to read."
        ),
    ] = 0.0
    because: Annotated[
        Text,
        KeySpec("Why this reach is the right one, where the words might mislead.", "reach_because"),
        Fit(3, WIDTH),
    ] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TellStep(HandsStep):
    """It says what to do; its one answer is ``done``."""

    kind: ClassVar[StepKind] = StepKind.TELL

    so: Annotated[Needs, KeySpec(SO)] = field(default_factory=dict)

    def _answers(self) -> tuple[Answer, ...]:
        return _done(self.so)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookStep(HandsStep):
    """It asks a question of yes and no; the one that is left out has no effect."""

    kind: ClassVar[StepKind] = StepKind.LOOK

    answers: Annotated[
        tuple[Answer, ...], KeySpec("Its answers, yes and no.", "answer"), SizeLimit(0, 2)
    ] = ()

    def _answers(self) -> tuple[Answer, ...]:
        ids = [a.id for a in self.answers]
        given = (*self.answers, *(Answer(id=i) for i in LOOK if i not in ids))
        return tuple(replace(a, says=a.says or LOOK.get(a.id, a.id)) for a in given)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseStep(HandsStep):
    """It offers answers: one is chosen, or any number of them is ticked."""

    kind: ClassVar[StepKind] = StepKind.CHOOSE

    answers: Annotated[
        tuple[Answer, ...], KeySpec("Its answers, two to nine.", "answer"), SizeLimit(2, 9)
    ] = field()
    many: Annotated[bool, KeySpec("True: several answers may be ticked.")] = False
    where: Annotated[
        bool,
        KeySpec(
            "True, where several may be ticked: it asks at which places something was found. At least one is ticked, "
            "and they stand behind the fault on the papers. A case that says nothing ticks the usual ones."
        ),
    ] = False

    each: Annotated[
        FactId,
        KeySpec(
            "With where: a fact whose value is the number of places there are. No more than these can be ticked; while "
            "it is not known, any number."
        ),
    ] = ""
    once: Annotated[
        bool,
        KeySpec(
            "True of the first step of an inspection that only asks in words: it is asked once on a visit. Begun "
            "again, the inspection begins where its answer led."
        ),
    ] = False

    def _answers(self) -> tuple[Answer, ...]:
        return self.answers


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureStep(HandsStep):
    """It takes readings. With a limit it has an answer a verdict, without one only ``done``.

    ``evidence`` maps a finding to the bands that speak for it: its evidence is the probability of being in them.
    """

    kind: ClassVar[StepKind] = StepKind.MEASURE

    reading: Annotated[Reading, KeySpec("What is read.")] = field()
    limit: LimitKey = ""
    evidence: EvidenceKey = field(default_factory=dict)
    aid: AidKey = None
    on: OnKey = ()
    so: SoKey = field(default_factory=dict)

    def _answers(self) -> tuple[Answer, ...]:
        return _verdicts(self.on) if self.limit else _done(self.so)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComputeStep(Step):
    """It computes a number from readings, without asking; judged as a measure step's are."""

    kind: ClassVar[StepKind] = StepKind.COMPUTE

    compute: Annotated[Compute, KeySpec("What is computed, and from what.")]
    limit: LimitKey = ""
    evidence: EvidenceKey = field(default_factory=dict)
    aid: AidKey = None
    on: OnKey = ()
    so: SoKey = field(default_factory=dict)

    def _answers(self) -> tuple[Answer, ...]:
        return _verdicts(self.on) if self.limit else _done(self.so)


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordStep(HandsStep):
    """It takes the recording of a spin, motion or sound. What its figures mean stands in rows; its one answer is
    ``done``.
    """

    kind: ClassVar[StepKind] = StepKind.RECORD

    figures: Annotated[
        tuple[FigureMeaning, ...],
        KeySpec("What its figures mean, a row each; they hold side by side.", "figure"),
        SizeLimit(0, 40),
    ] = ()
    reads: Annotated[
        Mapping[Id, FigureKind],
        KeySpec(
            "Later measure steps of this inspection whose reading is a figure of the recording, each with its kind. "
            "They aren't asked then."
        ),
    ] = field(default_factory=dict)
    bearings: Annotated[
        tuple[Annotated[Text, Fit(1, 12)], ...],
        KeySpec("Bearings whose tones are looked for in a sound, such as 6205."),
        SizeLimit(0, 12),
    ] = ()
    before: Annotated[
        StepPath | None,
        KeySpec(
            "The record step whose last recording is set beside this one, phase by phase: before and after."
        ),
    ] = None
    spin_rpm: Annotated[
        Number | None,
        KeySpec(
            "The least speed, in rpm, at which a drum must be seen to spin in it. Where none is, it fills in nothing, "
            "speaks against nothing and is judged by nothing; with before, it must have spun as fast as the recording "
            "before, or it proves nothing. Left out: any recording counts."
        ),
    ] = None
    spin_seconds: Annotated[
        Number, KeySpec("How long it must be seen to spin so fast, in seconds (with spin_rpm).")
    ] = 10
    load: Annotated[
        DrumLoad,
        KeySpec(
            "What is in the drum of the spin that is recorded; it can be put right at the recording. Spins of "
            "different loads are not set beside each other."
        ),
    ] = DrumLoad.NOT_SAID
    places: Annotated[
        Mapping[SignalKind, RecordingPlace],
        KeySpec(
            "Where the phone lies, for a motion and for a sound; it can be put right at the recording. Spins recorded "
            "at different places are not set beside each other."
        ),
    ] = field(default_factory=dict)
    plate: Annotated[
        FactId | None,
        KeySpec(
            "The fact, of free text, that is the top spin speed on the machine's plate in rpm. It is offered where a "
            "recording is read, and what is typed there is kept as this fact."
        ),
    ] = None

    def _answers(self) -> tuple[Answer, ...]:
        return _done({})


def _done(so: Mapping[str, frozenset[str]]) -> tuple[Answer, ...]:
    """Return the one answer of a step that is done."""
    return (Answer(id=DONE, says="Done", so=so, usual=True),)


def _verdicts(on: tuple[VerdictConsequence, ...]) -> tuple[Answer, ...]:
    """Return an answer a verdict; all three, since a doubtful reading is 'watch' whatever its band."""
    given = {each.verdict: each for each in on}
    return tuple(_judged(verdict, given.get(verdict)) for verdict in Verdict)


def _judged(verdict: Verdict, on: VerdictConsequence | None) -> Answer:
    """Return the answer of one verdict."""
    out = on or VerdictConsequence(verdict=verdict)
    return Answer(
        id=verdict.value,
        says=_VERDICTS[verdict],
        verdict=verdict,
        usual=verdict is Verdict.PASS,
        next=out.next,
        finds=out.finds,
        rules_out=out.rules_out,
        so=out.so,
        stop=out.stop,
        most=out.most,
        then=out.then,
        leaves_out=out.leaves_out,
    )


AnyStep = TellStep | LookStep | ChooseStep | MeasureStep | ComputeStep | RecordStep
"""A step of any kind, as a file may hold it."""

JudgedStep = MeasureStep | ComputeStep
"""A step that comes to a number."""
