"""Every enumeration that more than one package needs. Its values are the words of the files and of the journal.

Each is a StrEnum: a member compares equal to its word, and is written as it.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum, unique


@unique
class StepKind(StrEnum):
    """What a step asks for."""

    TELL = "tell"
    LOOK = "look"
    CHOOSE = "choose"
    MEASURE = "measure"
    COMPUTE = "compute"
    RECORD = "record"


@unique
class AttemptKind(StrEnum):
    """What a case tries, to get past a rule."""

    SKIP = "skip"
    CLOSE = "close"
    FIT = "fit"
    ANSWER = "answer"
    OPEN = "open"
    JUMP = "jump"
    FORGE = "forge"
    UNDO = "undo"
    LEAVE = "leave"
    CORRECT = "correct"
    RESTART = "restart"
    BREAK = "break"
    PAUSE = "pause"


@unique
class Verdict(StrEnum):
    """How a reading or an answer is judged, from best to worst."""

    PASS = "pass"
    WATCH = "watch"
    FAIL = "fail"

    @classmethod
    def worst(cls, verdicts: Iterable[Verdict]) -> Verdict | None:
        """Return the worst of these, or None of none."""
        return max(verdicts, key=tuple(cls).index, default=None)


@unique
class FaultSeverity(StrEnum):
    """How bad a fault is, from mildest to worst."""

    MILD = "mild"
    MODERATE = "moderate"
    SEVERE = "severe"

    @property
    def rank(self) -> int:
        """Its place, from 0: which of three numbers in a file is its own."""
        return tuple(FaultSeverity).index(self)


@unique
class SignalWord(StrEnum):
    """ANSI Z535.6 / ISO 3864: danger *will*, warning *could* kill or injure badly; caution *could* injure slightly;
    notice, no injury. From worst to mildest.
    """

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


@unique
class Aid(StrEnum):
    """What helps to measure: a stopwatch, a counter of swings, the clock round a rim, the four feet from above, how
    long a charged part still needs to bleed down, a recording of a tub that swings out.
    """

    STOPWATCH = "stopwatch"
    TAPS = "taps"
    CLOCK = "clock"
    FEET = "feet"
    BLEED = "bleed"
    RECORDING = "recording"


@unique
class Price(StrEnum):
    """What a repair costs with parts and work, against a new machine: words, since no flow knows money."""

    LOW = "low"
    MIDDLE = "middle"
    HIGH = "high"


@unique
class LimitStatus(StrEnum):
    """Where a limit comes from: published and read, published and recalled, common practice, an estimate, or a
    service sheet.
    """

    PUBLISHED = "P"
    RECALLED = "P*"
    PRACTICE = "C"
    ESTIMATE = "E"
    SHEET = "S"


@unique
class AnswerHow(StrEnum):
    """How a step was answered."""

    ANSWER = "answer"
    UNABLE = "unable"
    NOT_FITTED = "not-fitted"


@unique
class CaseAnswerKind(StrEnum):
    """What a scripted answer of a case is."""

    ANSWER = "answer"
    READINGS = "readings"
    UNABLE = "unable"
    NOT_FITTED = "not-fitted"
    STOP = "stop"
    TURNS = "turns"
    RECORDED = "recorded"


@unique
class SkipHow(StrEnum):
    """Why an inspection is passed over."""

    SKIPPED = "skipped"
    NOT_FITTED = "not-fitted"


@unique
class InspectionResult(StrEnum):
    """How an inspection stands."""

    NOT_BEGUN = ""
    OPEN = "open"
    PASS = "pass"
    WATCH = "watch"
    FAIL = "fail"
    DONE = "done"
    SKIPPED = "skipped"
    NOT_FITTED = "not-fitted"
    UNABLE = "unable"


@unique
class RunStatus(StrEnum):
    """How one run of an inspection stands."""

    OPEN = "open"
    LEFT = "left"
    DONE = "done"
    VOID = "void"


@unique
class RepairOutcome(StrEnum):
    """What became of a confirmed fault on one visit."""

    FITTED = "fitted"
    DECLINED = "declined"
    ON_ORDER = "on-order"
    PUT_OFF = "put-off"
    """Neither made nor declined on this visit: it takes two, say."""


STILL_TO_COME = frozenset((RepairOutcome.ON_ORDER, RepairOutcome.PUT_OFF))
"""What another visit is owed for."""


@unique
class Lead(StrEnum):
    """What a technician is led by to a decision: what was found so far, or the order of the flow."""

    EVIDENCE = "evidence"
    ORDER = "order"


@unique
class CaseLead(StrEnum):
    """What sends a case's job on: the flow's own order, or the advice."""

    ORDER = "order"
    ADVICE = "advice"


@unique
class JobState(StrEnum):
    """How a job stands."""

    NEW = "new"
    WORKING = "working"
    STOPPED = "stopped"
    CLOSED = "closed"


@unique
class JobAct(StrEnum):
    """What may be done in the life of a job."""

    BEGIN = "begin"
    WORK = "work"
    STOP = "stop"
    MAKE_SAFE = "make-safe"
    RELEASE = "release"
    WITHDRAW = "withdraw"
    CLOSE = "close"
    VISIT = "visit"


@unique
class JobOutcome(StrEnum):
    """How a job ends."""

    PROVED = "proved"
    NOT_PROVED = "not-proved"
    """A proof is missing."""
    PROOF_FAILED = "proof-failed"
    """A proof was made after the repair, and failed."""
    NO_FAULT = "no-fault"
    UNEXPLAINED = "unexplained"
    DECLINED = "declined"
    ON_ORDER = "on-order"
    PUT_OFF = "put-off"
    """A repair is put off to another visit."""
    STOPPED = "stopped"


@unique
class RefusalReason(StrEnum):
    """Why the engine refuses a command."""

    NEEDS = "needs"
    LATE = "late"
    BARRED = "barred"
    LAPSED = "lapsed"
    UNDO = "undo"
    JOB = "job"
    UNKNOWN = "unknown"
    READING = "reading"
    REASON = "reason"
    RANGE = "range"
    FACTS = "facts"
    APPLIES = "applies"
    ALONE = "alone"
    DECIDED = "decided"
    CONFIRM = "confirm"
    CLOSE = "close"
    LATCHED = "latched"
    EARLY = "early"
    CIRCLE = "circle"


@unique
class Phase(StrEnum):
    """Before the decision what an inspection finds is evidence; after it the repair is proved."""

    BEFORE = "before"
    AFTER = "after"


@unique
class NextKind(StrEnum):
    """What a job asks for next."""

    FACT = "fact"
    COMPLAINT = "complaint"
    RELEASE = "release"
    CAUSE = "cause"
    SKIP = "skip"
    INSPECT = "inspect"
    DECIDE = "decide"
    REPAIR = "repair"
    RECHECK = "recheck"
    LEAVE = "leave"
    HANDOVER = "handover"
    CLOSE = "close"


@unique
class Severity(StrEnum):
    """How bad a problem in a file is: an error stops loading."""

    ERROR = "error"
    WARNING = "warning"
