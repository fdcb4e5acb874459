"""What may become of a repair, each with what is asked for it before it is recorded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from wizard.documents.content import part_counts
from wizard.documents.content.part_counts import Needed
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.handlers.repair import NOT_AGREED, consented, not_asked, refused, uncounted
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.repair_parts import PartFitted
from wizard.flow.model import Fault
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.text.reason_choices import PUT_OFF
from wizard.screens.viewmodels.faults.remedy_words import ways_done
from wizard.screens.viewmodels.questions import (
    ReasonQuestion,
    TextQuestion,
    YesReply,
    ask_yes,
    fitted_parts,
    how_many,
    ordered_parts,
)

Offer = tuple[str, Callable[[], None]]
"""The words of an answer, and what asks and records it."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """One way in which a repair was done: by which ``alternative``, on a machine with these facts; ``counted``: the
    value of the fact that was counted for it.
    """

    alternative: str
    facts: Mapping[str, str]
    counted: str = ""


class RepairOffers:
    """The answers to the repair of a fault: done in each of its ways, declined, on order, put off."""

    def __init__(self, host: QuestionHost, fault: Fault) -> None:
        self.host, self.fault = host, fault
        self.controller = host.controller

    def now(self, ready: bool) -> list[Offer]:
        """What may be answered now, in the order of the digits from 1 on; done only where the work was ``ready``."""
        ways = ways_done(self.fault.remedy) if ready else ()
        offers: list[Offer] = [(says, partial(self._done, way)) for way, says in ways]
        offers.append(("Declined by the customer, who was told the risk", self._declined))
        if self.fault.remedy.parts:
            offers.append(("Parts on order: leave the machine safe and marked", self._to_order))
        offers.append(("Put off to another visit: leave the machine safe and marked", self._put_off))
        return offers

    def _done(self, way: str) -> None:
        """Record that it is done, in this way; first how many make its set is asked where nobody has counted."""
        facts, remedy = self.controller.state.facts, self.fault.remedy
        fact = uncounted(self.controller.view, self.fault, way)
        if fact is None:
            self._fit(part_counts.needed(remedy, facts, way), Fitting(way, facts))
            return

        def count(value: str) -> None:
            known = {**facts, fact.id: value}
            self._fit(part_counts.needed(remedy, known, way), Fitting(way, known, value))

        self.host.put(how_many(fact), count)

    def _fit(self, listed: tuple[Needed, ...], done: Fitting) -> None:
        """Ask which parts went in for it, if it takes any; then record it."""
        if listed:
            self.host.put(fitted_parts(listed), lambda parts: self._whole(listed, parts, done))
        else:
            self._fitted((), done)

    def _whole(self, listed: tuple[Needed, ...], parts: tuple[PartFitted, ...], done: Fitting) -> None:
        """Record what was fitted; less than the whole set only once it is said that it is so."""
        short = part_counts.short_words(self.fault.remedy, done.facts, parts, done.alternative)
        if not short:
            self._fitted(parts, done)
            return
        counts = {p.part: p.count for p in parts}
        again = tuple(Needed(p.id, p.says, counts.get(p.id, 0)) for p in listed)
        says = f"Fitted: {short}. Is that so? The papers then don't say that the whole set was changed."
        question = ask_yes("Less than the whole set?", says, "Yes: no more went in", "No: back to the parts")
        self.host.put(
            question,
            lambda text: self._fitted(parts, done) if text == YesReply.YES else self._fit(again, done),
        )

    def _fitted(self, parts: tuple[PartFitted, ...], done: Fitting) -> None:
        outcome = RepairOutcome.FITTED
        self.host.act(
            cmd.RecordRepair(
                self.fault.id, outcome, parts, alternative=done.alternative, counted=done.counted
            )
        )

    def _declined(self) -> None:
        remedy = self.fault.remedy
        parts = tuple(p.fitted for p in part_counts.ordered(remedy, self.controller.state.facts) if p.count)
        risk = remedy.risk or "Say what may happen without the repair."
        says = f"Tell the customer: {risk} Then write down in which words you told them."
        ask = ReasonQuestion("Declined: what was the customer told?", says)
        outcome = RepairOutcome.DECLINED
        self.host.put(
            ask, lambda words: self.host.act(cmd.RecordRepair(self.fault.id, outcome, parts, words))
        )

    def _put_off(self) -> None:
        says = "Say why, and who comes again when. It stands on the customer's paper."
        ask = ReasonQuestion("Why is it put off?", says, offers=PUT_OFF)
        outcome = RepairOutcome.PUT_OFF
        self.host.put(ask, lambda words: self.host.act(cmd.RecordRepair(self.fault.id, outcome, (), words)))

    def _to_order(self) -> None:
        if not consented(self.controller.view, self.fault):
            view = self.controller.view
            asked = f"{not_asked(view, self.fault)} Enter asks them; then come back here from the map."
            self.host.say(NOT_AGREED if refused(view, self.fault) else asked)
            return
        needed = part_counts.ordered(self.fault.remedy, self.controller.state.facts)
        says = "Supplier, order number and date, so that the next visit knows. You may leave it empty."
        ask = TextQuestion("Where are they ordered?", says, empty=True)

        def where(parts: tuple[PartFitted, ...]) -> None:
            self.host.put(
                ask,
                lambda note: self.host.act(
                    cmd.RecordRepair(self.fault.id, RepairOutcome.ON_ORDER, parts, note=note)
                ),
            )

        self.host.put(ordered_parts(needed), where)
