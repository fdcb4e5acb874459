"""Where the hands go: reaches are whole, a flow only strengthens them, and each step has one that is enough."""

from __future__ import annotations

import re
from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import SignalWord
from wizard.flow.declaring.decode import decode
from wizard.flow.model import Reach
from wizard.flow.model.acts import step_needs
from wizard.flow.model.kind_drawing import shown_as
from wizard.flow.model.machine import ReachTable
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.drawing_parser import reach_place
from wizard.flow.parsing.flow_assembly import reaches
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.measure.quantities.units import dimension
from wizard.safety import loosened

LOOKING = ("talk", "look")
"""The reaches of the library's at which no hand goes anywhere."""

ELECTRICAL = ("voltage", "resistance", "current", "capacitance")
_OWN = ("says", "from", "begins", "source", "warns", "verbs")
_CONDITION = re.compile(r"(if|when|once|until|where|while|with|without|after|before|on|in|at|from|for|as)\b")
_FILLING = ("then", "now", "and", "again", "first", "last", "next", "slowly", "only")
_ANSWERING = ("tick", "type", "answer", "note")
_NOT = ("don't", "do", "never", "no", "not", "nobody", "nothing")


def whole(index: FlowIndex) -> Iterator[Problem]:
    """A reach of the library says where the hands go and where that is from; none comes from itself."""
    tables = {location.table["id"]: location for location in index.tables(flow_files.MACHINE, "reach")}
    for name, location in tables.items():
        for key in ("says", "source"):
            if key not in location.table:
                yield index.error(location, (), f'"{key}" is missing. Add it', "missing")
        line, here = [name], location.table.get("from", "")
        while here in tables and here not in line:
            line.append(here)
            here = tables[here].table.get("from", "")
        if here == name:
            message = f"this comes from itself: {' from '.join([*line, here])}. Take one of them out"
            yield index.error(location, ("from",), message, "reach")


def possible(index: FlowIndex) -> Iterator[Problem]:
    """Some machine can be as a step needs it: its reach and its own needs don't exclude each other."""
    reported: set[str] = set()
    for at in index.steps():
        for condition, allowed in step_needs(index.flow, at.step).items():
            name = condition if condition in at.step.needs else at.step.reach
            if not allowed and name not in reported:
                reported.add(name)
                keys = ("needs", condition) if condition in at.step.needs else ("reach",)
                message = (
                    f"no machine can be as this needs it: what is asked of {condition} excludes each other"
                )
                yield index.error(at.location, keys, message, "reach")


def strengthened(index: FlowIndex) -> Iterator[Problem]:
    """A flow's table of a reach adds needs to one of the library's, and allows nothing that the library doesn't."""
    library = [decode(ReachTable, location.table) for location in index.tables(flow_files.MACHINE, "reach")]
    strict = reaches(library, ())
    for location in index.tables(flow_files.MAIN, "reach"):
        yield from index.refer(location, ("id",), ThingKind.REACH, location.table["id"])
        for key in _OWN:
            if key in location.table:
                message = f'"{key}" is the library\'s. A flow adds needs only: take it out'
                yield index.error(location, (key,), message, "strengthen", key=True)
        known = strict.get(location.table["id"])
        own = decode(ReachTable, location.table).needs
        for condition in loosened(known.needs, own) if known else ():
            allowed = ", ".join(sorted(known.needs[condition])) if known else ""
            asked = f'"{known.id if known else ""}" needs {condition} {allowed} already, and a flow only asks for more'
            yield index.error(
                location, ("needs", condition), f"{asked}. Take out what it doesn't allow", "strengthen"
            )


def verbs(index: FlowIndex) -> Iterator[Problem]:
    """What is done at a weak reach begins with a word that is allowed there: no hands are hidden in its sentences.

    A step, or a remedy, that says why its reach is the right one is left to its reader.
    """
    for at in index.steps():
        reach = index.flow.reaches.get(at.step.reach)
        if reach is None or not reach.verbs or "reach_because" in at.location.table:
            continue
        if message := _strange(at.step.do, reach):
            yield index.error(at.location, ("do",), message, "reach")
    for location in index.tables(flow_files.FAULTS, "fault"):
        remedy = location.within("remedy")
        reach = index.flow.reaches.get(remedy.table["reach"])
        if reach is None or not reach.verbs or "reach_because" in remedy.table:
            continue
        for n, act in enumerate(remedy.table["do"]):
            if message := _strange(act, reach):
                yield index.error(remedy, ("do", n), message, "reach")


def _strange(text: str, reach: Reach) -> str:
    """What to say of a text with a sentence that begins with none of a reach's verbs; empty where none does."""
    word = next((w for w in map(_verb, _sentences(text)) if w and w not in reach.verbs), "")
    return word and (
        f'at reach "{reach.id}" no sentence begins with "{word}". Name the reach of the hands, or say in '
        "reach_because why this is the right one; the words that may begin one are its verbs"
    )


def _sentences(text: str) -> Iterator[str]:
    """Yield what a text asks to be done: its sentences, and their parts after a colon, but no questions."""
    for sentence in re.split(r"(?<=[.!?])\s+", " ".join(text.split())):
        if not sentence.endswith("?"):
            yield from re.split(r"[:;]\s+", sentence)


def _verb(sentence: str) -> str:
    """Return the word that says what to do; nothing where it says what not to do."""
    clause = sentence.lower().rstrip(".!")
    if re.match(_CONDITION, clause):
        _, _, clause = clause.partition(", ")
    words = [word.strip(",.") for word in clause.split()]
    while words and words[0] in _FILLING:
        words.pop(0)
    no_hands = bool(words) and (words[0] in (*_NOT, *_ANSWERING) or words[1:2] in (["nothing"], ["no"]))
    return "" if not words or no_hands else words[0]


def tools(index: FlowIndex) -> Iterator[Problem]:
    """A tool whose tips touch terminals says its least reach, and a step that uses it reaches as far."""
    for location in index.declared(ThingKind.TOOL):
        kind = dimension(location.table["unit"])
        if kind in ELECTRICAL and "reach" not in location.table:
            message = f"a tool for {kind} touches terminals: name the least reach of its steps"
            yield index.error(location, (), message, "reach")
    for at in index.steps():
        tool = index.flow.tools.get(at.reading.tool) if at.reading else None
        if tool and tool.reach:
            yield from _least(index, at, tool.reach, f'tool "{tool.id}"', ("reading", "tool"))


def lit(index: FlowIndex) -> Iterator[Problem]:
    """Hands that go to a part that is lit in a drawing reach as far as the drawing says; looking needs no hands."""
    for name, drawing in index.flow.drawings.items():
        for region, reach in drawing.reaches.items():
            if message := index.missing(ThingKind.REACH, reach):
                file, text = index.source.drawn[name]
                line, column = reach_place(text, region)
                message = f'region "{region}": {message}'.rstrip(".")
                yield Problem(file, line, column, message, "reference")
    for at in index.steps():
        if at.step.reach in index.flow.reaches and at.step.reach not in LOOKING:
            for key, where in at.step.drawings:
                every = {
                    d.reaches.get(where.region, "") for d in shown_as(index.flow.drawings, where.drawing)
                }
                for least in sorted(every - {""}):
                    yield from _least(index, at, least, f'what is lit, "{where.region}",', (key,))


def bared(index: FlowIndex) -> Iterator[Problem]:
    """A step that needs a cover off has a reach for hands that go in there."""
    for location in (
        *index.tables(flow_files.MACHINE, "condition"),
        *index.tables(flow_files.MAIN, "condition"),
    ):
        name, hands = location.table["id"], location.table.get("hands", {})
        for value, least in hands.items():
            if message := index.missing(ThingKind.REACH, least):
                yield index.error(location, ("hands", value), message, "reference")
            for at in index.steps():
                if at.step.needs.get(name) == frozenset((value,)):
                    what = f"{name} {value}, which it needs,"
                    yield from _least(index, at, least, what, ("needs", name))


def changed(index: FlowIndex) -> Iterator[Problem]:
    """What any step of a reach may change is in the ``may`` of each: nobody knows it any more once it was shown."""
    tables = {location.table["id"]: location.table for location in index.tables(flow_files.MACHINE, "reach")}
    for at in index.steps():
        for condition, values in tables.get(at.step.reach, {}).get("may", {}).items():
            left = [value for value in values if value not in at.step.may.get(condition, ())]
            if left:
                message = (
                    f'at reach "{at.step.reach}" {condition} may become {" or ".join(values)}. '
                    f"Add {condition} to its may"
                )
                yield index.error(at.location, ("may",), message, "condition")


def begun(index: FlowIndex) -> Iterator[Problem]:
    """The first step of an inspection at a reach needs what such work begins with: no run is begun in another."""
    tables = {location.table["id"]: location.table for location in index.tables(flow_files.MACHINE, "reach")}
    seen: set[tuple[str, str]] = set()
    for at in index.steps():
        first, key = tables.get(at.step.reach, {}).get("begins", {}), (at.inspection.id, at.step.reach)
        for condition, values in first.items() if key not in seen else ():
            if not at.step.needs.get(condition, _ANYTHING) <= frozenset(values):
                message = (
                    f"{condition} must be {' or '.join(values)} where an inspection begins at reach "
                    f'"{at.step.reach}". Add {condition} to its needs'
                )
                yield index.error(at.location, ("needs",), message, "condition")
        seen.add(key)


def _least(
    index: FlowIndex, at: StepLocation, least: str, what: str, keys: tuple[str, ...]
) -> Iterator[Problem]:
    """Yield an error where a step's reach isn't as far as the least one."""
    wanted, has = index.flow.reaches.get(least), index.flow.reaches.get(at.step.reach)
    lacking = _lacking(wanted, has) if wanted and has else ""
    if lacking:
        message = f'{what} needs reach "{least}" or further, and "{at.step.reach}" leaves {lacking} open'
        yield index.error(at.location, keys, f"{message}. Write another reach", "reach")


def _lacking(least: Reach, reach: Reach) -> str:
    """Return the first condition of which a reach allows more than the least one does; nothing where there is
    none.
    """
    return next((c for c, allowed in least.needs.items() if not reach.needs.get(c, _ANYTHING) <= allowed), "")


_ANYTHING = frozenset(("",))


def warned(index: FlowIndex) -> Iterator[Problem]:
    """What the library says can hurt carries a danger, a warning or a caution."""
    warning = {
        location.table["id"]
        for location in index.tables(flow_files.MACHINE, "reach")
        if location.table.get("warns")
    }
    for at in index.steps():
        words = {caution.word for caution in (*at.step.caution, *at.inspection.caution)}
        if at.step.reach in warning and not words - {SignalWord.NOTICE}:
            lacks = f'reach "{at.step.reach}" can hurt, and nothing warns: give the step, or its inspection, a caution'
            yield index.error(at.location, (), lacks, "caution")
    for location in index.tables(flow_files.FAULTS, "fault"):
        yield from _remedy(index, location.within("remedy"), warning)


def _remedy(index: FlowIndex, location: TableLocation, warning: set[str]) -> Iterator[Problem]:
    """Yield an error where a remedy can hurt and warns of nothing."""
    words = {caution["word"] for caution in location.table.get("caution", ())}
    if location.table["reach"] in warning and not words - {"notice"}:
        message = f'reach "{location.table["reach"]}" can hurt, and nothing warns: give the remedy a caution'
        yield index.error(location, (), message, "caution")


def waited(index: FlowIndex) -> Iterator[Problem]:
    """A step waits for a condition that it needs: else nothing says when that became so."""
    for at in index.steps():
        wait = at.step.wait
        if (
            wait
            and wait.since
            and wait.since in index.ids[ThingKind.CONDITION]
            and wait.since not in step_needs(index.flow, at.step)
        ):
            message = (
                f"it waits since {wait.since} became so, and doesn't need it. Add {wait.since} to its needs"
            )
            yield index.error(at.location, ("wait", "since"), message, "condition")


RULES = (waited, whole, possible, strengthened, verbs, tools, lit, bared, changed, begun, warned)
