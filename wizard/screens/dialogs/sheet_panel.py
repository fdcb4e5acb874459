"""The limits of a service sheet: a TOML file that lies ready, or typed in edge by edge."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from wizard.documents.text import limit_text
from wizard.engine.messages import commands as cmd
from wizard.errors import FlowError, SteadfootError
from wizard.flow.model import Limit
from wizard.measure.quantities import units, written_units
from wizard.screens.dialogs.message_panel import MessagePanel
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.clipping import cut
from wizard.screens.text.shared_sentences import BAD_SHEET, SHEET_LIMITS, WHERE_READ, WHICH_SHEET
from wizard.screens.viewmodels.reading.sheet_entry import edges, files, from_typed, own_limits
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList


class SheetPanel(Panel[cmd.Command]):
    """Ends with UseSheet. First files, then the flow's limits one by one."""

    HERE: ClassVar[tuple[str, ...]] = ("cursor", "go")
    TITLE_TEXT = SHEET_LIMITS
    ABOUT = (
        SHEET_LIMITS,
        "The maker's sheet comes before the limits of the flow. Take a sheet that lies in the folder 'sheets' of the "
        "home folder, or choose a limit and type its edges; an edge left empty stays as it is. Readings taken from now "
        "on are judged by it, and the record says which sheet it was.",
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller
        self._limits = own_limits(controller.flow, dict(controller.state.facts))
        self._files: tuple[Path, ...] = ()
        self._limit: Limit | None = None
        self._typed: list[str] = []

    def body(self) -> ComposeResult:
        """What is asked, the list, the field."""
        yield Static(id="sheet-says", classes="says", markup=False)
        yield PickList(id="sheet-rows")
        yield EntryField(id="sheet-field")

    def on_mount(self) -> None:
        """Files and limits."""
        super().on_mount()
        folder = self.host.store.home.sheets
        try:
            self._files = files(folder)
        except SteadfootError as problem:
            self.say(str(problem))
        self._list()

    def _list(self) -> None:
        count = len(self._files)
        ready = "No sheet" if not count else "One sheet" if count == 1 else f"{count} sheets"
        says = f"{ready} in {self.host.store.home.sheets}. Or choose a limit to type in."
        width = max(30, self.app.size.width - 4)
        rows = [Content(f"Sheet  {cut(p.name, width - 7)}") for p in self._files]
        rows += [limit_line(li, width) for li in self._limits]
        self._show(says, rows=rows)

    def _show(self, says: str, rows: list[Content] | None = None) -> None:
        self.query_one("#sheet-says", Static).update(says)
        listed, field = self.query_one(PickList), self.query_one(EntryField)
        listed.display, field.display = rows is not None, rows is None
        if rows is not None:
            listed.show(rows, 0)
            listed.focus()
        else:
            field.value = ""
            field.focus()
        self.host.guard.arm()
        self.show_keys()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Take the marked row."""
        if event.index < len(self._files):
            self._take(self._files[event.index])
            return
        self._limit, self._typed = self._limits[event.index - len(self._files)], []
        self._next()

    def _take(self, path: Path) -> None:
        """Use a file, or show everything that is wrong with it."""
        from wizard.flow.loading.service_sheet import load_sheet

        try:
            sheet = load_sheet(path, self._controller.flow)
        except FlowError as problem:
            self.app.push_screen(MessagePanel(BAD_SHEET, problem.problems or (str(problem),)))
        except SteadfootError as problem:
            self.say(str(problem))
        else:
            self.dismiss(cmd.UseSheet(sheet.model, sheet.source, sheet.limits))

    def _next(self) -> None:
        """Ask the next edge, and after the last one which sheet it is."""
        assert self._limit is not None
        asked = edges(self._limit)
        if len(self._typed) < len(asked):
            unit = (
                ""
                if written_units.unwritten(self._limit.unit)
                else f", in {self._limit.unit} or another unit"
            )
            self._show(
                f"{self._limit.says}{unit}\n{asked[len(self._typed)]}\nAn empty line leaves it as it is."
            )
        else:
            self._show(f"Which sheet is it? {WHERE_READ}")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take an edge, or the source; what can't be read is said and asked again."""
        assert self._limit is not None
        text = event.value.strip()
        if len(self._typed) < len(edges(self._limit)):
            self._edge(text, self._limit.unit)
        else:
            self._source(text, self._limit)

    def _edge(self, text: str, unit: str) -> None:
        if text:
            try:
                units.parse(text, unit)
            except ValueError as problem:
                self.say(str(problem))
                return
        self._typed.append(text)
        self.say("")
        self._next()

    def _source(self, text: str, own: Limit) -> None:
        """Make the limit; edges that don't rise are all asked again."""
        if not text:
            self.say(WHICH_SHEET)
            return
        try:
            limit = from_typed(own, self._typed, text)
        except ValueError as problem:
            self._typed = []
            self._next()
            self.say(str(problem))
            return
        self.dismiss(cmd.UseSheet(self._controller.state.facts.get("model", ""), text, (limit,)))


def limit_line(limit: Limit, width: int) -> Content:
    """A limit that may be typed in: what it is of, and what passes now."""
    now = limit_text.good_range(limit) or limit_text.bands(limit)
    return Content(f"Type   {cut(limit.says, width - len(now) - 9)}: {now}")
