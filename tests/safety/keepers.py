"""Who keeps the belief while somebody works: the model as it is, and four that are broken in one way each."""

from __future__ import annotations

from dataclasses import replace

from tests.safety.lab import lab
from wizard.safety import Act, Ask, Barred, Contradiction, Effect, Model


class Keeper:
    """Keeps what is believed of one machine as the rules say. What the adversary works against."""

    def __init__(self, facts: dict[str, str]) -> None:
        self.model = self.made(facts)
        self.belief = self.model.top()
        self.before = self.belief
        self.last = ""

    def made(self, facts: dict[str, str]) -> Model:
        return lab().model(**facts)

    def next_step(self, act: Act) -> Ask | Barred | None:
        return self.model.next_step(self.belief, act.needs)

    def may_show(self, act: Act) -> bool:
        return self.model.holds(self.belief, act.needs)

    def show(self, act: Act) -> None:
        self.before, self.last = self.belief, act.id
        self.belief = self.model.show(self.belief, act.id)

    def answer(self, act: Act, effect: Effect) -> tuple[Contradiction, ...]:
        self.belief, against = self.model.answer(self.belief, act.id, effect.so)
        return against

    def away(self) -> None:
        self.belief = self.model.away(self.belief)

    def anew(self) -> None:
        self.belief, self.last = self.model.anew(self.belief), ""

    def undo(self) -> None:
        if self.last:
            self.correct(self.model.acts[self.last])
            self.last = ""

    def correct(self, act: Act) -> None:
        self.belief = self.model.forget(self.belief, self.model.touches(act.id))

    def release(self, condition: str) -> None:
        self.belief = self.model.release(self.belief, condition)


class NothingAhead(Keeper):
    """What a step may do is believed only once it is answered."""

    def show(self, act: Act) -> None:
        self.before, self.last = self.belief, act.id


class OldBelief(Keeper):
    """Undo gives back what was believed before."""

    def undo(self) -> None:
        if self.last:
            self.belief, self.last = self.before, ""


class NothingRests(Keeper):
    """``while`` is ignored: what was once found is believed whatever becomes of the supply."""

    def made(self, facts: dict[str, str]) -> Model:
        conditions = [replace(condition, rests_on={}) for condition in lab().conditions]
        return Model.of(conditions, lab().reaches, lab().acts, {"kind": "front", "stack": "none"} | facts)


class LatchesFall(Keeper):
    """A restart forgets that work was stopped."""

    def anew(self) -> None:
        self.belief, self.last = self.model.top(), ""
