"""Trends in words: what each is of, what its rows are, what its figures leave out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.trend_cell import TrendGroup, TrendKind
from wizard.archive.trends.trend_table import TrendRow, TrendTable
from wizard.domain.counting import plural
from wizard.domain.probability import percent

TITLES = {
    TrendKind.RANKED: "Another fault confirmed than was ranked first",
    TrendKind.MINUTES: "Time a step took, by the flow's own",
    TrendKind.LEFT_OUT: "Left out",
    TrendKind.NEAR: "Readings near their limit",
    TrendKind.BACK: "Machines that came back",
    TrendKind.PROOF: "Repairs that failed their proof",
}

HITS = {
    TrendKind.RANKED: "other fault",
    TrendKind.MINUTES: "left out",
    TrendKind.LEFT_OUT: "left out",
    TrendKind.NEAR: "near",
    TrendKind.BACK: "came back",
    TrendKind.PROOF: "failed",
}
"""What a hit is, in the head of its column."""

MEANS = {
    TrendKind.RANKED: (
        "Of sessions with a decision: those that in the end confirmed another fault, or none, than was ranked first "
        "when they first decided. Who decides sees the ranking, so the two are not independent."
    ),
    TrendKind.MINUTES: (
        "The time in the middle by the flow's own, of steps that were answered without a long pause; each session "
        "counts once."
    ),
    TrendKind.LEFT_OUT: (
        "Of sessions that came to it: those that left it out at least once. What is not fitted counts as neither."
    ),
    TrendKind.NEAR: (
        "Of sessions that were judged by a limit: those with a reading that no band of it holds with 95 %."
    ),
    TrendKind.BACK: (
        "Of jobs that are over, at machines with a serial number: those whose machine was seen again within the days. "
        "Whether for the same reason, the two sessions say."
    ),
    TrendKind.PROOF: "Of sessions in which a repair was put to a proof: those in which it failed one.",
}

GROUP_WORDS = {
    TrendGroup.MONTH: "month",
    TrendGroup.FAULT: "fault",
    TrendGroup.PART: "part",
    TrendGroup.MACHINE: "kind of machine",
    TrendGroup.FLOW: "flow and version",
    TrendGroup.STEP: "step",
    TrendGroup.INSPECTION: "inspection",
    TrendGroup.LIMIT: "limit",
}


def head_of(table: TrendTable) -> str:
    """What the rows are of."""
    by = table.asked.rows_by
    first = table.asked.kind is TrendKind.RANKED and by is TrendGroup.FAULT
    return "first-ranked fault" if first else GROUP_WORDS[by]


def title_of(table: TrendTable) -> str:
    """'Machines that came back within 30 days, by month'."""
    within = f" within {plural(table.asked.within, 'day')}" if table.asked.kind is TrendKind.BACK else ""
    return f"{TITLES[table.asked.kind]}{within}, by {head_of(table)}"


def share(value: float) -> str:
    """'4.2 %', '37 %': a share that was counted, which may well be 0 or 100."""
    if 0.0 < value < 0.0005:
        return "<0.1 %"
    return f"{value * 100:.1f} %" if 0.0 < value < 0.0995 else f"{value * 100:.0f} %"


def times(value: float) -> str:
    """'0.84 x'; '?' where nothing bounds it."""
    return f"{value:.2f} x" if math.isfinite(value) else "?"


def interval(table: TrendTable, row: TrendRow) -> str:
    """'0.9 to 8.9 %', '0.7 to 1.1 x'; in words where one session alone says it."""
    if table.asked.kind is not TrendKind.MINUTES:
        return f"{row.low * 100:.1f} to {row.high * 100:.1f} %"
    return f"{row.low:.2f} to {row.high:.2f} x" if math.isfinite(row.high) else "one session"


def value(table: TrendTable, row: TrendRow) -> str:
    """The figure of a row."""
    return times(row.value) if table.asked.kind is TrendKind.MINUTES else share(row.value)


def key_of(row: TrendRow) -> str:
    """What a row is of; a dash where sessions say nothing of it."""
    return row.key.strip() or "-"


def row_sentences(table: TrendTable, row: TrendRow) -> Iterator[str]:
    """All that is known of a row, a sentence each."""
    asked = table.asked
    if asked.kind is TrendKind.MINUTES:
        yield f"{key_of(row)}: {times(row.value)} the flow's {row.own:.1f} min in {plural(row.of, 'session')}."
        yield (
            f"With 95 %: {interval(table, row)}."
            if math.isfinite(row.high)
            else "One session alone doesn't say how far this can be trusted."
        )
        return
    yield f"{key_of(row)}: {row.hits} of {row.of} ({share(row.value)}); with 95 %: {interval(table, row)} (Wilson)."
    others = len(table.rows) > 1
    drawn = f"Drawn to the other rows: {share(row.drawn)}; over" if others else "By these alone: over"
    yield f"{drawn} {share(asked.held)}: {percent(row.over)} likely."
    if asked.rows_by is TrendGroup.MONTH:
        where = "Beyond" if row.outside else "Within"
        yield f"{where} what chance gives a month of {row.of}: {chance(row)} (exact, 99.7 %)."


def chance(row: TrendRow) -> str:
    """'0.0 to 10.0 %': the shares that chance gives a month where all are alike."""
    return f"{row.least * 100:.1f} to {row.most * 100:.1f} %"


def notes(table: TrendTable) -> Iterator[str]:
    """What stands under the rows: all together, what was not counted, what to make of it."""
    asked, whole = table.asked, table.whole
    if asked.kind is not TrendKind.MINUTES:
        yield f"All: {whole.hits} of {plural(whole.of, 'session')} ({share(whole.value)}; {interval(table, whole)})."
    if asked.kind is TrendKind.BACK:
        last = date.fromordinal(table.until).isoformat() if table.until else "no day"
        young, plateless = plural(table.young, "job"), plural(table.plateless, "job")
        yield (
            f"Not counted: {young} younger than {plural(asked.within, 'day')} on {last}, which had no time to come "
            f"back; {plateless} without a serial number."
        )
    elif table.unlooked:
        yield f"Not counted: {plural(table.unlooked, 'session')} not looked at yet, or that can't be read or verified."
    if (same := table.same_faults) is not None and same.of:
        yield (
            f"By fault, {same.hits} of {same.of}; of the same faults all people together would have "
            f"{same.expected:.1f}."
        )
    if asked.among.asked:
        yield f"Only sessions with {filter_words(asked.among)}."
    yield MEANS[asked.kind]
    if len(table.rows) > 1:
        yield "Of twenty intervals of 95 % one misses by chance. Nobody is compared with anybody."


def filter_words(among: ArchiveFilter) -> str:
    """The filters that are set."""
    return ", ".join(f"{name} '{value}'" for name, value in among.asked)


def cell_words(table: TrendTable, row: TrendRow, hits: bool) -> str:
    """The sessions behind a row, in words: 'came back within 30 days, month 2026-03'."""
    asked = table.asked
    within = f" within {plural(asked.within, 'day')}" if asked.kind is TrendKind.BACK else ""
    what = f"{HITS[asked.kind]}{within}" if hits else f"counted for '{TITLES[asked.kind]}'"
    return f"{what}, {head_of(table)} {key_of(row)}"
