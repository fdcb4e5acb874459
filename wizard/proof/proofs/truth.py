"""What is really so at the machine, told by what was done there and not by what the engine says of it.

This is the claim that the search checks the engine against, so nothing here asks the engine. A gate counts when all of
its steps were answered one after the other with nothing in between; a break, a restart, a lapse, a stop, another visit
or a correction of a gate ends whatever counted. Voltage back at the machine ends isolation.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.flow.model import STATES, Inspection

COMES_FROM = {
    "isolated": ("none", "isolated", "proved-dead", "wet", "proving"),
    "proved-dead": ("isolated",),
    "wet": ("isolated",),
    "proving": ("isolated", "wet"),
}
"""From what each gate's work may begin, common practice: dead is proved of an isolated machine, and so on."""


@dataclass(frozen=True, slots=True)
class Truth:
    """``so`` is none, isolated, proved-dead, wet or proving; ``shut``: nothing was opened since the machine was last
    made ready to run. ``under_way`` holds the gate steps answered since their gate began, as (gate, step).
    """

    so: str = "none"
    shut: bool = True
    under_way: tuple[tuple[str, str], ...] = ()

    def interrupted(self) -> Truth:
        """Nobody knows any more what is so."""
        return Truth("none", self.shut)

    def off_screen(self) -> Truth:
        """Gates under way don't count; what counted still does."""
        return replace(self, under_way=())

    def allows(self, inspection: Inspection) -> bool:
        """True when work of this inspection does no harm now."""
        if set(inspection.states) == set(STATES):
            return True
        if inspection.energised:
            return self.so == "none" and self.shut
        return any(self.so in _DOES_FOR[state] for state in inspection.states)

    def answered(self, gate: Inspection, step: str) -> Truth:
        """A step of a gate was answered well; with its last step it counts, if it was begun where it may be."""
        begun = tuple(x for x in self.under_way if x[0] == gate.id and step != gate.steps[0].id)
        done = (*begun, (gate.id, step))
        if [s for _, s in done] != [s.id for s in gate.steps]:
            return replace(self, under_way=(*(x for x in self.under_way if x[0] != gate.id), *done))
        if self.so not in COMES_FROM[gate.gate]:
            return self.off_screen()
        return Truth(gate.gate, gate.gate == "proving")

    def voided(self, states: tuple[str, ...]) -> Truth:
        """An answer ended what it names; with isolation goes what stands on it, but it outlives that of being dead."""
        if "isolated" in states and self.so in ("proved-dead", "wet"):
            return replace(self, so="none")
        if self.so not in states:
            return self
        return replace(self, so="isolated" if self.so == "proved-dead" else "none")

    def undone(self, gate: str, makes: str) -> Truth:
        """The last answer was taken back; if it was one of this gate, it isn't answered any more.

        ``makes`` is the state that the gate leads to, if it is one: where that counts already, it doesn't any more.
        """
        if makes and self.so == makes and not any(x[0] == gate for x in self.under_way):
            return self.interrupted()
        mine = [x for x in self.under_way if x[0] == gate]
        return replace(self, under_way=tuple(x for x in self.under_way if not mine or x != mine[-1]))


_DOES_FOR = {
    "covered": ("none", "isolated", "proved-dead"),
    "isolated": ("isolated", "proved-dead"),
    "proved-dead": ("proved-dead",),
    "wet": ("wet",),
    "proving": ("proving",),
}
