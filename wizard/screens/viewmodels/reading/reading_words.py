"""What is said of a reading: the verdict of all, the signs to type, one judged in words, where its limit comes from."""

from __future__ import annotations

from wizard.documents.charts import limit_ruler
from wizard.documents.text import limit_text
from wizard.engine.measuring.computing import Computation
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Limit
from wizard.screens.text.charset import plain
from wizard.screens.text.unit_text import beside, system_of
from wizard.screens.text.verdict_signs import verdict_word
from wizard.screens.viewmodels.reading.step_readings import StepReadings


def verdict_text(readings: StepReadings, signs: bool = True) -> str:
    """The verdict of all readings, with what no table or ruler shows; a sign before its word, unless left out."""
    outcome = readings.outcome
    word = verdict_word(outcome.verdict, plain()) if signs else outcome.verdict or ""
    word = word or "All read"
    value = limit_ruler.value_words(outcome.items[0], readings.unit) if readings.alone else ""
    doubt = next((j.says for j in outcome.items if j.doubted), "")
    return ", ".join(text for text in (word, value.replace("±", "+-" if plain() else "±"), doubt) if text)


def sign_words(readings: StepReadings) -> str:
    """'+ right high, - left high'; empty where no sign is asked for."""
    signs = readings.reading.signs(readings.slot.item, readings.slot.way) if readings.slot else None
    return f"+ {signs.plus}, - {signs.minus}" if signs else ""


def judged_words(judged: Judged, unit: str) -> str:
    """'damper 2, out: 31.2 ± 1.9 N, watch': one judged reading, without signs."""
    value = limit_ruler.value_words(judged, unit, plain())
    value = ", ".join(text for text in (value, judged.verdict or "") if text)
    return f"{judged.name}: {value}" if judged.name else value


def source_words(limit: Limit, unit: str = "") -> str:
    """Where a limit comes from, for people: 'Pull of one damper. Source: ... (estimate)'.

    Where another ``unit`` than the limit's own is on screen, each measure has its value in that system behind it.
    """
    return beside(f"{limit.says}. {limit_text.source(limit)}", system_of(limit.unit, unit))


def not_computed(computed: Computation) -> str:
    """Why nothing can be computed, and what Enter does then, as sentences; empty where it was."""
    if computed.outcome is not None:
        return ""
    why = computed.why.removeprefix("It can't be computed: ")
    return f"It can't be computed: {why[0].lower()}{why[1:]} Enter goes on without it."
