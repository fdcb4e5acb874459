"""The decision by lines: the faults in the order of their likelihood, ticked by number, Enter confirms."""

from __future__ import annotations

from wizard.domain.probability import LEAST, percent
from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import EVERYWHERE, LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.dialogs.confirm_prompts import confirm
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.viewmodels.faults.defect_lines import defect_lines
from wizard.screens.viewmodels.faults.fault_choice import NO_ROW, FaultChoice, begin_choice, ranked_choice
from wizard.screens.viewmodels.faults.fault_rows import FaultRow, standing
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache

WIDE = 9999


class DecisionLines(LineScene):
    """Numbers tick, Enter confirms what is ticked: one fault, several, or none."""

    ABOUT = (
        "Type the numbers of what you confirm, then Enter alone. Two faults at once are normal. With nothing ticked, "
        "Enter confirms that no fault was found. The percentage is how likely a fault is after all answers so far; e "
        "says what speaks for and against each. You decide, not the percentage; against it, you are asked why."
    )
    also = (*EVERYWHERE, LineWord.ADVICE, LineWord.EXPLAIN)

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._ticks: frozenset[str] | None = None
        self._found, self._all = RankingCache(), False

    @property
    def choice(self) -> FaultChoice:
        """The faults offered and ticked."""
        view = self.controller.view
        begun = begin_choice(view, self._ticks)
        self._found.think(view, "", begun.ticked)
        return ranked_choice(begun, self._found.ranked, self._found.decided)

    @property
    def own(self) -> Own:
        """Back to the map."""
        return {
            LineWord.MAP: lambda _text: self.host.go(MapPlace()),
            LineWord.UNDO: self.take_back,
            LineWord.AGAIN: self._list,
        }

    @property
    def prompt(self) -> str:
        """The numbers, and what Enter does."""
        count = len(self.choice.rows)
        return f"Numbers to tick, {span(count)}, Enter confirms" if count else "Enter confirms"

    def show(self) -> None:
        """What is done here, the faults, what those ticked leave open."""
        choice = self.choice
        self.head("Decision, what is it", self.controller.flow.title)
        self.host.talk.rows(defect_lines(self.controller.view, WIDE))
        self.say(choice.task)
        self._rows(choice)
        if not choice.rows:
            self.say(NO_ROW)
        self._left(choice)

    def take(self, text: str) -> None:
        """Tick the faults with these numbers, or untick them; Enter alone confirms."""
        choice = self.choice
        if not text:
            self._confirm(choice)
            return
        numbers = [number_in(each, len(choice.rows)) for each in text.replace(",", " ").split()]
        if not all(numbers):
            self.say(
                f"There is no {echoed(text)} here: type {span(len(choice.rows))}, several on the line, or Enter alone."
            )
            return
        for number in numbers:
            self._ticks = self.choice.toggled(choice.rows[number - 1].fault)
        now = self.choice
        ticked = [f"{n}, {row.says}" for n, row in enumerate(now.rows, start=1) if row.ticked]
        self.say(f"Ticked: {'; '.join(ticked) or 'nothing'}. Enter confirms.")
        self._left(now)

    def _rows(self, choice: FaultChoice) -> None:
        """The faults that are likely or ticked, each with its number; the others once they are asked for."""
        named = [(n, row) for n, row in enumerate(choice.rows, start=1) if self._all or _near(row)]
        for n, row in named:
            self.say(_row(row), f"{n}: ")
        if more := len(choice.rows) - len(named):
            others = "1 more is" if more == 1 else f"{more} more are"
            self.say(f"{others} under {percent(LEAST)}: a dot lists all.")

    def _list(self, _text: str) -> None:
        """List all the faults."""
        self._all = self.host.stale = True

    def _left(self, choice: FaultChoice) -> None:
        second = self._found.seconds.get(choice.ticked)
        self.host.talk.rows(choice.left(second, self._found.counsel, True))

    def _confirm(self, choice: FaultChoice) -> None:
        """Confirm what is ticked, after what there is to ask of it."""
        confirm(self.host, choice, self._found.seconds.get(choice.ticked))


def _near(row: FaultRow) -> bool:
    """True for a fault that is named at once."""
    return row.ticked or row.probability >= LEAST


def _row(row: FaultRow) -> str:
    """'Dampers worn, over 99 %, decided, ticked'."""
    ticked = "ticked" if row.ticked else ""
    return ", ".join(
        x for x in (row.says, percent(row.probability), standing(row.probability, row.decided), ticked) if x
    )
