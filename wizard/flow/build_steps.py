"""From the plain dicts of an inspection's TOML to the frozen model, with what a file may leave out filled in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wizard.flow.calculators import CALCULATORS
from wizard.flow.evidence import Limit
from wizard.flow.model import (
    END,
    STATES,
    VERDICTS,
    Answer,
    Caution,
    Compute,
    Inspection,
    Reading,
    Step,
    Unable,
)
from wizard.measure.units import find, span_to_si, to_si

Table = Mapping[str, Any]
LOOK = {"yes": "Yes", "no": "No"}
DONE = "done"
_NAMED_VERDICTS = {"pass": "Pass", "watch": "Watch", "fail": "Fail"}


def texts(table: Table, key: str) -> tuple[str, ...]:
    """Return a list of texts as a tuple; empty where the key is left out."""
    return tuple(table.get(key, ()))


def applies(table: Table) -> dict[str, tuple[str, ...]]:
    """Return fact -> values of ``applies``; empty where it is left out."""
    return {fact: tuple(values) for fact, values in table.get("applies", {}).items()}


def states(value: str | Sequence[str]) -> tuple[str, ...]:
    """Return the safety states that ``state`` names; 'any' is all of them."""
    if value == "any":
        return STATES
    return (value,) if isinstance(value, str) else tuple(value)


def cautions(table: Table) -> tuple[Caution, ...]:
    """Return the cautions of a table."""
    return tuple(Caution(c["word"], c["says"]) for c in table.get("caution", ()))


def build_inspection(document: Table, limits: Mapping[str, tuple[Limit, ...]]) -> Inspection:
    """Return the inspection in one file."""
    head, steps = document["inspection"], document["step"]
    following = [*(step["id"] for step in steps[1:]), END]
    return Inspection(
        id=head["id"],
        title=head["title"],
        steps=tuple(_step(step, after, limits) for step, after in zip(steps, following, strict=True)),
        states=states(head["state"]),
        gate=head.get("gate", ""),
        energised=head.get("energised", False),
        applies=applies(head),
        absent=head.get("absent", ""),
        people=head.get("people", 1),
        minutes=float(head["minutes"]),
        opens=texts(head, "opens"),
        caution=cautions(head),
        why=head.get("why", ""),
        after_only=head.get("after_only", False),
    )


def _step(table: Table, following: str, limits: Mapping[str, tuple[Limit, ...]]) -> Step:
    """Return one step; ``following`` is the id of the one after it in the file, or END."""
    compute = _compute(table["compute"]) if "compute" in table else None
    return Step(
        id=table["id"],
        kind=table["kind"],
        do=table["do"],
        answers=_answers(table, table.get("next", following)),
        expect=table.get("expect", ""),
        caution=cautions(table),
        drawing=table.get("drawing", ""),
        many=table.get("many", False),
        reading=_reading(table["reading"]) if "reading" in table else None,
        compute=compute,
        limit=table.get("limit", ""),
        evidence={finding: tuple(bands) for finding, bands in table.get("evidence", {}).items()},
        does=texts(table, "does"),
        minutes=float(table.get("minutes", 1.0)),
        aid=table.get("aid", ""),
        unable=Unable(table.get("unable", {}).get("next", END), table.get("unable", {}).get("stop", "")),
    )


def _answers(table: Table, following: str) -> tuple[Answer, ...]:
    """Return the answers of a step, with those that its kind implies."""
    kind = table["kind"]
    if kind == "look":
        return _look_answers(table, following)
    if kind == "choose":
        return tuple(_answer(a, a.get("says", ""), following) for a in table.get("answer", ()))
    if kind in ("measure", "compute") and table.get("limit"):
        return _verdict_answers(table, following)
    return (_answer({**_outcome(table), "id": DONE, "usual": True}, "Done", following),)


def _look_answers(table: Table, following: str) -> tuple[Answer, ...]:
    """Return the answers yes and no, as the file orders them; one that is left out has no effect."""
    given = {a["id"]: a for a in table.get("answer", ())}
    given = {**given, **{k: {"id": k} for k in LOOK if k not in given}}
    return tuple(_answer(a, a.get("says", LOOK.get(name, name)), following) for name, a in given.items())


def _verdict_answers(table: Table, following: str) -> tuple[Answer, ...]:
    """Return an answer a verdict. All three: a doubtful reading is 'watch' whatever its band."""
    given = {on["verdict"]: on for on in table.get("on", ())}
    rows = [{**given.get(v, {}), "id": v, "verdict": v, "usual": v == "pass"} for v in VERDICTS]
    return tuple(_answer(row, _NAMED_VERDICTS[row["id"]], following) for row in rows)


def _outcome(table: Table) -> dict[str, Any]:
    """Return the keys of an answer that stand on the step itself."""
    return {key: table[key] for key in ("pay", "owe", "lift", "bar", "voids") if key in table}


def _answer(table: Table, says: str, following: str) -> Answer:
    """Return one answer."""
    return Answer(
        id=table["id"],
        says=says,
        next=table.get("next", following),
        finds=_weights(table, "finds"),
        rules_out=_weights(table, "rules_out"),
        unticked=_weights(table, "unticked"),
        verdict=table.get("verdict", ""),
        bar=texts(table, "bar"),
        lift=texts(table, "lift"),
        owe=texts(table, "owe"),
        pay=texts(table, "pay"),
        voids=texts(table, "voids"),
        stop=table.get("stop", ""),
        usual=table.get("usual", False),
        most=table.get("most", 0),
        then=table.get("then", ""),
        good=table.get("good", False),
        alone=table.get("alone", False),
    )


def _weights(table: Table, key: str) -> dict[str, float]:
    """Return finding -> weight."""
    return {finding: float(weight) for finding, weight in table.get(key, {}).items()}


def _reading(table: Table) -> Reading:
    """Return what a measure step reads, its range and usual value in SI."""
    unit = table["unit"]
    usual = table.get("usual")
    return Reading(
        unit=find(unit).symbol,
        low=to_si(table["from"], unit),
        high=to_si(table["to"], unit),
        tool=table["tool"],
        each=table.get("each", ""),
        item=table.get("item", ""),
        places=texts(table, "places"),
        ways=texts(table, "ways"),
        way_by_way=table.get("way_by_way", False),
        repeats=table.get("repeats", 1),
        usual=None if usual is None else to_si(usual, unit),
    )


def _compute(table: Table) -> Compute:
    """Return a named calculator and its inputs; its settings in SI, the defaults filled in."""
    known = CALCULATORS[table["calculator"]].settings
    given = table.get("settings", {})
    values = {name: given.get(name, setting.default) for name, setting in known.items()}
    settings = {name: span_to_si(v, known[name].unit) for name, v in values.items() if v is not None}
    choices = dict(table.get("choices", {}))
    return Compute(table["calculator"], dict(table.get("inputs", {})), settings, choices)
