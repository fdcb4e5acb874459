"""What playing a case gives, and whether it is what the case expects."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from wizard.domain.chosen_answers import chosen_text
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Phase, RefusalReason, RepairOutcome, Verdict
from wizard.engine.guidance.session_ranking import DECIDED, RankedFault
from wizard.engine.messages.events import Recorded, RepairDone
from wizard.flow.model.case import Case, Expect
from wizard.flow.model.case_attempts import Attempt
from wizard.flowcheck.cases.seen_steps import SeenStep, Unmet, unseen
from wizard.safety import Belief

UNFINISHED = "unfinished"
"""The outcome of a case that got stuck."""


@dataclass(frozen=True, slots=True)
class Passed:
    """A step that was answered; ``reach`` is where the hands went for it.

    ``condition``: of what it was asked for another step; empty where it was worth asking by itself.
    """

    step: StepRef
    phase: Phase
    chosen: tuple[str, ...]
    how: AnswerHow
    verdict: Verdict | None
    reach: str
    condition: str = ""

    @property
    def text(self) -> str:
        """What was chosen, or how the step was left, as one text."""
        return chosen_text(self.chosen, self.how)


@dataclass(frozen=True, slots=True)
class Tried:
    """An attempt and what came of it: ``refused`` is the reason, None if it was let through."""

    attempt: Attempt
    refused: RefusalReason | None
    held: bool

    def as_table(self) -> dict[str, Any]:
        """It as plain values, for programs."""
        at, tried = str(self.attempt.at), str(self.attempt)
        return {"at": at, "do": tried, "refused": self.refused, "held": self.held}


@dataclass(frozen=True, slots=True)
class Played:
    """A case played to its end. ``problems`` says where it ended otherwise than it says; empty: as it says.
    ``unmet`` is the path in [[case]] of what each of them is about: a key of expect, an answer, an attempt; nothing
    for a case that got stuck.

    ``ranking`` is the order when the decision was taken (when work was stopped, if there was none), ``minutes`` the
    usual minutes of all that was done, ``path`` every step answered. ``machine`` is what is believed of the machine
    at the end, ``left`` the reach of leaving that it was left with, empty where work was stopped. ``readings``
    counts the numbers that were typed. ``seen`` are the steps that were watched, each as it was answered first.
    """

    case: str
    flow: str
    digest: str
    problems: tuple[str, ...]
    outcome: str
    stop: str
    ranking: tuple[RankedFault, ...]
    confirmed: tuple[str, ...]
    minutes: float
    path: tuple[Passed, ...]
    readings: int
    left: str
    machine: Belief
    attempts: tuple[Tried, ...]
    records: tuple[Recorded, ...]
    seen: Mapping[StepRef, SeenStep]
    unmet: tuple[tuple[str | int, ...], ...] = ()

    @property
    def ok(self) -> bool:
        """True when it ended as the case says."""
        return not self.problems

    @property
    def top(self) -> str:
        """The fault ranked first, or empty."""
        return self.ranking[0].fault if self.ranking else ""

    @property
    def parts(self) -> Mapping[str, int]:
        """The parts that were fitted, each with how many."""
        fitted: Counter[str] = Counter()
        for record in self.records:
            if isinstance(record.event, RepairDone) and record.event.outcome is RepairOutcome.FITTED:
                fitted.update({one.part: one.count for one in record.event.parts})
        return fitted

    @property
    def decided(self) -> tuple[str, ...]:
        """The faults at 0.9 or more."""
        return tuple(r.fault for r in self.ranking if r.probability >= DECIDED)

    def as_table(self) -> dict[str, Any]:
        """The result as plain dicts and lists, for programs. The events are left out."""
        return {
            "case": self.case, "flow": self.flow, "digest": self.digest, "ok": self.ok,
            "problems": list(self.problems), "outcome": self.outcome, "stop": self.stop, "top": self.top,
            "decided": list(self.decided), "confirmed": list(self.confirmed), "minutes": self.minutes,
            "readings": self.readings, "left": self.left,
            "machine": {name: sorted(values) for name, values in self.machine.items()},
            "ranking": [{"fault": r.fault, "probability": round(r.probability, 6)} for r in self.ranking],
            "path": [asdict(passed) | {"step": str(passed.step)} for passed in self.path],
            "attempts": [tried.as_table() for tried in self.attempts],
        }  # fmt: skip


def differences(
    case: Case, played: Played, asked: Collection[tuple[str, StepRef]] | None
) -> tuple[Unmet, ...]:
    """Every way in which a played case ended otherwise than it says.

    ``asked`` are the paths of the scripted answers that were asked for; None where not all of them have to be.
    """
    want = case.expect
    reported: dict[str, Iterable[str]] = {
        "outcome": _word("outcome", want.outcome.value if want.outcome else "", played.outcome),
        "stop": _word("stop", want.stop, played.stop),
        "top": _word("top", want.top, played.top) if want.top else (),
        "decided": _set("decided", want.decided, played.decided),
        "confirmed": _set("confirmed", want.confirmed, played.confirmed),
        "left": _word("left", want.left, played.left) if want.left else (),
        "machine": _machine(want.machine, played.machine),
        "parts": _parts(want.parts, played.parts),
        "minutes_below": _minutes(want, played),
    }
    ends = [(("expect", key), says) for key, message in reported.items() for says in message]
    at_steps = unseen(case, played.seen) if asked is not None else ()
    return (*ends, *at_steps, *_never_asked(case, asked), *_attempts(case, played.attempts))


def _never_asked(case: Case, asked: Collection[tuple[str, StepRef]] | None) -> Iterable[Unmet]:
    """What a case answers and no step asks tests nothing, whatever it says."""
    for path in sorted(case.own - set(asked)) if asked is not None else ():
        when = " after the repair" if path[0] == "after" else ""
        yield (path[0], str(path[1])), f'"{path[1]}" is answered, and was never asked{when}.'


def _word(what: str, wanted: str, found: str) -> Iterable[str]:
    if wanted != found:
        yield f"{what} is {found or 'none'}, not {wanted or 'none'}."


def _set(what: str, wanted: tuple[str, ...] | None, found: tuple[str, ...]) -> Iterable[str]:
    if wanted is not None and set(wanted) != set(found):
        yield f"{what}: {', '.join(found) or 'none'}; expected {', '.join(wanted) or 'none'}."


def _machine(wanted: Mapping[str, frozenset[str]], found: Belief) -> Iterable[str]:
    for condition, values in wanted.items():
        known = found.get(condition, frozenset())
        if not known or not known <= values:
            message = " or ".join(sorted(known)) or "no condition of this machine"
            yield f"{condition}: {message}; expected {' or '.join(sorted(values))}."


def _parts(wanted: Mapping[str, int] | None, found: Mapping[str, int]) -> Iterable[str]:
    if wanted is not None and wanted != found:
        listed, expected = (
            ", ".join(f"{count} {part}" for part, count in some.items()) or "none" for some in (found, wanted)
        )
        yield f"parts: {listed}; expected {expected}."


def _minutes(want: Expect, played: Played) -> Iterable[str]:
    if want.minutes_below is not None and not played.minutes < want.minutes_below:
        yield f"it takes {played.minutes:g} minutes, not less than {want.minutes_below:g}."


def _attempts(case: Case, tried: tuple[Tried, ...]) -> Iterable[Unmet]:
    made = {t.attempt for t in tried}
    number = {attempt: n for n, attempt in enumerate(case.attempts)}
    for t in tried:
        if not t.held:
            came = f"refused as {t.refused}" if t.refused else "let through"
            wanted = t.attempt.refused
            says = f"attempt {t.attempt} at {t.attempt.at} was {came}; expected refused as {wanted}."
            yield ("attempt", number[t.attempt]), says
    for attempt in case.attempts:
        if attempt not in made:
            says = f"attempt {attempt} was never made: {attempt.at} was not asked."
            yield ("attempt", number[attempt]), says
