"""What is only read: how the machine stands, what is advised, what speaks for each fault, what was found, limits."""

from __future__ import annotations

from wizard.documents.papers.technician_record import findings_so_far
from wizard.documents.text import limit_text
from wizard.engine.messages import commands as cmd
from wizard.engine.queries.machine_view import standings
from wizard.errors import FlowError, SteadfootError
from wizard.flow.model import Limit
from wizard.lines.terminal.line_asking import one_of, typed
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.paper_rows import paper_rows
from wizard.measure.quantities import units, written_units
from wizard.screens.job.handover_files import zone_of
from wizard.screens.layout.key_list import KEYS
from wizard.screens.text import labels
from wizard.screens.text.reach_text import hands_here
from wizard.screens.text.shared_sentences import (
    BAD_SHEET,
    MACHINE_STANDS,
    NO_ADVICE,
    NO_FAULT_FITS,
    SHEET_LIMITS,
    WHERE_READ,
    WHICH_SHEET,
)
from wizard.screens.text.step_place import WHOLE, asked_for
from wizard.screens.viewmodels.faults.advice_rows import ahead, inspection_rows, sheet_lines
from wizard.screens.viewmodels.faults.explanation_lines import LEGEND, explained
from wizard.screens.viewmodels.faults.fault_rows import fault_rows
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache
from wizard.screens.viewmodels.reading.sheet_entry import edges, files, from_typed, own_limits

WIDE, LONG = 9999, 99
SHEET, LIMIT = "sheet", "limit"


def machine_stands(host: LineHost) -> None:
    """Every condition, since when and by which step; before it what is asked now, and where the hands go."""
    view = host.controller.view
    host.talk.out.gap()
    host.say(f"{MACHINE_STANDS}.")
    hands, source = hands_here(view)
    for label, text in (("Asked now:", asked_for(view, WHOLE)), ("Hands:", hands), ("By:", source)):
        host.say(f"{label} {text}" if text else "")
    for one in standings(view):
        since = labels.since(view.state, one)
        host.say(f"{one.says}: {one.words}{f', {since}' if since else ''}.")


def advised(host: LineHost) -> None:
    """Where things stand, and every open inspection, best first."""
    flow, found = host.controller.flow, ahead(host.controller.view)
    host.talk.out.gap()
    if found.counsel is None:
        host.say(NO_ADVICE)
        return
    host.talk.rows(sheet_lines(flow, found.counsel))
    for row in inspection_rows(flow, found.counsel):
        host.say(f"{row.title}: {row.minutes:.0f} min, saves {row.saves:.0f}, {row.worth}. {row.why}")


def explain(host: LineHost) -> None:
    """What speaks for and against each fault; which one is asked."""
    view, found = host.controller.view, RankingCache()
    found.think(view)
    rows = fault_rows(host.controller.flow, found.ranked, frozenset(), found.decided)
    host.talk.out.gap()
    if not rows:
        host.say(NO_FAULT_FITS)
        return
    host.say(f"{KEYS['explain'].help} Which one?")
    chosen = one_of(host.talk, [(row.fault, row.says) for row in rows], rows[0].fault)
    row = next((row for row in rows if row.fault == chosen), None)
    if row is not None:
        found.think(view, row.fault)
        host.talk.rows(explained(found.explained[row.fault], row.says, row.decided, WIDE, LONG))
        host.say(LEGEND)


def found_so_far(host: LineHost) -> None:
    """What stands in the way first, then everything done, step by step."""
    host.talk.out.gap()
    host.talk.rows(paper_rows(findings_so_far(host.controller.view, zone_of(host))))


def use_sheet(host: LineHost) -> None:
    """The limits of a service sheet: a file that lies ready, or one limit typed in edge by edge."""
    folder, controller = host.store.home.sheets, host.controller
    host.talk.out.gap()
    host.say(f"{SHEET_LIMITS}. The maker's sheet comes before the limits of the flow.")
    try:
        ready = files(folder)
    except SteadfootError as problem:
        host.say(str(problem))
        ready = ()
    limits = own_limits(controller.flow, dict(controller.state.facts))
    if not ready:
        host.say(f"No sheet lies in {folder}. A limit can be typed in.")
    offered = [(f"{SHEET} {n}", f"Sheet {path.name}") for n, path in enumerate(ready)]
    now = [limit_text.good_range(li) or limit_text.bands(li) for li in limits]
    offered += [
        (f"{LIMIT} {n}", f"Type {li.says}: {text}")
        for n, (li, text) in enumerate(zip(limits, now, strict=True))
    ]
    kind, _, number = (one_of(host.talk, offered) or "").partition(" ")
    if kind == SHEET:
        from wizard.flow.loading.service_sheet import load_sheet

        try:
            sheet = load_sheet(ready[int(number)], controller.flow)
        except FlowError as problem:
            host.say(f"{BAD_SHEET}.")
            host.talk.rows(problem.problems or (str(problem),))
        except SteadfootError as problem:
            host.say(str(problem))
        else:
            host.act(cmd.UseSheet(sheet.model, sheet.source, sheet.limits))
    elif kind == LIMIT:
        _typed_limit(host, limits[int(number)])


def _typed_limit(host: LineHost, own: Limit) -> None:
    """Edge by edge, then which sheet it is; an empty edge stays as it is."""
    unit = "" if written_units.unwritten(own.unit) else f", in {own.unit} or another unit"
    host.say(f"{own.says}{unit}. An empty line leaves an edge as it is.")

    def wrong(text: str) -> str:
        try:
            units.parse(text, own.unit) if text else None
        except ValueError as problem:
            return str(problem)
        return ""

    given: list[str] = []
    for asked in edges(own):
        text = typed(host.talk, asked, "Type the edge, or Enter alone.", wrong)
        if text is None:
            return
        given.append(text)
    source = typed(
        host.talk,
        "Which sheet is it, its number and page",
        WHERE_READ,
        lambda text: "" if text else WHICH_SHEET,
    )
    if source is None:
        return
    try:
        limit = from_typed(own, given, source)
    except ValueError as problem:
        host.say(str(problem))
        return
    host.act(cmd.UseSheet(host.controller.state.facts.get("model", ""), source, (limit,)))
