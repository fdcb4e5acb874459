"""``steadfoot session signoff``, ``comment`` and ``answer``: what is written beside a session, without the screens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.sessions.review_desk import ReviewDesk
    from wizard.sessions.session_handle import Loaded
    from wizard.sessions.sign_off import Review

RULINGS = ("accept", "return", "train")

by = click.option("--by", default="", metavar="NAME", help="Who writes it.")
words = click.option("--words", default="", metavar="TEXT", help="What is to be read, in words.")


@click.command(
    epilog=examples(
        "steadfoot session signoff 2026-11-25-a",
        'steadfoot session signoff 2026-11-25-a --ruling return --by "C. Marsh" --words "Which damper was it?"',
    )
)
@click.argument("name", metavar="ID")
@click.option("--ruling", type=click.Choice(RULINGS), default=None, help="What the sign-off comes to.")
@by
@words
@as_json
@click.pass_obj
def signoff(
    setting: CommandContext, name: str, ruling: str | None, by: str, words: str, as_json: bool
) -> None:
    """Sign a session off as it stands: accept it, return it to the technician, or say what is to be learned from it.

    Without --ruling it shows what reviewers wrote and what was answered, and writes nothing. The journal is never
    written to.
    """
    from wizard.sessions.reviews.review_rows import Ruling

    if ruling is None and (by or words):
        raise UsageError("Say what the sign-off comes to: --ruling accept, return or train.")

    def write(loaded: Loaded, desk: ReviewDesk) -> Review:
        return desk.sign(by, Ruling(str(ruling)), words, loaded.chain, len(loaded.records))

    _write(setting, name, as_json, None if ruling is None else write)


@click.command(
    epilog=examples('steadfoot session comment 2026-11-25-a --event 37 --by "C. Marsh" --words "Held how?"')
)
@click.argument("name", metavar="ID")
@click.option(
    "--event", type=click.IntRange(0), default=0, metavar="N", help="At this event. [default: the whole]"
)
@by
@words
@as_json
@click.pass_obj
def comment(setting: CommandContext, name: str, event: int, by: str, words: str, as_json: bool) -> None:
    """Write a reviewer's note at an event of a session, or on the whole of it; the technician is shown it."""

    def write(loaded: Loaded, desk: ReviewDesk) -> Review:
        if event and event not in {record.seq for record in loaded.records}:
            raise UsageError(
                f"Session {loaded.name} has no event {event}; the last is {loaded.records[-1].seq}."
            )
        return desk.note(by, words, event)

    _write(setting, name, as_json, write)


@click.command(
    epilog=examples(
        'steadfoot session answer 2026-11-25-a --by "R. Vale" --words "The left one, held level."',
        'steadfoot session answer 2026-11-25-a --to 2 --by "R. Vale" --words "Done."',
    )
)
@click.argument("name", metavar="ID")
@click.option(
    "--to", type=click.IntRange(1), default=None, metavar="N",
    help="What is answered, by its number in 'session signoff'. [default: all that waits]",
)  # fmt: skip
@by
@words
@as_json
@click.pass_obj
def answer(setting: CommandContext, name: str, to: int | None, by: str, words: str, as_json: bool) -> None:
    """Answer what a reviewer wrote on a session. It is kept beside the record; the reviewer sees it."""
    from wizard.sessions import sign_off
    from wizard.sessions.reviews.review_text import rows_by_time

    def write(loaded: Loaded, desk: ReviewDesk) -> Review:
        review = sign_off.load(desk.folder)
        rows = rows_by_time(review)
        if to is not None and to > len(rows):
            raise UsageError(f"There is no {to}: a reviewer wrote {len(rows)} things on {loaded.name}.")
        wanted = review.waiting if to is None else (rows[to - 1],)
        if not wanted:
            raise UsageError(f"Nothing on {loaded.name} waits for an answer. Name one with --to.")
        return desk.respond(by, words, wanted)

    _write(setting, name, as_json, write)


def _write(
    setting: CommandContext, name: str, as_json: bool, write: Callable[[Loaded, ReviewDesk], Review] | None
) -> None:
    """Write, if there is something to be written; then show the whole review."""
    from wizard.sessions import sign_off
    from wizard.sessions.review_desk import ReviewDesk
    from wizard.sessions.reviews.review_text import review_lines

    store = setting.store
    name = setting.find(name)
    loaded = store.load(name)
    desk = ReviewDesk(store, name)
    review = write(loaded, desk) if write else sign_off.load(desk.folder)
    if as_json:
        write_json(_table(name, review))
        return
    lines = tuple(review_lines(review, loaded.chain, len(loaded.records)))
    write_lines([f"Session {name}: {'as reviewed' if lines else 'no reviewer wrote anything'}."], whole=True)
    write_lines(lines)
    if desk.unsigned:
        write_lines([desk.unsigned])


def _table(name: str, review: Review) -> dict[str, Any]:
    from wizard.sessions.reviews.review_rows import row_id
    from wizard.sessions.reviews.review_text import rows_by_time

    waiting = review.waiting
    rows = [
        {**asdict(row), "kind": type(row).__name__, "id": row_id(row), "waits": row in waiting}
        for row in rows_by_time(review)
    ]
    return {"session": name, "rows": rows, "responses": [asdict(one) for one in review.responses]}
