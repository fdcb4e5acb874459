"""What is asked and said about a number before and after it is taken. Pure functions; the engine takes the number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from wizard.engine.measuring.judging import Judged, Slot
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import Limit, Reading, Tool
from wizard.measure.quantities import units
from wizard.measure.uncertainty import reading_doubts


def questions(
    reading: Reading, tool: Tool, taken: Sequence[ReadingRecord], slot: Slot, text: str, unit: str
) -> tuple[str, ...]:
    """What to ask about a typed number: finer than its tool, or far from its repeats. None where it can't be read.

    ``unit`` counts where the text has none; what is asked is said in the unit that was meant. The range is the
    engine's to ask.
    """
    try:
        entry = units.read(text, unit)
    except ValueError:
        return ()
    same = [t.value for t in taken if (t.item, t.way) == (slot.item, slot.way) and t.repeat != slot.repeat]
    meant = entry.unit
    fine = reading_doubts.ask([entry.value], meant, tool.resolution if claims(text, entry, tool) else 0.0)
    if not same:
        return fine
    known = {
        *reading_doubts.ask(same, meant, tool.resolution),
        *reading_doubts.ask([entry.value], meant, tool.resolution),
    }
    far = [q for q in reading_doubts.ask([*same, entry.value], meant, tool.resolution) if q not in known]
    own = units.text(entry.value, meant)
    return (*fine, *(q for q in far if q.startswith(own)))


def claims(text: str, entry: units.TypedQuantity, tool: Tool) -> bool:
    """True where a text claims to be read between the marks, if it lies there at all.

    In the tool's own unit every figure counts. Another one has other marks, as on an inch rule: a part of two, four
    ... sixty-four claims nothing, and decimals do where the last is below a quarter of the tool's step.
    """
    if entry.unit == units.find(tool.unit).symbol:
        return True
    if (units.from_si(entry.value, entry.unit) * _PARTS).is_integer():
        return False
    decimals = _DECIMALS.search(text)
    place = 10.0 ** -len(decimals[1].rstrip("0")) if decimals else 1.0
    return units.span_to_si(place, entry.unit) < tool.resolution / 4


_PARTS = 64
_DECIMALS = re.compile(r"[.,](\d+)")


def note(text: str, unit: str) -> str:
    """What was understood otherwise than it was written: 'kg read as kgf'. Empty where there is nothing to say."""
    try:
        return units.read(text, unit).note
    except ValueError:
        return ""


def one_more(
    tool: Tool, limit: Limit | None, taken: Sequence[ReadingRecord], judged: Sequence[Judged]
) -> str:
    """What one more reading of the least sure item would change, as a sentence; empty where nothing is judged."""
    worst = doubtful(judged)
    if limit is None or worst is None:
        return ""
    item, way = place_of(taken, judged, worst)
    values = [t.value for t in taken if (t.item, t.way) == (item, way)]
    edges = [b.top for b in limit.bands if b.top is not None]
    inclusive = [b.inclusive for b in limit.bands if b.top is not None]
    more = reading_doubts.one_more(
        values, tool.resolution, tool.uncertainty, edges, inclusive, [b.verdict for b in limit.bands]
    )
    return f"{worst.name}: {more.says}" if worst.name and len(judged) > 1 else more.says


def doubtful(judged: Sequence[Judged]) -> Judged | None:
    """The item least sure of its band, of which another reading tells most; None where none is judged."""
    known = [j for j in judged if j.chances]
    return min(known, key=lambda j: (j.chances or {}).get(j.band, 1.0), default=None)


def place_of(taken: Sequence[ReadingRecord], judged: Sequence[Judged], item: Judged) -> tuple[int, int]:
    """The item and way of a judged value, which ``judging.judge_readings`` gives in their order."""
    places = sorted({(t.item, t.way) for t in taken})
    return places[list(judged).index(item)]


def again(reading: Reading, taken: Sequence[ReadingRecord], judged: Sequence[Judged]) -> Slot | None:
    """The slot of one more reading, of the item least sure; of the last item read where no limit judges them."""
    if not taken:
        return None
    worst = doubtful(judged)
    item, way = place_of(taken, judged, worst) if worst else (taken[-1].item, taken[-1].way)
    count = max(t.repeat for t in taken if (t.item, t.way) == (item, way)) + 1
    return Slot(item, way, max(count, reading.repeats))


def as_shown(reading: Reading, unit: str, taken: Sequence[ReadingRecord], asked: Slot | None) -> Reading:
    """The reading as its table shows it: in another unit, with a column for each repeat there is or that is asked."""
    repeats = max([reading.repeats, *(t.repeat + 1 for t in taken), asked.repeat + 1 if asked else 0])
    return replace(reading, unit=unit, repeats=repeats)
