"""What is written beside the answers: a note, a photo, a correction of an earlier answer, a stop."""

from __future__ import annotations

from pathlib import Path

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Step
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import LINE_LENGTH, TEXT_LENGTH
from wizard.lines.inquiry.file_choice import chosen_file
from wizard.lines.terminal.line_asking import ask, one_of, typed, within
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.layout.controller import Attach
from wizard.screens.text.shared_sentences import (
    ABOUT_NOTE,
    ASKED_AGAIN,
    CAPTION,
    CORRECTING,
    IN_RECORD,
    NONE_TO_CORRECT,
    NOTHING_WRITTEN,
    RIGHT_FIRST,
    SAY_WHY,
    WHAT_PHOTO,
    WHY_STOP,
)
from wizard.screens.text.step_place import note_place
from wizard.screens.viewmodels.correctable import (
    CorrectableEntry,
    CorrectableKind,
    aside_words,
    choices,
    correction,
    entries,
)
from wizard.screens.viewmodels.photo_files import newest
from wizard.screens.viewmodels.questions import TextQuestion

SHOWN = 12
"""Entries that are listed at once; 'more' lists the next."""


def write_note(host: LineHost) -> None:
    """A note at the step on hand, or at none."""
    host.talk.out.gap()
    host.say(f"A note. {note_place(host.controller.view)}")
    about = ABOUT_NOTE
    text = typed(
        host.talk,
        "Your words, or /back",
        about,
        lambda text: "" if text else NOTHING_WRITTEN,
        TEXT_LENGTH,
    )
    if text:
        host.act(cmd.AddNote(text))
        host.say("The note is kept.")


def keep_photo(host: LineHost) -> None:
    """A photo by its path, and a caption."""
    host.talk.out.gap()
    host.say(
        "A photo. The file is copied into the session with its SHA-256, so that nobody can change it later."
    )
    source = chosen_file(host.talk, "a photo", _pictures(), newest)
    if source is None:
        return
    says = f"{harmless(source.name)}. {CAPTION}"
    caption = ask(host.talk, TextQuestion(WHAT_PHOTO, says, empty=True))
    if caption is not None:
        before = host.controller.state.seq
        host.act(Attach(source, caption))
        if host.controller.state.seq != before:
            host.say("The photo is kept.")


def _pictures() -> Path:
    """The folder where this computer keeps pictures."""
    from platformdirs import user_pictures_path

    return user_pictures_path()


def stop_work(host: LineHost) -> None:
    """Stop work: the reason by its number, whom to call, Enter."""
    stops = tuple(host.controller.flow.stops.values())
    host.talk.out.gap()
    host.say(WHY_STOP)
    chosen = one_of(host.talk, [(stop.id, stop.says) for stop in stops])
    stop = next((s for s in stops if s.id == chosen), None)
    if stop is None:
        return
    host.say(f"Call: {stop.call}")
    about = "Enter alone stops work now. back goes back and stops nothing."
    while (text := within(host.talk, "Enter stops work now, or back", about, False)) is not None:
        if not text:
            host.act(cmd.StopWork(stop.id, stop.says))
            return
        host.say(about)


def correct(host: LineHost) -> None:
    """Correct an earlier answer, reading or fact: which one, what it should be, and why."""
    view = host.controller.view
    host.talk.out.gap()
    host.say(f"{CORRECTING}. The earlier one stays in the record.")
    entry = _which(host, entries(view))
    if entry is None:
        return
    again = f" {ASKED_AGAIN}" if entry.asked_again else ""
    host.say(f"{entry.asked} It was: {entry.sentence}.{again}")
    right = _right(host, entry)
    if right is None:
        return
    if entry.kind is CorrectableKind.COMPLAINT:
        host.act(correction(entry, right))
        return
    if aside := aside_words(view, entry, right):
        host.say(aside)
    why = typed(
        host.talk,
        "Why is it corrected, or /back",
        IN_RECORD,
        lambda text: "" if text else SAY_WHY,
        TEXT_LENGTH,
    )
    if why is not None:
        host.act(correction(entry, right, why))


def _which(host: LineHost, found: tuple[CorrectableEntry, ...]) -> CorrectableEntry | None:
    """The entry that is meant, by its number; the newest are listed first, a few at once."""
    if not found:
        host.say(NONE_TO_CORRECT)
        return None
    shown = 0
    about = "Type the number of the answer that was wrong; Enter alone lists older ones. back goes back."
    while True:
        for n, entry in enumerate(found[shown : shown + SHOWN], start=shown + 1):
            host.talk.say(f"{entry.title}: {entry.asked} It was: {entry.sentence}.", f"{n}: ")
        shown = min(len(found), shown + SHOWN)
        older = ", Enter lists older ones" if shown < len(found) else ""
        text = within(host.talk, f"Which one, {span(shown)}{older}, or back", about, False)
        if text is None:
            return None
        if number := number_in(text, shown):
            return found[number - 1]
        if text or not older:
            host.say(f"There is no {echoed(text)} here. {about}")
            shown = max(0, shown - SHOWN)


def _right(host: LineHost, entry: CorrectableEntry) -> tuple[str, ...] | None:
    """What is right: an answer by its number, several where several may be ticked, or a text."""
    offered = choices(host.controller.view, entry)
    if not offered:
        long = TEXT_LENGTH if entry.kind is CorrectableKind.COMPLAINT else LINE_LENGTH
        text = typed(
            host.talk,
            "What is right, or /back",
            "Type what is right.",
            lambda text: "" if text else RIGHT_FIRST,
            long,
        )
        return (text,) if text else None
    step = _step(host, entry)
    if step is None or not step.many:
        chosen = one_of(host.talk, offered)
        return (chosen,) if chosen is not None else None
    for n, (_id, says) in enumerate(offered, start=1):
        host.talk.say(says, f"{n}: ")
    about = "Type the numbers of all that are right, on one line; Enter alone for none of them."
    while (text := within(host.talk, f"Numbers, {span(len(offered))}, or back", about, False)) is not None:
        numbers = text.replace(",", " ").split()
        ticked = [number_in(one, len(offered)) for one in numbers]
        if all(ticked):
            return tuple(offered[number - 1][0] for number in dict.fromkeys(ticked))
        host.say(about)
    return None


def _step(host: LineHost, entry: CorrectableEntry) -> Step | None:
    """The step of an answer, or None for a reading or a fact."""
    if entry.kind is not CorrectableKind.ANSWER:
        return None
    records = host.controller.state.answer_records
    given = next(g for g in records if str(g.seq) == entry.key and not g.aside)
    return host.controller.flow.inspections[given.inspection].step(given.step)
