"""All keys, declared once: the bindings, the line at the foot, the help and the line mode are made from this table.

Letters are free while no field has the focus; function keys always are. No control keys: terminals and
multiplexers take them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

UNDO, MAP = "undo", "map"
"""The ids of two keys that screens ask for by their names."""


@dataclass(frozen=True, slots=True)
class Key:
    """One command: its keys as Textual calls them, how they are written (letter, function key), label and help."""

    id: str
    keys: str
    action: str
    letter: str
    function: str
    label: str
    help: str


# fmt: off
KEYS = {
    key.id: key
    for key in (
        Key("go", "enter", "go", "Enter", "Enter", "go on", "Go on, or take what is marked."),
        Key("done", "enter", "go", "Enter", "Enter", "done", "Done as asked: go on."),
        Key("judge", "enter", "go", "Enter", "Enter", "take it", "Take what is typed, or go on with the verdict."),
        Key("cursor", "", "", "Up Down", "Up Down", "choose", "Move the mark up and down."),
        Key("digits", ",".join("123456789"), "", "1-9", "1-9", "answer", "Give the answer with that digit."),
        Key("picture", "tab", "picture", "Tab", "Tab", "drawing", "Show the drawing, or the step again."),
        Key("see-whole", "", "", "Tab", "Tab", "whole", "Show where it is on the whole machine."),
        Key("see-closeup", "", "", "Tab", "Tab", "close-up", "Show the part in hand from close by."),
        Key(UNDO, "u,f3", "job('undo')", "u", "F3", "undo", "Take the last answer or reading back."),
        Key("unable", "x,f4", "unable", "x", "F4", "can't", "It can't be done, or it is not fitted: say why."),
        Key("help", "question_mark,f1", "help", "?", "F1", "help", "What this screen is for, and its keys."),
        Key(MAP, "m,f2", "job('map')", "m", "F2", "map", "Leave for the job map. Its place is kept."),
        Key("note", "n,f5", "job('note')", "n", "F5", "note", "Write a note at this step."),
        Key("photo", "p,f6", "job('photo')", "p", "F6", "photo", "Keep a photo at this step."),
        Key("correct", "c,f7", "job('correct')", "c", "F7", "fix", "Correct an earlier answer, with a reason."),
        Key("break", "b,f8", "job('break')", "b", "F8", "break",
            "A break, or another person: what may change is asked."),
        Key("stands", "i,f11", "job('stands')", "i", "F11", "machine", "How the machine stands, and since when."),
        Key("clear", "r", "clear", "r", "r", "clear it", "Say who clears the stop, and what was done."),
        Key("slip", "u,f3", "slip", "u", "F3", "a slip", "The stop came of a slip: say what is so. It is asked anew."),
        Key("theme", "t,f9", "theme", "t", "F9", "light", "Change between dark and light."),
        Key("stop", "s,f10", "job('stop')", "s", "F10", "STOP WORK", "Stop work now, and say why."),
        Key("leave", "f12", "leave", "F12", "F12", "leave", "Leave the program. All is kept."),
        Key("new", "n", "new", "n", "n", "new job", "Begin a job; which one is asked where there are several."),
        Key("begin", "enter", "", "Enter", "Enter", "begin", "Begin the job of the marked line."),
        Key("take-up", "enter", "", "Enter", "Enter", "take up", "Resume the marked job."),
        Key("back", "escape", "back", "Esc", "Esc", "back", "Go back without doing anything."),
        Key("omit", "x,f4", "omit", "x", "F4", "leave out", "Leave this inspection out, and say why."),
        Key("decide", "d", "decide", "d", "d", "decide", "Confirm a fault, several, or none."),
        Key("follow", "g", "follow", "g", "g", "other way", "Go by the flow's order; where that leads, by the advice."),
        Key("fold", "o", "fold", "o", "o", "others", "Show the parts that are not for this machine, or fold them."),
        Key("advice", "a", "job('advice')", "a", "a", "advice", "Every open inspection: its minutes, and why."),
        Key("explain", "e", "job('explain')", "e", "e", "why", "What speaks for and against each fault."),
        Key("visit", "v", "visit", "v", "v", "new visit", "Come back to this job on a new visit."),
        Key("home", "h,escape", "home", "h", "h", "home", "To the home screen. All is kept."),
        Key("found", "f", "job('found')", "f", "f", "found", "What was found, measured and left out so far."),
        Key("sheet", "l", "job('sheet')", "l", "l", "limits", "Judge by the limits of a service sheet."),
        Key("tick", "space", "tick", "1-9 Space", "1-9 Space", "tick", "Tick or untick the marked one."),
        Key("confirm", "enter", "go", "Enter", "Enter", "confirm", "Confirm what is ticked."),
        Key("open", "enter", "go", "Enter", "Enter", "open", "Open the marked one. What it needs is asked first."),
        Key("count", "left,minus,right,plus", "", "0-9 - +", "0-9 - +", "how many", "So many; one less, one more."),
        Key("these", "enter", "", "Enter", "Enter", "take these", "Write these parts down, with these counts."),
        Key("write", "w", "write", "w", "w", "write", "Write the papers into the session's folder."),
        Key("scroll", "", "", "Up Down", "Up Down", "read on", "Move the text up and down."),
        Key("folder", "f2", "folder", "F2", "F2", "folder", "Name another folder."),
        Key("aid", "asterisk", "aid", "*", "*", "aid", "Open what helps to measure: stopwatch, counter, and others."),
        Key("see-feet", "", "", "*", "*", "feet", "Show the four feet from above, with what was read."),
        Key("see-clock", "", "", "*", "*", "rim", "Show the rim by the clock, with what was read."),
        Key("see-swings", "", "", "*", "*", "swings", "Show the swings that were recorded or read."),
        Key("see-step", "", "", "*", "*", "step", "Show the step again."),
        Key("see-drawing", "", "", "*", "*", "drawing", "Show where it is on the machine, in place of the readings."),
        Key("units", "equals_sign", "units", "=", "=", "mm/in", "Change between metric and US units."),
        Key("more", "plus", "more", "+", "+", "one more", "Take one more reading of what is least sure."),
        Key("no-more", "escape", "no_more", "Esc", "Esc", "no more", "Leave it at what was read."),
        Key("startstop", "space", "startstop", "Space", "Space", "start, stop", "Start the stopwatch, or stop it."),
        Key("take", "enter", "take", "Enter", "Enter", "take it", "Put the time into the field."),
        Key("tap", "space", "tap", "Space", "Space", "tap", "Tap at the top of each swing."),
        Key("enter-taps", "enter", "enter", "Enter", "Enter", "take it", "Put what was tapped into the field."),
        Key("afresh", "0", "afresh", "0", "0", "again", "Begin again from nothing."),
        Key("damping", "", "", "Enter", "Enter", "damping", "Show the damping that the heights mean."),
        Key("heights", "tab", "heights", "Tab", "Tab", "heights", "To the heights of the swings, and back."),
        Key("rec-file", "f2", "file", "F2", "F2", "path", "Type the path of a recording."),
        Key("rec-complete", "tab", "complete", "Tab", "Tab", "complete", "Complete the path as far as it is certain."),
        Key("rec-fit", "", "", "Enter", "Enter", "fit", "Fit the swings of the marked column."),
        Key("rec-unit", "u", "other('unit')", "u", "u", "unit", "Read the marked column in another unit."),
        Key("rec-time", "t", "other('time')", "t", "t", "time", "Read the times in another unit."),
        Key("rec-start", "left", "shift(-1, 0)", "Left Right", "Left Right", "start", "Begin earlier, or later."),
        Key("rec-later", "right", "shift(1, 0)", "Right", "Right", "later", "Begin later."),
        Key("rec-end", "up", "shift(0, 1)", "Up Down", "Up Down", "end", "End later, or earlier."),
        Key("rec-shorter", "down", "shift(0, -1)", "Down", "Down", "earlier", "End earlier."),
        Key("rec-take", "enter", "take", "Enter", "Enter", "take it", "Take the damping ratio as the reading."),
        Key("spin-file", "enter", "go", "Enter", "Enter", "file", "Choose the file of the recording."),
        Key("spin-read", "", "", "Enter", "Enter", "read it", "Read the marked file, and say what it shows."),
        Key("spin-look", "tab", "look", "Tab", "Tab", "pictures", "Show the pictures, or the words again."),
        Key("spin-load", "l", "setting('load')", "l", "l", "load", "Say what was in the drum: the next one."),
        Key("spin-place", "o", "setting('place')", "o", "o", "place", "Say where the phone lay: the next place."),
        Key("spin-plate", "p", "setting('plate')", "p", "p", "plate", "Type the plate's top speed; it is read anew."),
        Key("spin-bearing", "b", "setting('bearing')", "b", "b", "bearing", "Type the bearing; it is read anew."),
        Key("spin-take", "enter", "take", "Enter", "Enter", "take it", "Take what the recording says into the job."),
        Key("archive", "a", "app.archive", "a", "a", "archive", "All sessions, those worth reading first."),
        Key("archive-open", "enter", "", "Enter", "Enter", "read it", "Go through the marked session again."),
        Key("archive-search", "slash,f3", "archive('search')", "/", "/", "search", "Search for words."),
        Key("archive-filter", "f,f4", "archive('filter')", "f", "f", "filter",
            "Only sessions of a machine, fault, technician, day, flag and so on."),
        Key("archive-order", "o", "archive('order')", "o", "o", "order", "The newest first, or those worth reading."),
        Key("archive-clear", "c", "archive('clear')", "c", "c", "all", "Take all words and filters away."),
        Key("archive-up", "u,f5", "archive('up')", "u", "u", "look again", "Look for sessions that came or changed."),
        Key("inbox", "r", "inbox", "r", "r", "reviewer", "What a reviewer wrote on jobs of this computer: answer it."),
        Key("answer-it", "enter", "go", "Enter", "Enter", "answer", "Answer it in your words."),
        Key("archive-trends", "r,f7", "archive('all-trends')", "r", "r", "trends",
            "Rates and times over many sessions, with what is uncertain in them."),
        Key("archive-visits", "v,f8", "archive('all-visits')", "v", "v", "machine",
            "All jobs at the machine of the marked session, side by side."),
        Key("archive-across", "x,f6", "archive('across')", "x", "x", "met again",
            "What stands in several sessions and should stand in one: photos, readings, times, a session gone."),
        Key("visit-open", ",".join("12345"), "", "1-5", "1-5", "read it", "Go through the job of that column again."),
        Key("visit-later", "right", "shift(1)", "Left Right", "Left Right", "jobs", "Later jobs, or earlier ones."),
        Key("visit-earlier", "left", "shift(-1)", "Left", "Left", "earlier", "Earlier jobs."),
        Key("trend-open", "enter", "", "Enter", "Enter", "open", "The sessions behind the marked row: its hits."),
        Key("trend-counted", "a", "trend('counted')", "a", "a", "every", "All sessions that the row counts."),
        Key("trend-next", "right", "trend('next')", "Left Right", "Left Right", "trend",
            "The next trend, or the one before."),
        Key("trend-before", "left", "trend('before')", "Left", "Left", "before", "The trend before."),
        Key("trend-rows", "b", "trend('rows-by')", "b", "b", "rows by", "What has a row of its own."),
        Key("trend-filter", "f,f4", "trend('filter')", "f", "f", "filter",
            "Only sessions of a flow version, a kind of machine, a technician and so on."),
        Key("trend-clear", "c", "trend('clear')", "c", "c", "all", "Take all filters away."),
        Key("trend-held", "g", "trend('held')", "g", "g", "target", "The share that each row is held against."),
        Key("trend-days", "w", "trend('days')", "w", "w", "days", "Within how many days a machine comes back."),
        Key("desk-try", "enter", "", "Enter", "Enter", "try it", "Open the marked step as the technician sees it."),
        Key("desk-next", "right", "desk('next')", "Left Right", "Left Right", "list",
            "The next list, or the one before."),
        Key("desk-before", "left", "desk('before')", "Left", "Left", "before", "The list before."),
        Key("desk-search", "slash,f3", "desk('search')", "/", "/", "search", "Only rows with some words."),
        Key("desk-clear", "a", "desk('clear')", "a", "a", "all", "All rows again."),
        Key("desk-again", "u,f5", "desk('again')", "u", "u", "look again", "Read the flow anew now."),
        Key("desk-play", "c", "desk('play')", "c", "c", "play cases", "Play all cases: how they end, what they go by."),
        Key("desk-picture", "tab", "desk('picture')", "Tab", "Tab", "picture", "The whole inspection as a tree."),
        Key("desk-approve", "v", "desk('approve')", "v", "v", "approve", "Have a person answer for what it claims."),
        Key("desk-keep", "w", "desk('keep')", "w", "w", "keep case", "Keep the job that was tried as a case."),
        Key("report", "r", "report", "r", "r", "report", "Write the report: the customer's page, and the record."),
        Key("close", "c", "close", "c", "c", "close", "Close the job, with a typed word."),
        Key("ahead", "right", "replay('move', 1)", "Left Right", "Left Right", "go",
            "Go back, or on, by what the digits chose."),
        Key("behind", "left", "replay('move', -1)", "Left", "Left", "back", "Go back by what is chosen."),
        Key("stride", "", "", "1-7", "1-7", "by what", "Choose what Left and Right go by: event, inspection, ..."),
        Key("first", "home", "replay('end')", "Home", "Home", "start", "To the beginning."),
        Key("last", "end", "replay('end', 1)", "End", "End", "end", "To the end."),
        Key("play", "space", "replay('play')", "Space", "Space", "play", "Let it run, or halt it."),
        Key("faster", "plus", "replay('speed', 1)", "+ -", "+ -", "speed", "Let it run faster or slower."),
        Key("slower", "minus", "replay('speed', -1)", "-", "-", "slower", "Let it run slower."),
        Key("event", "g", "replay('event')", "g", "g", "go to", "Go to the event with this number."),
        Key("moment", "m,f2", "replay('moment')", "m", "m", "jump",
            "Go to the next fail, decision, repair, photo, note, long pause or refused attempt: pick which."),
        Key("find", "slash,f3", "replay('find')", "/", "/", "find", "Find words in the time line."),
        Key("open-photo", "p,f6", "replay('open-photo')", "p", "p", "photo",
            "Show the photo of this event in the system's viewer."),
        Key("line", "l", "replay('line')", "l", "l", "time line", "All events in a list: pick one to go there."),
        Key("visits", "i", "replay('stays')", "i", "i", "inspected", "Every inspection with the time spent in it."),
        Key("flags", "f", "replay('flags')", "f", "f", "flags", "What may be worth a second look."),
        Key("flag-fair", "y", "judge(True)", "y", "y", "fair", "The marked flag asks a fair question here."),
        Key("flag-unfair", "x", "judge(False)", "x", "x", "not fair", "The marked flag asks nothing that is worth it."),
        Key("remark", "n", "replay('remark')", "n", "n", "note", "Write a note at this event, beside the record."),
        Key("remarks", "r", "replay('remarks')", "r", "r", "notes", "The notes and sign-offs on this session."),
        Key("sign", "s", "replay('sign')", "s", "s", "sign off", "Sign the session off, beside the record."),
    )
}
# fmt: on
"""Every command of the screens by its id."""

JOB = ("help", "map", "note", "photo", "correct", "break", "stands", "leave", "theme")
"""What works on every screen of a job; stopping is shown apart."""


def labels(ids: Iterable[str], typing: bool = False) -> list[tuple[str, str]]:
    """The keys and labels of these commands for the foot of the screen; function keys while a field is typed in.

    'digits:4' stands for the digits 1 to 4, 'digits:1,3,5' for these; so with 'tick'.
    """
    return [_label(*name.partition(":")[::2], typing) for name in ids]


def _label(name: str, count: str, typing: bool) -> tuple[str, str]:
    key = KEYS[name]
    if count:
        return span(numbers(count)) + (" Space" if name == "tick" else ""), key.label
    return (key.function if typing else key.letter), key.label


def numbers(count: str) -> tuple[str, ...]:
    """The digits that 'digits:COUNT' stands for."""
    if "," in count:
        return tuple(count.split(","))
    return tuple(str(n + 1) for n in range(int(count or 0)))


def span(digits: Sequence[str]) -> str:
    """Rising digits in words: '1', '1 or 3', '1, 3 or 5', '1-4', '1-3 or 9'."""
    runs: list[list[str]] = []
    for digit in digits:
        if runs and int(digit) == int(runs[-1][-1]) + 1:
            runs[-1].append(digit)
        else:
            runs.append([digit])
    parts = [part for run in runs for part in ([f"{run[0]}-{run[-1]}"] if len(run) > 2 else run)]
    return " or ".join(x for x in (", ".join(parts[:-1]), parts[-1]) if x)


def wrong_digit(digit: int, here: Iterable[str]) -> str:
    """What is said of a digit that no answer has, by the ids of the keys that work on the screen."""
    asked = [name.partition(":")[2] for name in here if name.startswith(("digits:", "tick:"))]
    return f"There is no {digit} here: press {span(numbers(asked[0])) if asked else 'Enter'}."
