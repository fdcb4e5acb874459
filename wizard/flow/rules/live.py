"""What has its power and what is open: where that may be, and that it warns before it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.evidence import Tool
from wizard.flow.model import STATES, Step
from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, StepSpot
from wizard.measure.units import dimension

SERVES = {
    "covered": STATES,
    "isolated": ("isolated", "proved-dead", "wet"),
    "proved-dead": ("proved-dead",),
    "wet": ("wet",),
    "proving": ("proving",),
}
"""The states that serve a tool which needs one of them."""

POWERED = ("spin", "energised")
"""Activities that need the machine's power."""

OPENED_IN = ("isolated", "proved-dead")
"""The states in which a machine may be opened: its plug is out, and no water is on."""

ELECTRICAL = ("voltage", "resistance", "current", "capacitance")
HARM = ("danger", "warning", "caution")


def powered(book: Book) -> Iterator[Problem]:
    """What needs the machine's power is done with it known: in proving, or as an inspection that is energised."""
    for spot, inspection in book.inspections():
        if inspection.energised and inspection.states != ("covered",):
            said = 'an inspection that needs the plug in has state = "covered"'
            yield book.error(spot, ("state",), said, "gate")
    for at in book.steps():
        acts = [act for act in POWERED if act in at.step.does]
        if acts and not _powered(at):
            yield book.error(at.spot, ("does",), f"{_needs(acts[0])}. {_where(at)}", "gate")


def _needs(act: str) -> str:
    """Say of an activity that it needs power."""
    return "a spin needs the machine's power" if act == "spin" else f'"{act}" puts power on the machine'


def _powered(at: StepSpot) -> bool:
    """True where a step's inspection has the machine's power: it is energised, in proving, or the gate to it."""
    inspection = at.inspection
    return inspection.energised or inspection.states == ("proving",) or inspection.gate == "proving"


def _where(at: StepSpot) -> str:
    """Say where an activity with power belongs."""
    if at.inspection.gate:
        return "Only the gate to proving does that: take it out here"
    return (
        'Give the inspection state = "proving", or state = "covered" with energised = true if nothing is open'
    )


def opened(book: Book) -> Iterator[Problem]:
    """What takes a panel off, or owes one, does it on a machine that is isolated or proved dead."""
    panels = {debt for _, inspection in book.inspections() for debt in inspection.opens}
    for spot, inspection in book.inspections():
        if inspection.opens and (said := _open_in(inspection.states)):
            yield book.error(spot, ("opens",), f"it is opened {said}", "gate", key=True)
    for at in book.steps():
        for spot in (at.spot, *at.spot.below("answer"), *at.spot.below("on")):
            for index, debt in enumerate(spot.table.get("owe", ())):
                if debt in panels and (said := _open_in(at.inspection.states)):
                    yield book.error(spot, ("owe", index), f'"{debt}" is opened {said}', "gate")
    for spot in book.tables("faults.toml", "fault"):
        fault = book.flow.faults.get(spot.table["id"])
        owes = [debt for debt in fault.remedy.owe if debt in panels] if fault else []
        if fault and owes and (said := _open_in(fault.remedy.states)):
            text = f'the remedy owes "{owes[0]}", which is opened {said}'
            yield book.error(spot.within("remedy"), ("state",), text, "gate")


def restored(book: Book) -> Iterator[Problem]:
    """Whoever puts back what keeps a machine isolated ends that state, or says that it stays."""
    keeps = {spot.table["id"]: spot.table.get("keeps") for spot in book.tables("flow.toml", "debt")}
    owed = {
        d
        for _, i in book.inspections()
        if i.gate == "isolated"
        for s in i.steps
        for a in s.answers
        for d in a.owe
    }
    for spot in book.tables("flow.toml", "debt"):
        if spot.table["id"] in owed and not keeps[spot.table["id"]]:
            said = 'the gate to isolated owes it: say keeps = "isolated" if the machine is so only while it is owed'
            yield book.error(spot, (), f'{said}, else keeps = "nothing"', "gate")
    holding = {debt for debt, state in keeps.items() if state == "isolated"}
    for at in book.steps():
        if at.inspection.gate:
            continue
        for spot in (at.spot, *at.spot.below("answer"), *at.spot.below("on")):
            pays = [n for n, debt in enumerate(spot.table.get("pay", ())) if debt in holding]
            if spot.table.get("kept") and not pays:
                said = '"kept" does nothing: this answer pays no debt that keeps the machine isolated. Take it out'
                yield book.error(spot, ("kept",), said, "gate", key=True)
            if pays and not spot.table.get("kept") and "isolated" not in spot.table.get("voids", ()):
                said = f'"{spot.table["pay"][pays[0]]}" keeps the machine isolated, so paying it ends that'
                mend = 'Write voids = ["isolated"]; or kept = true on an answer that leaves it so'
                yield book.error(spot, ("pay", pays[0]), f"{said}. {mend}", "gate")
    for spot in book.tables("faults.toml", "fault"):
        for index, debt in enumerate(spot.table["remedy"].get("pay", ())):
            if debt in holding:
                said = f'"{debt}" keeps the machine isolated: a step pays it, no remedy'
                yield book.error(spot.within("remedy"), ("pay", index), said, "gate")


def put_back(book: Book) -> Iterator[Problem]:
    """What was taken off is put back by hands: not before it is isolated, not live, not by a failure."""
    panels = {debt for _, inspection in book.inspections() for debt in inspection.opens}
    for at in book.steps():
        where = _not_back(at)
        for spot in (at.spot, *at.spot.below("answer"), *at.spot.below("on")):
            why = where or ("by a failure" if spot.table.get("verdict") == "fail" else "")
            for index, debt in enumerate(spot.table.get("pay", ())):
                if why and debt in panels:
                    said = f'"{debt}" is not put back {why}. Pay it where the machine is closed up'
                    yield book.error(spot, ("pay", index), said, "gate")


def _not_back(at: StepSpot) -> str:
    """Why nothing can be put back in a step; empty where it can."""
    inspection = at.inspection
    if inspection.gate == "isolated" or set(inspection.states) == set(STATES):
        return "before the machine is isolated"
    if not inspection.gate and (inspection.energised or "proving" in inspection.states):
        return "while it has its power"
    return ""


def waits(book: Book) -> Iterator[Problem]:
    """What work on an isolated machine leaves owed should be done before it gets its power."""
    given = {spot.table["id"]: spot for spot in book.tables("flow.toml", "debt")}
    told: set[str] = set()
    for at in book.steps():
        inside = at.inspection.gate != "isolated" and all(s in OPENED_IN for s in at.inspection.states)
        for debt in (d for a in at.step.answers for d in a.owe if inside and d in given and d not in told):
            if not {"energised", "proving"} & set(given[debt].table["before"]):
                told.add(debt)
                said = f'"{at.step.id}" leaves it owed on an isolated machine, which may have power before'
                mend = 'Write "energised" into before, if it should wait'
                yield book.warning(given[debt], ("before",), f"{said}. {mend}", "debt")


def mended(book: Book) -> Iterator[Problem]:
    """Nothing is mended while the machine has its power or its water, and no part is fitted but on an isolated one."""
    for spot in book.tables("faults.toml", "fault"):
        fault = book.flow.faults.get(spot.table["id"])
        if fault is None:
            continue
        live = [state for state in fault.remedy.states if state not in OPENED_IN]
        if fault.remedy.parts and live:
            said = f'parts are fitted while it may be {live[0]}. Write state = "isolated" or "proved-dead"'
            yield book.error(spot.within("remedy"), ("state",), said, "gate")
        elif len(fault.remedy.states) == 1 and fault.remedy.states[0] in ("wet", "proving"):
            said = f"nothing is mended while {live[0]}. Write another state"
            yield book.error(spot.within("remedy"), ("state",), said, "gate")


def alone(book: Book) -> Iterator[Problem]:
    """Work in proving, or with the water on, is for that state alone: what forbids it goes by the state."""
    for spot, inspection in book.inspections():
        mixed = [state for state in ("proving", "wet") if state in inspection.states]
        if mixed and not inspection.gate and 1 < len(inspection.states) < len(STATES):
            said = f'{mixed[0]} stands alone: what is done in it must not be taken for less. Write state = "{mixed[0]}"'
            yield book.error(spot, ("state",), said, "gate")


def _open_in(states: tuple[str, ...]) -> str:
    """Say what is wrong with opening a machine in these states; nothing where it is isolated in each."""
    wrong = [state for state in states if state not in OPENED_IN]
    if not wrong:
        return ""
    return f'while it may be {wrong[0]}. Write state = "isolated" or "proved-dead"'


def cautions(book: Book) -> Iterator[Problem]:
    """What spins or is live, and the proof that nothing is, carries a danger, warning or caution."""
    for spot, inspection in book.inspections():
        told = _warned(inspection.caution) or any(
            _warned(step.caution) or _acts(step) for step in inspection.steps
        )
        if not told and (why := _dangerous(inspection.gate, inspection.states)):
            said = f"{why}: give the inspection a danger or a warning"
            yield book.error(spot, (), said, "caution")
    for at in book.steps():
        live = at.inspection.energised or _acts(at.step)
        if live and not _harm(at):
            what = "spins the drum" if "spin" in at.step.does else "is live"
            said = f"this step {what} and warns of nothing: give it, or its inspection, a caution"
            yield book.error(at.spot, (), said, "caution")


def _acts(step: Step) -> bool:
    """True if the step itself spins or puts power on; then the step has to warn, or its inspection."""
    return any(act in step.does for act in POWERED)


def _dangerous(gate: str, states: tuple[str, ...]) -> str:
    """Why an inspection must warn of something; empty if nothing says so."""
    if gate == "proved-dead":
        return "proving dead is done near live parts"
    if gate == "proving":
        return "behind this gate the machine has its power"
    if states == ("proving",):
        return "in proving the machine has its power"
    if states == ("proved-dead",):
        return "what is done on a machine proved dead is done near what could kill"
    return ""


def _warned(cautions: tuple[object, ...]) -> bool:
    """True if one of the cautions is of harm."""
    return any(getattr(c, "word", "") in HARM for c in cautions)


def _harm(at: StepSpot) -> bool:
    """True if the step or its inspection warns of harm."""
    return _warned((*at.step.caution, *at.inspection.caution))


def tools(book: Book) -> Iterator[Problem]:
    """A tool for electrical values says which state it needs, and is used in no other."""
    for spot in book.tables("flow.toml", "tool"):
        tool = book.flow.tools[spot.table["id"]]
        kind = dimension(tool.unit)
        if kind in ELECTRICAL and not tool.needs:
            said = f'a tool for {kind} touches terminals: say which state it needs, such as needs = "proved-dead"'
            yield book.error(spot, (), said, "gate")
        elif kind in ELECTRICAL and tool.needs not in OPENED_IN:
            said = f'terminals are touched isolated or proved dead, never {tool.needs}. Write needs = "proved-dead"'
            yield book.error(spot, ("needs",), said, "gate")
    for at in book.steps():
        known = book.flow.tools.get(at.step.reading.tool) if at.step.reading else None
        if known and known.needs and at.inspection.gate != known.needs:
            yield from _tool(book, at, known)


def _tool(book: Book, at: StepSpot, tool: Tool) -> Iterator[Problem]:
    """A step's tool may be used in each state that the step may be answered in."""
    wrong = [s for s in at.inspection.states if s not in SERVES[tool.needs]]
    if wrong:
        said = f'tool "{tool.id}" needs {tool.needs}, but this step may be answered while {wrong[0]}. '
        mend = f'Give the inspection state = "{tool.needs}", or name another tool'
        yield book.error(at.spot, ("reading", "tool"), said + mend, "gate")


RULES = (powered, opened, restored, put_back, waits, mended, alone, cautions, tools)
