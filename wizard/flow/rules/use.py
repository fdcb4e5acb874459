"""What is declared is used: shares, debts that can be paid, nothing that no one names."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.book import Book

_NEAR = 3.0


def shares(book: Book) -> Iterator[Problem]:
    """Shares are of kinds that there are, and those of a kind come to about 100."""
    fact = book.flow.fact(book.flow.kind)
    kinds = [v.id for v in fact.values] if fact else []
    sums = dict.fromkeys(kinds, 0.0)
    for fault in book.tables("faults.toml", "fault"):
        for kind, share in fault.table["share"].items():
            if kind not in sums:
                said = f'"{kind}" is not a value of fact "{book.flow.kind}".{nearest(kind, kinds)}'
                yield book.error(fault, ("share", kind), said, "share", key=True)
            elif not 0 <= share <= 100:
                yield book.error(
                    fault, ("share", kind), f"a share is 0 to 100 percent, not {share:g}", "share"
                )
            else:
                sums[kind] += share
    if "faults.toml" in book.source.doubtful or "faults.toml" not in book.source.sound:
        return
    for kind, total in sums.items():
        if abs(total - 100) > _NEAR:
            tables = list(book.tables("faults.toml", "fault"))
            first = next((t for t in tables if kind in t.table["share"]), tables[0])
            said = f"the shares of {kind} come to {total:g} over all faults, not to about 100"
            yield book.warning(first, ("share", kind), said, "share")


def debts(book: Book) -> Iterator[Problem]:
    """Every debt is paid by some step or remedy."""
    if book.source.partial:
        return
    flow = book.flow
    paid = {d for i in flow.inspections.values() for s in i.steps for a in s.answers for d in a.pay}
    paid |= {d for fault in flow.faults.values() for d in fault.remedy.pay}
    for spot in book.tables("flow.toml", "debt"):
        if spot.table["id"] not in paid:
            said = 'nothing pays this debt, so no job could be closed. Write pay = ["..."] on a step'
            yield book.error(spot, ("id",), said, "debt")


def measured_again(book: Book) -> Iterator[Problem]:
    """What a reading confirms is read again once it is mended."""
    steps = {f"{at.inspection.id}.{at.step.id}": at.step for at in book.steps()}
    for spot in book.tables("faults.toml", "fault"):
        fault = book.flow.faults.get(spot.table["id"])
        if fault is None or fault.alone or fault.remedy.recheck:
            continue
        read = [name for name in fault.confirm if name in steps and steps[name].limit]
        if read:
            said = f'"{read[0]}" confirms it, and nothing is measured after its repair. Write recheck = ["{read[0]}"]'
            yield book.warning(spot.within("remedy"), (), said, "recheck")


def unused(book: Book) -> Iterator[Problem]:
    """Whatever has an id is named somewhere."""
    named = _named(book)
    for file, keys in (
        ("flow.toml", ("bar", "debt", "stop", "tool")),
        ("limits.toml", ("limit",)),
        ("findings.toml", ("finding",)),
    ):
        for key in keys:
            for spot in book.tables(file, key):
                if (key, spot.table["id"]) not in named:
                    yield book.warning(spot, ("id",), "nothing uses this. Use it, or take it out", "unused")
    listed = {*book.flow.find, *book.flow.prove, book.flow.leave, book.flow.handover}
    for spot, inspection in book.inspections():
        if not inspection.gate and inspection.id not in listed:
            said = "this is in no order. Name it in find or prove of flow.toml, or it is only on the job map"
            yield book.warning(spot, ("id",), said, "unused")


def _named(book: Book) -> set[tuple[str, str]]:
    """Return (kind, id) of all that is named: bars, debts, stops, tools, limits and findings."""
    flow = book.flow
    named: set[tuple[str, str]] = set()
    for fact in flow.facts:
        for value in fact.values:
            named |= {("stop", value.stop)} | {("bar", b) for b in value.bar}
    for stop in flow.stops.values():
        named |= {("bar", b) for b in stop.bar}
    for fault in flow.faults.values():
        named |= {("bar", b) for b in fault.bar} | {("debt", d) for d in fault.remedy.owe}
    for inspection in flow.inspections.values():
        named |= {("debt", d) for d in inspection.opens}
    for at in book.steps():
        step = at.step
        named |= {("limit", step.limit), ("stop", step.unable.stop)} | {("finding", f) for f in step.evidence}
        named |= {("tool", step.reading.tool)} if step.reading else set()
        for answer in step.answers:
            named |= {("bar", b) for b in answer.bar} | {("debt", d) for d in answer.owe}
            named |= {("stop", answer.stop), ("stop", answer.then.removeprefix("stop:"))}
            named |= {("finding", f) for f in (*answer.finds, *answer.rules_out, *answer.unticked)}
    return named


def evidence(book: Book) -> Iterator[Problem]:
    """What is found after the repair is no evidence for the ranking, so there nothing is found or ruled out."""
    for at in book.steps():
        if at.inspection.after_only:
            for spot in (at.spot, *at.spot.below("answer"), *at.spot.below("on")):
                for key in ("finds", "rules_out", "unticked", "evidence"):
                    if spot.table.get(key):
                        said = f'"{key}" does nothing here: what is after_only is no evidence. Take it out'
                        yield book.warning(spot, (key,), said, "kind", key=True)


RULES = (shares, debts, measured_again, evidence)
