"""The repair of a confirmed fault by lines: what to do, with which parts, and what became of it."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Fault
from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import LineWord
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.job.repair_offers import Offer, RepairOffers
from wizard.screens.viewmodels.faults.remedy_words import (
    NOT_YET,
    first_words,
    may_work,
    place_words,
    remedy_words,
)


class RepairLines(LineScene):
    """A number each: done (in which way), declined, on order, put off; Enter asks first what the work needs."""

    ABOUT = (
        "Read the warnings, then do one act after the other. Then type the number of what became of it: it is done "
        "and the parts are in; the customer declined, and was told the risk; the parts are on order; it is put off. "
        "What the work needs of the machine and isn't known yet is asked by Enter; till then it can't be done."
    )

    @property
    def fault(self) -> Fault:
        """The fault that is dealt with."""
        return self.controller.flow.faults[self.controller.scene.target]

    @property
    def ready(self) -> bool:
        """True when the work may be done now."""
        return may_work(self.controller.view, self.fault)

    @property
    def offers(self) -> list[Offer]:
        """What may be answered now, by its number from 1 on."""
        return RepairOffers(self.host, self.fault).now(self.ready)

    @property
    def own(self) -> Own:
        """To the map, and undo."""
        return {LineWord.MAP: self.to_map, LineWord.UNDO: self.take_back}

    @property
    def prompt(self) -> str:
        """The numbers, and Enter where something is asked first."""
        enter = "" if self.ready else ", Enter gets ready for the work"
        return f"Answer, {span(len(self.offers))}{enter}"

    def show(self) -> None:
        """Warnings first, then one act a line, parts and what follows; below, what may become of it."""
        fault, view = self.fault, self.controller.view
        words = remedy_words(view, fault, self.ready)
        self.head(f"Repair, {fault.remedy.says}", f"for {fault.says}", f"{fault.remedy.minutes:.0f} min")
        if place := place_words(view, fault):
            self.say(f"Hands: {place}.")
        for caution in words.cautions:
            self.say(f"{caution.word.upper()}: {caution.says}")
        for n, act in enumerate(words.acts, start=1):
            self.say(f"Act {n}: {act}")
        if not self.ready:
            self.say(NOT_YET)
        for label, text in words.notes:
            self.say(f"{label} {text}")
        if not self.ready:
            self.say(first_words(view, fault), "Enter: ")
        for n, (says, _ask) in enumerate(self.offers, start=1):
            self.say(says, f"{n}: ")

    def take(self, text: str) -> None:
        """Record what became of it; Enter alone asks what the work needs of the machine."""
        offers = self.offers
        if not text and not self.ready:
            self.host.act(cmd.Prepare(self.fault.id))
        elif number := number_in(text, len(offers)):
            offers[number - 1][1]()
        else:
            self.say(f"There is no {echoed(text)} here: type {span(len(offers))}.")
