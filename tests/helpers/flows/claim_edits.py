"""Small edits of a flow's TOML, each of which has it ask for less, with the line of the claim that must be found."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.model import Flow
from wizard.flow.parsing import drawing_parser, flow_files
from wizard.flow.parsing.flow_assembly import build_flow

Table = dict[str, Any]
Documents = dict[str, Table]
MACHINE, MAIN, FAULTS = flow_files.MACHINE, flow_files.MAIN, flow_files.FAULTS


@dataclass(frozen=True, slots=True)
class Edit:
    """An edit: its kind, what it does to the documents, and how the line begins that must be said to be weaker."""

    kind: str
    line: str
    act: Callable[[Documents], None]

    def __str__(self) -> str:
        return f"{self.kind}: {self.line}"


@dataclass(frozen=True, slots=True)
class Sources:
    """The files of a flow, parsed."""

    documents: Documents
    drawings: Mapping[str, Any]

    @classmethod
    def of(cls, folder: Path) -> Sources:
        content = flow_files.read_folder(folder)
        texts = {n: flow_files.decode(d) for n, d in content.items() if flow_files.belongs(n)}
        drawings = {
            PurePosixPath(n).stem: drawing_parser.parse(PurePosixPath(n).stem, text)
            for n, text in texts.items()
            if flow_files.kind_of(n) is FileKind.DRAWING
        }
        return cls({n: flow_files.parse(t) for n, t in texts.items() if n.endswith(".toml")}, drawings)

    def built(self, *edits: Edit) -> Flow:
        """The flow, edited."""
        documents = deepcopy(self.documents)
        for edit in edits:
            edit.act(documents)
        return build_flow(documents, self.drawings, "edited")

    @property
    def values(self) -> dict[str, list[str]]:
        """Condition -> its values but the latches."""
        tables = [*self.documents[MACHINE]["condition"], *self.documents[MAIN].get("condition", ())]
        return {t["id"]: [v for v in t["values"] if v not in t.get("latch", ())] for t in tables}


Where = Callable[[Documents], Table]


def batches(some: Iterator[Edit]) -> Iterator[list[Edit]]:
    """The edits in few batches: in each at most one of any table, so that each can be found for itself."""
    per_table: dict[str, list[Edit]] = {}
    for edit in some:
        kind, *ids = edit.line.partition(":")[0].split()
        owner = {"value": "fact", "approach": "fault"}.get(kind)
        table = f"{owner} {ids[:1]}" if owner else f"{kind} {ids}"
        per_table.setdefault(table, []).append(edit)
    for rank in range(max(map(len, per_table.values()))):
        yield [of_table[rank] for of_table in per_table.values() if rank < len(of_table)]


def edits(sources: Sources) -> Iterator[Edit]:
    """Every edit of every kind; of one table and kind several."""
    yield from conditions(sources)
    yield from reach_tables(sources)
    for file in (MACHINE, MAIN):
        for n, stop in enumerate(sources.documents[file].get("stop", ())):
            yield from stops(at(file, "stop", n), stop)
        for n, tool in enumerate(sources.documents[file].get("tool", ())):
            if "reach" in tool:
                yield put(
                    "tool-reach", f"tool {tool['id']}: is used at reach", at(file, "tool", n), "reach", "look"
                )
                yield put(
                    "tool-doubt", f"tool {tool['id']}: is uncertain", at(file, "tool", n), "uncertainty", 1e-9
                )
    yield from facts(sources)
    for file in sources.documents:
        if flow_files.has_steps(file):
            yield from inspections(sources, file)
    for n, fault in enumerate(sources.documents[FAULTS]["fault"]):
        yield from faults(sources, fault, at(FAULTS, "fault", n))
    consent = sources.documents[MAIN]["flow"]
    yield from needs(
        sources,
        "consent",
        "flow: takes in or orders a part only with",
        lambda d: d[MAIN]["flow"],
        consent,
        "consent",
    )
    for key in ("prove", "procedures"):
        for n, _name in enumerate(sources.documents[MAIN]["flow"].get(key, ())):
            yield gone(f"flow-{key}", "flow: ", lambda d: d[MAIN]["flow"], key, n)


def at(file: str, *path: str | int) -> Where:
    """The table there."""

    def where(documents: Documents) -> Table:
        found: Any = documents[file]
        for part in path:
            found = found[part]
        assert isinstance(found, dict)
        return found

    return where


def gone(kind: str, line: str, where: Where, *keys: str | int) -> Edit:
    """A key, or an entry of a table or list, taken out."""

    def act(documents: Documents) -> None:
        found: Any = where(documents)
        for key in keys[:-1]:
            found = found[key]
        del found[keys[-1]]

    return Edit(kind, line, act)


def put(kind: str, line: str, where: Where, *keys_and_value: Any) -> Edit:
    """A value put in place of another, or where there was none."""
    *keys, value = keys_and_value

    def act(documents: Documents) -> None:
        found: Any = where(documents)
        for key in keys[:-1]:
            found = found.setdefault(key, {}) if isinstance(found, dict) else found[key]
        found[keys[-1]] = deepcopy(value)

    return Edit(kind, line, act)


def needs(sources: Sources, kind: str, line: str, where: Where, table: Table, key: str) -> Iterator[Edit]:
    """Each need taken out, and each widened by a value."""
    for name, allowed in table.get(key, {}).items():
        yield gone(f"{kind}-gone", f"{line} {name}", where, key, name)
        for more in sources.values[name]:
            if more not in allowed:
                yield put(f"{kind}-wider", f"{line} {name}", where, key, name, [*allowed, more])


def cautions(kind: str, line: str, where: Where, table: Table) -> Iterator[Edit]:
    """Each warning taken out, and each made milder."""
    for n, caution in enumerate(table.get("caution", ())):
        if caution["word"] != "notice":
            yield gone(f"{kind}-gone", f"{line}: warns of", where, "caution", n)
            yield put(f"{kind}-milder", f"{line}: warns of", where, "caution", n, "word", "notice")


def changed(kind: str, line: str, where: Where, table: Table) -> Iterator[Edit]:
    """What may come of it: each condition, and each value of it, left out."""
    for name, values in table.get("may", {}).items():
        yield gone(f"{kind}-gone", f"{line}: may change {name}", where, "may", name)
        for value in values:
            fewer = [v for v in values if v != value]
            yield put(f"{kind}-fewer", f"{line}: may change {name}", where, "may", name, fewer)


def so(
    sources: Sources, kind: str, line: str, where: Where, table: Table, may: Table, key: str = "so"
) -> Iterator[Edit]:
    """What is said: narrowed, turned round, left out where nothing may have changed it, and said of more."""
    for name, values in table.get(key, {}).items():
        if name not in may or not set(values) <= set(may[name]):
            yield gone(f"{kind}-said-gone", f"{line}: says that {name}", where, key, name)
        if len(values) > 1:
            yield put(f"{kind}-narrower", f"{line}: ", where, key, name, values[:1])
        other = next((v for v in sources.values[name] if v not in values), None)
        if other is not None:
            yield put(f"{kind}-other", f"{line}: ", where, key, name, [other])
    for name in sources.values:
        if name not in table.get(key, {}) and (name in may or name == "dead"):
            yield put(f"{kind}-new", f"{line}: ", where, key, name, [sources.values[name][-1]])


def conditions(sources: Sources) -> Iterator[Edit]:
    for file in (MACHINE, MAIN):
        for n, table in enumerate(sources.documents[file].get("condition", ())):
            line, where = f"condition {table['id']}:", at(file, "condition", n)
            yield from needs(sources, "while", f"{line} holds while", where, table, "while")
            for value, turns in table.get("alone", {}).items():
                said = f"{line} left alone may turn from {value}"
                yield gone("alone-gone", said, where, "alone", value)
                for turn in turns if len(turns) > 1 else ():
                    fewer = [t for t in turns if t != turn]
                    yield put("alone-fewer", said, where, "alone", value, fewer)
            for key, words in (("passing", "holds for"), ("last", "is asked last"), ("latch", "is latched")):
                if table.get(key):
                    yield gone(key, f"{line} {words}", where, key)
            for key, words in (("short", "shows on"), ("urgent", "shows first"), ("handover", "is on")):
                if table.get(key):
                    yield gone(f"condition-{key}", f"{line} {words}", where, key)
            if table.get("contradicted"):
                yield gone("contradicted", f"{line} if it is contradicted", where, "contradicted")
            for value in table.get("hands", {}):
                yield gone("hands-gone", f"{line} takes hands", where, "hands", value)
                yield put("hands-nearer", f"{line} takes hands", where, "hands", value, "look")
            if "applies" not in table:
                said = f"{line} is left out but where kind"
                yield put("applies-new", said, where, "applies", "kind", ["front-loader"])
            for fact, values in table.get("applies", {}).items():
                said = f"{line} is left out but where {fact}"
                fewer = [*values[1:], "no-such"]
                yield put("applies-fewer", said, where, "applies", fact, fewer)


def reach_tables(sources: Sources) -> Iterator[Edit]:
    """All of reaches but the needs, which are tried one by one since they are inherited."""
    for n, table in enumerate(sources.documents[MACHINE]["reach"]):
        line, where = f"reach {table['id']}:", at(MACHINE, "reach", n)
        yield from needs(sources, "begins", f"{line} begins where", where, table, "begins")
        for name in table.get("may", {}):
            yield gone("reach-may", f"{line} may change {name}", where, "may", name)
        if table.get("warns"):
            yield gone("reach-warns", f"{line} warns", where, "warns")
        if table.get("verbs"):
            yield put("reach-verbs", f"{line} is worded", where, "verbs", [*table["verbs"], "unscrew"])


def reach_needs(sources: Sources) -> Iterator[Edit]:
    """Each need of a row of reaches taken out, and each widened, of the library and of the flow."""
    for file in (MACHINE, MAIN):
        for n, table in enumerate(sources.documents[file].get("reach", ())):
            line = f"reach {table['id']}: needs"
            yield from needs(sources, "reach-need", line, at(file, "reach", n), table, "needs")


def stops(where: Where, table: Table) -> Iterator[Edit]:
    line = f"stop {table['id']}:"
    for name in table.get("so", {}):
        yield gone("stop-so", f"{line} puts {name}", where, "so", name)
    for key, words in (("release", "is over"), ("outdoors", "sends")):
        if key in table:
            yield gone(f"stop-{key}", f"{line} {words}", where, key)
    for n, _act in enumerate(table["make_safe"]):
        yield gone("stop-make-safe", f"{line} asks for", where, "make_safe", n)
    yield put("stop-call", f"{line} calls", where, "call", "Nobody")


def facts(sources: Sources) -> Iterator[Edit]:
    for n, table in enumerate(sources.documents[MAIN]["fact"]):
        line, where = f"fact {table['id']}:", at(MAIN, "fact", n)
        if not table.get("value"):
            continue
        yield gone("fact-value", f"{line} is one of", where, "value", 0)
        if "applies" not in table:
            said = f"{line} is left out but where kind"
            yield put("fact-applies", said, where, "applies", "kind", ["front-loader"])
        for name in table.get("sight", {}):
            yield gone("fact-sight", f"{line} is asked again where {name}", where, "sight", name)
        for v, value in enumerate(table["value"]):
            said, there = f"value {table['id']} {value['id']}", at(MAIN, "fact", n, "value", v)
            if value.get("later"):
                yield gone("fact-later", f"{said}: is asked again later", there, "later")
            if value.get("stop"):
                yield gone("fact-stop", f"{said}: stops for", there, "stop")
            yield from so(sources, "fact-so", said, there, value, {})


def faults(sources: Sources, table: Table, where: Where) -> Iterator[Edit]:
    line, remedy = f"fault {table['id']}", f"remedy {table['id']}"
    yield from needs(sources, "fault-need", f"{line}: needs", where, table, "needs")
    yield from so(sources, "fault-so", line, where, table, {})
    for key, words in (("hazard", "names"), ("confirm", "is confirmed")):
        if key in table:
            yield gone(f"fault-{key}", f"{line}: {words}", where, key)

    def there(documents: Documents) -> Table:
        found: Table = where(documents)["remedy"]
        return found

    own = table["remedy"]
    yield from needs(sources, "remedy-need", f"{remedy}: needs", there, own, "needs")
    yield from changed("remedy-may", remedy, there, own)
    yield from so(sources, "remedy-so", remedy, there, own, own.get("may", {}))
    yield from cautions("remedy-caution", remedy, there, own)
    yield from nearer("remedy-reach", f"{remedy}: is shown at reach", there, own)
    for n, _again in enumerate(own.get("recheck", ())):
        yield gone("remedy-recheck", f"{remedy}: is measured again", there, "recheck", n)
    for n, way in enumerate(own.get("approach", ())):
        said = f"approach {table['id']} {way['id']}: needs besides"
        yield gone("approach-gone", said, there, "approach", n)
        yield put("approach-nearer", said, there, "approach", n, "reach", "look")


def nearer(kind: str, line: str, where: Where, table: Table) -> Iterator[Edit]:
    """Hands that are said to go less far."""
    less = {"talk": None, "look": "talk"}.get(table["reach"], "look")
    if less is not None:
        yield put(kind, line, where, "reach", less)


def inspections(sources: Sources, file: str) -> Iterator[Edit]:
    document = sources.documents[file]
    head, where = document["inspection"], at(file, "inspection")
    line = f"inspection {head['id']}"
    yield from cautions("inspection-caution", line, where, head)
    yield put("inspection-applies", f"{line}: is for machines where", where, "applies", "made-up", ["x"])
    yield put("inspection-repairs", f"{line}: proves only", where, "repairs", ["made-up"])
    for fact in head.get("applies", {}):
        yield gone("inspection-applies-gone", f"{line}: is for machines where {fact}", where, "applies", fact)
    if head.get("owed"):
        yield gone("inspection-owed", f"{line}: is owed", where, "owed")
    for n, step in enumerate(document["step"]):
        yield from steps(sources, f"{head['id']}.{step['id']}", step, at(file, "step", n))


def steps(sources: Sources, name: str, step: Table, where: Where) -> Iterator[Edit]:
    line = f"step {name}"
    yield from needs(sources, "step-need", f"{line}: needs", where, step, "needs")
    yield from changed("step-may", line, where, step)
    yield from cautions("step-caution", line, where, step)
    yield put("step-minutes", f"{line}: is believed without a key", where, "minutes", 240)
    if "reach" in step:
        yield from nearer("step-reach", f"{line}: is shown at reach", where, step)
        if "reach_because" not in step:
            yield put("step-words", f"{line}: has words", where, "reach_because", "It is so.")
    if step.get("unable", {}).get("stop"):
        yield gone("step-unable", f"{line}: if nobody is able", where, "unable", "stop")
    if "takes" in step:
        yield gone("step-takes", f"{line}: takes", where, "takes")
        yield put("step-takes-less", f"{line}: takes", where, "takes", step["takes"] / 2)
    if "wait" in step:
        yield gone("step-wait", f"{line}: waits", where, "wait")
        yield put("step-wait-less", f"{line}: waits", where, "wait", "minutes", [0])
        if "applies" not in step["wait"]:
            yield put("step-wait-where", f"{line}: waits only", where, "wait", "applies", "kind", ["x"])
    yield from (
        so(sources, "done-so", f"answer {name} done", where, step, step.get("may", {}))
        if "so" in step
        else ()
    )
    yield from measured(name, step, where)
    for key, word in (("answer", "id"), ("on", "verdict")):
        for n, answer in enumerate(step.get(key, ())):
            yield from answers(sources, f"{name} {answer[word]}", answer, step, under(where, key, n))


def under(where: Where, *path: str | int) -> Where:
    """A table below another."""

    def there(documents: Documents) -> Table:
        found: Any = where(documents)
        for part in path:
            found = found[part]
        assert isinstance(found, dict)
        return found

    return there


def answers(sources: Sources, name: str, answer: Table, step: Table, where: Where) -> Iterator[Edit]:
    may = step.get("may", {})
    yield from so(sources, "answer-so", f"answer {name}", where, answer, may)
    if step.get("many"):
        yield from so(sources, "unticked-so", f"left-alone {name}", where, answer, may, "unticked_so")
    if "wait" in answer:
        yield gone("answer-wait", f"answer {name}: waits", where, "wait")
        yield put("answer-wait-less", f"answer {name}: waits", where, "wait", answer["wait"] / 2)
    if answer.get("stop"):
        yield gone("answer-stop", f"answer {name}: stops for", where, "stop")
    if str(answer.get("then", "")).startswith("stop:"):
        yield gone("answer-then", f"answer {name}: after so often", where, "then")
        said = f"answer {name}: after so often"
        yield put("answer-most", said, where, "most", answer["most"] + 1)


def measured(name: str, step: Table, where: Where) -> Iterator[Edit]:
    """What is read where an answer keeps people safe: the range widened, places and repeats left out."""
    outcomes = [*step.get("on", ()), *step.get("answer", ())]
    if "reading" not in step or not ("so" in step or any("so" in o or "stop" in o for o in outcomes)):
        return
    line, reading = f"step {name}: reads", step["reading"]
    yield put("reading-from", f"{line} from", where, "reading", "from", reading["from"] - 1000)
    yield put("reading-to", f"{line} to", where, "reading", "to", reading["to"] + 1000)
    for n, _place in enumerate(reading.get("places", ())):
        yield gone("reading-place", f"{line} at", where, "reading", "places", n)
    if reading.get("repeats", 1) > 1:
        yield put("reading-repeats", f"{line} each", where, "reading", "repeats", 1)
