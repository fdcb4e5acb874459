"""The words for where the hands go: of a machine on its feet, of one on blocks, and of one tilted and propped."""

from __future__ import annotations

import pytest

from tests.engine.safety.test_repair_way import guessed
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import badge
from wizard.screens.text.reach_text import hands_here, source_words
from wizard.screens.viewmodels.faults.remedy_words import place_words

WORDS = {
    "panel": "Hands on terminals, motor or wiring",
    "below": "Hands under a tilted machine",
    "further": "Hands under one tilted past its angle",
}
RAISED = {"panel": (), "below": ("ON BLOCKS",), "further": ("PROPPED",)}


@pytest.mark.parametrize("way", WORDS)
def test_a_repair_says_whether_it_is_done_on_the_floor_or_from_below(way: str) -> None:
    """The dampers of one machine by three ways: the line under the fault, and why hands go there."""
    job = guessed()
    job.do(c.Prepare("dampers-worn"))
    job.answer(way)
    job.do(c.Leave())
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    fault = job.flow.faults["dampers-worn"]
    assert place_words(job.view, fault) == WORDS[way]
    hands, source = hands_here(job.view)
    assert hands.startswith(f"{WORDS[way]}.")
    assert ("tilted" in hands) == (way != "panel")
    assert "[" not in source and (way == "panel" or "propped" in source)
    words = badge(job.view).words
    assert all(word in words for word in RAISED[way]), words
    assert way != "panel" or not {"ON BLOCKS", "PROPPED", "TILTED"} & set(words)


def test_marks_of_a_source_are_said_in_words() -> None:
    """An estimate says so, and what is from memory; what was read in print needs no word."""
    assert source_words("29 CFR 1910.147 [P]; 15 degrees [E]; IEC 60335-1 [P*]") == (
        "29 CFR 1910.147; 15 degrees (estimate); IEC 60335-1 (from memory)"
    )
