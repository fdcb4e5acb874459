"""The stops of a job, each with its make-safe lines, and with who released what it latched."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import tzinfo

from wizard.documents.content.made_safe import act_words, otherwise
from wizard.documents.content.stoppages import StopInForce, all_stoppages, stoppages
from wizard.documents.document_tree import BulletList, ListItem, Section, phrase
from wizard.documents.text.formatting import also, clock, day, hour, sentence
from wizard.documents.text.stop_text import what_it_takes
from wizard.engine.queries import stopped
from wizard.engine.state.job_state import ReleaseRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow


def stop_section(view: JobView, zone: tzinfo) -> Section | None:
    """Every stop, also one that a later visit took up; None where there was none."""
    items = tuple(_item(view, one, zone) for one in all_stoppages(view))
    return Section("Work stopped", (BulletList(items),)) if items else None


def _item(view: JobView, one: StopInForce, zone: tzinfo) -> ListItem:
    statement = also(sentence(one.stop.says), one.stoppage.words)
    lead = f"{clock(view.state, one.stoppage.at, zone)}, visit {one.stoppage.visit}: {statement}"
    stands = otherwise(view) if one in stoppages(view) else ()
    lines = (*_made_safe(view, one), *stands, *release_lines(view, one, zone))
    return ListItem((phrase(lead),), tuple(ListItem((phrase(line),)) for line in lines))


def _made_safe(view: JobView, one: StopInForce) -> Iterator[str]:
    sent_out = stopped.sent_out(view, one.stoppage)
    for number, act in enumerate(one.stop.make_safe):
        yield f"{act} ({act_words(one.stoppage.done.get(number), sent_out)})"


def release_lines(view: JobView, one: StopInForce, zone: tzinfo) -> Iterator[str]:
    """Who released what the stop latched, and when; that something was not released; who answered its cause well on a
    later visit, or that nobody did; that work was stopped for it again; or that it was a slip.
    """
    flow = view.flow
    if one.stoppage.slip:
        when = f"{day(one.stoppage.slip_at, zone)} {hour(one.stoppage.slip_at, zone)}"
        yield f"Taken back as a slip, {when}. {sentence(one.stoppage.slip)}"
        return
    for release in one.releases:
        yield _release(flow, release, zone)
    if not one.stoppage.cleared and (again := stopped.stopped_again(view.state, one.stoppage)) is not None:
        yield f"Work was stopped for it again, {day(again.at, zone)} {hour(again.at, zone)}."
        return
    for name in one.standing:
        before = any(r.condition == name and r.seq < one.stoppage.seq for r in view.state.releases)
        since = " since then" if before else ""
        yield f"Not released{since}: {flow.conditions[name].says}. {what_it_takes(one.stop)}".strip()
    if one.stoppage.cleared:
        when = f"{day(one.stoppage.cleared_at, zone)} {hour(one.stoppage.cleared_at, zone)}"
        yield f"Asked anew and found well, by {one.stoppage.cleared_by}, {when}."
    elif not one.standing:
        yield "Not asked anew yet. That comes before any other work."


def _release(flow: Flow, release: ReleaseRecord, zone: tzinfo) -> str:
    condition = flow.conditions.get(release.condition)
    what = condition.says if condition else release.condition
    when = f"{day(release.at, zone)} {hour(release.at, zone)}"
    return f"Released: {what}, by {release.name}, {when}. {sentence(release.words)}"
