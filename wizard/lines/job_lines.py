"""Leads an opened job by lines: prints the scene of its state, reads a line, and does what it means."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping

from wizard.errors import JournalLost
from wizard.foreign.harmless import harmless
from wizard.lines.inquiry import looking_lines, writing_lines
from wizard.lines.scenes.arrival_scenes import ComplaintLines, FactLines
from wizard.lines.scenes.closed_scene import ClosedLines
from wizard.lines.scenes.computed_scene import ComputedLines
from wizard.lines.scenes.decision_scene import DecisionLines
from wizard.lines.scenes.ending_scenes import HandoverLines, StoppedLines
from wizard.lines.scenes.line_scene import LineScene
from wizard.lines.scenes.map_scene import MapLines
from wizard.lines.scenes.question_scene import QuestionLines
from wizard.lines.scenes.reading_scene import ReadingLines
from wizard.lines.scenes.record_scene import RecordLines
from wizard.lines.scenes.repair_scene import RepairLines
from wizard.lines.terminal.line_asking import StopAsked
from wizard.lines.terminal.line_commands import LineWord, find, help_rows, unknown
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.line_input import InputOver
from wizard.lines.terminal.talk import QuestionChanged
from wizard.lines.terminal.typed_number import echoed
from wizard.platform import crash_log
from wizard.screens.dialogs.break_prompts import ask_break
from wizard.screens.launch.opening import KEPT, LEAVE
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.viewmodels.questions import YesReply, ask_yes

SCENES: Mapping[SceneKind, Callable[[LineHost], LineScene]] = {
    SceneKind.COMPLAINT: ComplaintLines,
    SceneKind.QUESTION: QuestionLines,
    SceneKind.READING: ReadingLines,
    SceneKind.COMPUTED: ComputedLines,
    SceneKind.RECORDED: RecordLines,
    SceneKind.MAP: MapLines,
    SceneKind.DECISION: DecisionLines,
    SceneKind.REPAIR: RepairLines,
    SceneKind.HANDOVER: HandoverLines,
    SceneKind.STOPPED: StoppedLines,
    SceneKind.CLOSED: ClosedLines,
}
"""The scene of each kind but a fact, which is made with what it asks."""

MOST_DEFECTS = 3
"""Defects of the program's own, one after the other, before it ends."""

COMMON: Mapping[LineWord, Callable[[LineHost], None]] = {
    LineWord.NOTE: writing_lines.write_note,
    LineWord.PHOTO: writing_lines.keep_photo,
    LineWord.CORRECT: writing_lines.correct,
    LineWord.STOP: writing_lines.stop_work,
    LineWord.BREAK: ask_break,
    LineWord.STANDS: looking_lines.machine_stands,
    LineWord.ADVICE: looking_lines.advised,
    LineWord.EXPLAIN: looking_lines.explain,
    LineWord.FOUND: looking_lines.found_so_far,
    LineWord.SHEET: looking_lines.use_sheet,
}
"""The commands of the whole job."""


class JobLines:
    """One job, question by question, until it is left or the input ends."""

    def __init__(self, host: LineHost) -> None:
        self._host = host
        self._scene: LineScene | None = None
        self._at: Hashable = None
        self._defects = 0

    def lead(self) -> None:
        """Lead the job. InputOver at the end of input, JournalLost where the disk refuses."""
        while not self._host.left:
            try:
                self._one()
                self._defects = 0
            except QuestionChanged:
                self._host.stale = True
            except StopAsked:
                self._stop()
            except (InputOver, JournalLost, OSError):
                raise
            except Exception as error:
                self._survive(error)

    def _one(self) -> None:
        """Say what is asked now, unless it stands there; read a line, and do what it means."""
        host, scene = self._host, self._now()
        host.numbers = scene.numbers
        if host.stale:
            host.stale = False
            scene.show()
            host.whole = False
        here = (*scene.own, *scene.also)
        text = host.talk.read(scene.prompt)
        found = find(text, here, scene.words)
        if found is not None:
            self._command(scene, *found)
        elif unknown(text):
            host.say(f"There is no {harmless(echoed(text))} here. ? says what may be typed.")
        else:
            scene.take(text)

    def _now(self) -> LineScene:
        """The scene of the state: that which is there if it asks the same."""
        host = self._host
        shown, run = host.controller.scene, host.controller.state.run
        at = (shown, (run.id, run.at) if run is not None else None)
        if self._scene is None or at != self._at:
            self._at, host.stale, host.whole = at, True, True
            fact = host.controller.flow.fact(shown.target) if shown.kind is SceneKind.FACT else None
            self._scene = FactLines(host, fact) if fact is not None else SCENES[shown.kind](host)
        return self._scene

    def _command(self, scene: LineScene, word: LineWord, behind: str) -> None:
        host = self._host
        if word in scene.own:
            scene.own[word](behind)
        elif word is LineWord.HELP:
            self._help(scene)
        elif word is LineWord.AGAIN:
            host.stale = host.whole = True
        elif word is LineWord.LEAVE:
            self._leave()
        else:
            host.nested(lambda: COMMON[word](host))

    def _help(self, scene: LineScene) -> None:
        """What this question is for, and all that may be typed."""
        self._host.say(scene.ABOUT)
        if scene.words:
            self._host.say("Words are typed here, so a command has / before it.")
        self._host.talk.rows(help_rows((*scene.own, *scene.also), scene.words))

    def _leave(self) -> None:
        """Leave the program; with a job under way, ask first."""

        def leave(reply: str) -> None:
            self._host.left = reply == YesReply.YES

        if self._host.going:
            self._host.put(ask_yes(LEAVE, KEPT, "Leave", "Stay"), leave)
        else:
            self._host.left = True

    def _stop(self) -> None:
        """Work is to be stopped from within another question, which is left."""
        try:
            self._host.nested(lambda: writing_lines.stop_work(self._host))
        except StopAsked:
            self._stop()

    def _survive(self, error: Exception) -> None:
        """A defect of the program's own ends no job: it is logged, and the question is said anew."""
        self._defects += 1
        if self._defects >= MOST_DEFECTS:
            raise error
        self._host.say(crash_log.survived(self._host.store.root, error))
        self._host.stale = self._host.whole = True
