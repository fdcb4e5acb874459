"""From the plain dicts of a flow's TOML to the frozen model. No checking: what comes here is known to be sound.

The numbers of readings, limits and tools become SI here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from wizard.flow.build_steps import applies, build_inspection, cautions, states, texts
from wizard.flow.evidence import Band, Fault, Finding, Limit, Part, Remedy, Tool
from wizard.flow.model import Bar, Debt, Drawing, Fact, FactValue, Flow, Stop
from wizard.measure.units import find, span_to_si, to_si

Table = Mapping[str, Any]


def build_flow(documents: Mapping[str, Table], drawings: Mapping[str, Drawing], digest: str) -> Flow:
    """Return the flow of ``documents`` (file name -> its TOML as dicts) and its parsed drawings."""
    main = documents["flow.toml"]
    head = main["flow"]
    limits = build_limits(documents.get("limits.toml", {}).get("limit", ()))
    inspections = [
        build_inspection(document, limits)
        for name, document in sorted(documents.items())
        if name.startswith("inspections/")
    ]
    return Flow(
        id=head["id"],
        title=head["title"],
        complaint=head["complaint"],
        version=head["version"],
        digest=digest,
        notice=head["notice"],
        kind=head["kind"],
        facts=tuple(_fact(f) for f in main.get("fact", ())),
        inspections={i.id: i for i in inspections},
        find=texts(head, "find"),
        prove=texts(head, "prove"),
        leave=head["leave"],
        handover=head["handover"],
        faults={f["id"]: _fault(f) for f in documents.get("faults.toml", {}).get("fault", ())},
        findings={f["id"]: _finding(f) for f in documents.get("findings.toml", {}).get("finding", ())},
        limits=limits,
        tools={t["id"]: _tool(t) for t in main.get("tool", ())},
        bars={b["id"]: Bar(b["id"], b["says"], texts(b, "forbids")) for b in main.get("bar", ())},
        debts={d["id"]: _debt(d) for d in main.get("debt", ())},
        stops={s["id"]: _stop(s) for s in main.get("stop", ())},
        drawings=dict(drawings),
        occupancy=float(head.get("occupancy", 0.3)),
    )


def build_limits(tables: Iterable[Table], status: str | None = None) -> dict[str, tuple[Limit, ...]]:
    """Return limit id -> its variants, in the order of the file. ``status`` overrides that of the file."""
    limits: dict[str, tuple[Limit, ...]] = {}
    for table in tables:
        limit = _limit(table, status or table["status"])
        limits[limit.id] = (*limits.get(limit.id, ()), limit)
    return limits


def _limit(table: Table, status: str) -> Limit:
    """Return one limit, its edges in SI."""
    unit = table["unit"]
    return Limit(
        id=table["id"],
        says=table["says"],
        unit=find(unit).symbol,
        bands=tuple(_band(band, unit) for band in table["band"]),
        source=table["source"],
        status=status,
        applies=applies(table),
    )


def _band(table: Table, unit: str) -> Band:
    """Return one band, its upper edge in SI."""
    edge = table.get("up_to", table.get("below"))
    return Band(
        id=table["id"],
        verdict=table["verdict"],
        top=None if edge is None else to_si(edge, unit),
        inclusive="up_to" in table,
        source=table.get("source", ""),
    )


def _fact(table: Table) -> Fact:
    """Return one machine fact."""
    return Fact(
        id=table["id"],
        ask=table["ask"],
        values=tuple(_value(v) for v in table.get("value", ())),
        applies=applies(table),
        usual=table.get("usual", ""),
        required=table.get("required", True),
    )


def _value(table: Table) -> FactValue:
    """Return one value of a machine fact."""
    return FactValue(
        table["id"], table["says"], table.get("note", ""), texts(table, "bar"), table.get("stop", "")
    )


def _debt(table: Table) -> Debt:
    """Return one debt."""
    return Debt(table["id"], table["says"], texts(table, "before"), float(table.get("minutes", 0.0)))


def _stop(table: Table) -> Stop:
    """Return one reason to stop work."""
    return Stop(table["id"], table["says"], table["call"], texts(table, "make_safe"), texts(table, "bar"))


def _tool(table: Table) -> Tool:
    """Return one tool, in SI."""
    unit = table["unit"]
    return Tool(
        id=table["id"],
        says=table["says"],
        unit=find(unit).symbol,
        resolution=span_to_si(table["resolution"], unit),
        uncertainty=span_to_si(table["uncertainty"], unit),
        needs=table.get("needs", ""),
    )


def _finding(table: Table) -> Finding:
    """Return one finding."""
    return Finding(
        id=table["id"],
        says=table["says"],
        leak=float(table["leak"]),
        weights={fault: float(p) for fault, p in table["weights"].items()},
        applies=applies(table),
    )


def _fault(table: Table) -> Fault:
    """Return one fault with its remedy."""
    return Fault(
        id=table["id"],
        says=table["says"],
        plain=table["plain"],
        share={kind: float(share) for kind, share in table["share"].items()},
        remedy=_remedy(table["remedy"]),
        alone=table.get("alone", False),
        bar=texts(table, "bar"),
        hazard=table.get("hazard", ""),
        confirm=texts(table, "confirm"),
    )


def _remedy(table: Table) -> Remedy:
    """Return one remedy."""
    return Remedy(
        says=table["says"],
        do=texts(table, "do"),
        minutes=float(table["minutes"]),
        states=states(table["state"]),
        parts=tuple(_part(p) for p in table.get("part", ())),
        companions=texts(table, "companions"),
        caution=tuple((c.word, c.says) for c in cautions(table)),
        people=table.get("people", 1),
        owe=texts(table, "owe"),
        pay=texts(table, "pay"),
        lift=texts(table, "lift"),
        recheck=texts(table, "recheck"),
        worth=table.get("worth", ""),
        risk=table.get("risk", ""),
    )


def _part(table: Table) -> Part:
    """Return one part to fit."""
    return Part(table["id"], table["says"], table.get("count", 1), table.get("per", ""))
