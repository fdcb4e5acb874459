"""Texts that a drawing must not read as its own syntax, and a flow that is full of them."""

from __future__ import annotations

from dataclasses import replace

from wizard.flow.model import END, Answer, ChooseStep, Flow, Inspection

TEXTS = (
    "end", 'a "quoted" end', "x|y[z]{w}(v)<b>&amp;", "1. list", "2) list", "- dash", "* star", "`code`",
    "end;graph TB", "%% note", "élan 雪 🙂", "#35; already", '"] --> evil["', "class x y", '\\"', "subgraph",
    "A-->B", 'click a "b"', "o--x", "[/a/]", "<br/>", "line one\nline two", "e\u0301",
)  # fmt: skip


def hostile(flow: Flow) -> Flow:
    """The flow with these texts as ids, titles, actions, answers and conditions of inspections of their own."""
    made = {}
    for text in TEXTS:
        so = {t: frozenset((t,)) for t in TEXTS}
        answers = tuple(Answer(id=t, says=t, next=END, so=so) for t in TEXTS)
        step = ChooseStep(id=f"{text}.", do=text, reach=text, needs=so, may=so, answers=answers)
        made[text] = Inspection(text, text, 1, (step,))
    return replace(flow, inspections={**flow.inspections, **made})
