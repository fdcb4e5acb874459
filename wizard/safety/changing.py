"""How a belief changes, on integers: shown, answered, left alone, begun anew, forgotten, released."""

from __future__ import annotations

from wizard.domain.chosen_answers import chosen_text
from wizard.safety.belief_encoding import ConditionBits
from wizard.safety.tables import ActMasks, AnswerMasks, Tables


def show(tables: Tables, bits: int, act: ActMasks) -> int:
    """The belief once a step stands on the screen: all that may come of it may be so."""
    return tables.drift.settle(bits | act.may)


def answer(tables: Tables, bits: int, text: AnswerMasks) -> tuple[int, tuple[ConditionBits, ...]]:
    """The belief after an answer, and the conditions on which it contradicts what was believed.

    What the act changes is put; the rest is narrowed. Where nothing would be left, old and new are both kept. A latch
    that is believed stays.
    """
    after = bits & ~text.over | text.put | bits & text.kept
    against: tuple[ConditionBits, ...] = ()
    for f, mask in text.cut:
        both = bits & mask
        if not both:
            against += (f,)
            after |= mask
        else:
            after = after & ~f.all | both | bits & f.latch
    return tables.drift.settle(after), against


def ticked(tables: Tables, bits: int, act: ActMasks) -> tuple[int, str] | None:
    """The belief after ticking all that may be as usual, with the ids ticked; None where that contradicts
    something.
    """
    given: list[str] = []
    for tick in act.ticks:
        own = bits & tick.field.all
        for chosen, mask in tick.sayings:
            text = mask if own & act.changes else own & mask
            if text:
                bits = bits & ~tick.field.all | text | own & tick.field.latch
                given += [tick.id] if chosen else []
                break
        else:
            if not own & tick.field.latch:
                return None
    return tables.drift.settle(bits), chosen_text(given)


def away(tables: Tables, bits: int) -> int:
    """The belief after nobody attended for a while."""
    return tables.drift.settle(tables.drift.away(bits))


def anew(tables: Tables, bits: int) -> int:
    """The belief of one who knows nothing but which latches stand: all values, and those latches."""
    return forget(tables, bits, tables.encoding.top | tables.encoding.latches)


def forget(tables: Tables, bits: int, touched: int) -> int:
    """The belief with all values for the conditions whose bits are ``touched``; a latch that is believed stays."""
    return tables.drift.settle(bits | touched & tables.encoding.top)


def release(tables: Tables, bits: int, f: ConditionBits) -> int:
    """The belief once a latch is released: not asked, which is all values but the latches."""
    return tables.drift.settle(bits & ~f.all | f.all & ~f.latch)
