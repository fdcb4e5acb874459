"""Words shared by what is written about a session: days and times, limits, verdicts, Markdown made safe."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo

from wizard.engine.judging import Judged
from wizard.flow.model import Band, Flow, Limit
from wizard.measure import units

SAFETY = {
    "covered": "not isolated",
    "isolated": "isolated",
    "proved-dead": "proved dead",
    "wet": "taps on, plug out",
    "proving": "proving",
    "stopped": "stopped",
}
"""The safety states as people say them; 'covered' promises nothing."""

OUTCOMES = {
    "": "under way",
    "proved": "mended and proved",
    "not-proved": "mended, not proved",
    "no-fault": "no fault confirmed",
    "declined": "repair declined",
    "on-order": "parts on order",
    "stopped": "work stopped",
}
"""How a visit ended, as people say it."""

WHYS = {
    "gate": "gate passed",
    "restart": "the program was started again",
    "lapse": "no key for too long",
    "pause": "a break",
    "correction": "an answer was corrected",
    "visit": "a new visit",
    "stop": "work stopped",
    "closed-up": "closing up",
    "spin-over": "the spin is over",
    "voided": "a step ended it",
}
"""Why a safety state began or ended, as people say it."""

HOWS = {"unable": "not done", "not-fitted": "not fitted", "skipped": "left out"}
"""How a step or an inspection was passed over, as people say it."""

DAMPINGS = {
    "viscous": "fluid damping",
    "friction": "dry friction",
    "both": "fluid damping and dry friction",
}
"""The kinds of damping as people say them."""

GOOD = {"pass": "good", "watch": "to be watched", "fail": "not good"}
"""Verdicts as a customer reads them."""

STATUSES = {
    "P": "published",
    "P*": "published, from memory",
    "C": "common practice",
    "E": "estimate",
    "S": "service sheet",
}
"""What a limit rests on."""


def moment(at: str, zone: tzinfo = UTC) -> datetime | None:
    """A journal's time in a zone; None where none was kept, or what stands there is no time."""
    try:
        return datetime.fromisoformat(at).astimezone(zone)
    except (ValueError, OverflowError):
        return None


def day(at: str, zone: tzinfo = UTC) -> str:
    """'2 March 2026'; empty where no time was kept, 'no date' where what stands there is none."""
    when = moment(at, zone)
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}" if when else "no date" if at else ""


def hour(at: str, zone: tzinfo = UTC) -> str:
    """'09:14'; empty where no time was kept, '--:--' where what stands there is none."""
    when = moment(at, zone)
    return f"{when:%H:%M}" if when else "--:--" if at else ""


# strftime's %B depends on the machine's language.
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def safe(text: str) -> str:
    """A person's words on one line of Markdown, so that none of them is read as Markdown or HTML."""
    flat = " ".join(text.split())
    escaped = re.sub(r"([\\`*_\[\]<>|~#])", r"\\\1", flat)
    return re.sub(r"^([-+]|\d+[.)])(?=\s|$)", lambda m: m[0][:-1] + "\\" + m[0][-1], escaped)


def quoted(text: str) -> list[str]:
    """A person's words as a block quote, its lines kept."""
    lines = text.strip().splitlines() or [""]
    return [f"> {safe(line)}".rstrip() for line in lines]


def sentence(text: str) -> str:
    """The text with a full stop, unless it ends a sentence already."""
    text = text.strip()
    return text if not text or text[-1] in ".!?" else f"{text}."


def also(says: str, words: str) -> str:
    """A sentence, and what a person wrote beside it unless it is the same again."""
    own = sentence(words)
    return says if own.casefold() in ("", sentence(says).casefold()) else f"{says} {own}"


def value(judged: Judged, unit: str) -> str:
    """A judged value with its standard uncertainty and unit, honestly rounded."""
    return units.text(judged.mean, unit, judged.uncertainty) if unit else f"{judged.mean:.4g}"


def edge(top: float, unit: str) -> str:
    """An edge of a limit in its unit."""
    return units.text(top, unit) if unit else f"{top:g}"


def good_range(limit: Limit) -> str:
    """What passes: 'up to 5 mm', '40 to 80 N', '100 mm or more'; empty where nothing does."""
    found: list[tuple[Band | None, Band]] = []
    low: Band | None = None
    for band in limit.bands:
        if band.verdict == "pass":
            found.append((low, band))
        low = band
    return " or ".join(_range(low, band, limit.unit) for low, band in _merged(found))


def _merged(found: Sequence[tuple[Band | None, Band]]) -> list[tuple[Band | None, Band]]:
    """Passing bands side by side make one range."""
    joined: list[tuple[Band | None, Band]] = []
    for low, band in found:
        if joined and joined[-1][1] is low:
            joined[-1] = (joined[-1][0], band)
        else:
            joined.append((low, band))
    return joined


def _range(low: Band | None, band: Band, unit: str) -> str:
    least = low.top if low else None
    if least is None and band.top is None:
        return "any"
    if band.top is None:
        assert low is not None and least is not None
        return f"over {edge(least, unit)}" if low.inclusive else f"{edge(least, unit)} or more"
    if least is None:
        return f"up to {edge(band.top, unit)}" if band.inclusive else f"below {edge(band.top, unit)}"
    return f"{figure(least, unit)} to {edge(band.top, unit)}"


def figure(top: float, unit: str) -> str:
    """An edge's figures without the unit."""
    return edge(top, unit).split(" ")[0]


def bands(limit: Limit) -> str:
    """Every band: 'fail below 30 N; watch below 40 N; pass up to 80 N; fail above'."""
    parts = []
    for band in limit.bands:
        if band.top is None:
            parts.append(f"{band.verdict} above" if len(limit.bands) > 1 else band.verdict)
        else:
            parts.append(
                f"{band.verdict} {'up to' if band.inclusive else 'below'} {edge(band.top, limit.unit)}"
            )
    return "; ".join(parts)


def source(limit: Limit) -> str:
    """Where a limit comes from, its status said once."""
    status = STATUSES.get(limit.status, limit.status)
    said = limit.source.lower().startswith(status)
    return limit.source if said else f"{limit.source} ({status})"


def fact_words(flow: Flow, fact: str, chosen: str) -> str:
    """A fact's value as the flow says it; free text as it was typed."""
    asked = flow.fact(fact)
    known = asked.value(chosen) if asked else None
    return known.says if known else chosen


def people(technician: str, person: str) -> str:
    """'R. Vale, with M. Oak'; '-' where nobody is named."""
    return (f"{technician}, with {person}" if person else technician) if technician else (person or "-")
