"""Texts that a drawing must not read as its own syntax, and a flow that is full of them."""

from __future__ import annotations

from dataclasses import replace

from wizard.flow.model import END, Answer, Flow

TEXTS = (
    "end", 'a "quoted" end', "x|y[z]{w}(v)<b>&amp;", "1. list", "2) list", "- dash", "* star", "`code`",
    "end;graph TB", "%% note", "élan 雪 🙂", "#35; already", '"] --> evil["', "class x y", '\\"', "subgraph",
    "A-->B", 'click a "b"', "o--x", "[/a/]", "<br/>", "line one\nline two", "e\u0301",
)  # fmt: skip


def hostile(flow: Flow) -> Flow:
    """The flow with these texts as ids, titles, actions, answers, debts and bars of inspections of their own."""
    (sample, *_) = (i for i in flow.inspections.values() if not i.gate)
    step = sample.steps[0]
    made = {}
    for text in TEXTS:
        answers = tuple(Answer(id=t, says=t, next=END, owe=(t,), bar=(t,)) for t in TEXTS)
        asked = replace(step, id=f"{text}.", do=text, kind="choose", answers=answers, does=(text,))
        made[text] = replace(sample, id=text, title=text, steps=(asked,), opens=(text,))
    return replace(flow, inspections={**flow.inspections, **made})
