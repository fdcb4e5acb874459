"""Edits of the events of a journal, each with every seal made again unless it says otherwise."""

from __future__ import annotations

from tests.trust.edit_list import asked, changed, edit, kind, set_to
from tests.trust.edited_homes import OTHER, EditedHome

PULL = kind("reading", step="pull", run=3)
JUDGED = kind("answered", step="pull", run=3)

# ---- readings
R = "reading"
changed(R, "the value of one", PULL, set_to(value=62.0))
changed(R, "value and typed text of one", PULL, set_to(value=62.0, typed="62"))
changed(R, "value, typed text and command of one", PULL, asked(value=62.0, typed="62"))
changed(
    R, "value, typed text and command of one, by 1 N in the same band", PULL, asked(value=23.0, typed="23")
)
changed(
    R, "value, typed text and command of all of the step", PULL, asked(value=62.0, typed="62"), every=True
)
changed(R, "the tool", PULL, set_to(tool="Another scale"))
changed(R, "the place", PULL, set_to(place="damper 2, out"))
changed(R, "the unit", PULL, set_to(unit="kg"))
changed(R, "one taken out", PULL, lambda _event: None)
changed(R, "one of the proof, to pass better", kind("reading", step="run"), asked(value=0.0, typed="0"))

# ---- verdicts, evidence, answers
V = "verdict and evidence"
changed(V, "fail made pass", JUDGED, set_to(verdict="pass"))
changed(V, "fail made pass, and the answer with it", JUDGED, set_to(verdict="pass", chosen=["pass"]))
changed(V, "the evidence of a finding", JUDGED, set_to(evidence={"pull-weak": 0.0}))
changed(V, "the answer's words", JUDGED, set_to(says="damper 1, out 62 N"))
changed(V, "where the answer leads", JUDGED, set_to(goes="end"))
changed(
    V, "a look answered otherwise, its command too", kind("answered", step="bounce"), asked(chosen=["holds"])
)
changed(
    V,
    "what an answer says of the machine",
    kind("answered", step="plug"),
    set_to(belief={"supply": ["locked"]}),
)
changed(V, "the words of a safety answer", kind("answered", step="plug"), set_to(says="Locked off"))
changed(V, "what showing a step may change", kind("shown", step="plug"), set_to(belief={}))

# ---- time
T = "time"
changed(T, "one event an hour earlier", JUDGED, set_to(at="2026-03-02T08:00:00+00:00"))
changed(T, "one event an hour later", JUDGED, set_to(at="2026-03-02T23:00:00+00:00"))
changed(
    T,
    "every event a day earlier",
    lambda _e: True,
    lambda e: {**e, "at": e["at"].replace("-02T", "-01T")},
    True,
)
changed(T, "the seconds before one event", JUDGED, set_to(since=1.0))
changed(T, "how long nobody was seen before one", kind("answered", step="plug"), set_to(when={"idle": 1.0}))

# ---- events
E = "events"


@edit(E, "a safety question and its answer dropped")
def _(home: EditedHome) -> None:
    home.change(lambda e: None if e.get("run") == 5 else e)


@edit(E, "the proof dropped, from the repair to the handover")
def _(home: EditedHome) -> None:
    home.change(lambda e: None if e.get("run") in range(23, 33) else e)


@edit(E, "the closing event cut off")
def _(home: EditedHome) -> None:
    home.write(home.events()[:-1])


@edit(E, "the last ten cut off, the paper taken away")
def _(home: EditedHome) -> None:
    home.write(home.events()[:-10])
    for paper in home.folder.glob("*.md"):
        paper.unlink()


@edit(E, "blocks cut off the end, nothing sealed again, the paper taken away")
def _(home: EditedHome) -> None:
    head = b"[[event]]\n"
    parts = home.journal.read_bytes().split(head)[1:]
    home.journal.write_bytes(head + head.join(parts[:-3]))
    for paper in home.folder.glob("*.md"):
        paper.unlink()


@edit(E, "two swapped")
def _(home: EditedHome) -> None:
    events = home.events()
    events[60], events[61] = events[61], events[60]
    home.write(events)


@edit(E, "one repeated")
def _(home: EditedHome) -> None:
    events = home.events()
    home.write([*events[:60], events[59], *events[60:]])


@edit(E, "a note put in")
def _(home: EditedHome) -> None:
    events = home.events()
    note = next(e for e in events if e["kind"] == "note")
    more = {
        **note,
        "text": "The customer was told.",
        "asked": {**note["asked"], "text": "The customer was told."},
    }
    at = events.index(note) + 1
    home.write([*events[:at], more, *events[at:]])


changed(E, "the note dropped", kind("note"), lambda _event: None)
changed(E, "the photo's event dropped", kind("photo"), lambda _event: None)
changed(E, "an event of a kind that there is not", kind("note"), set_to(kind="remark"))


@edit(E, "one word of the note, nothing sealed again")
def _(home: EditedHome) -> None:
    home.journal.write_bytes(home.journal.read_bytes().replace(b"Oil on the floor", b"Oil on the wall", 1))


# ---- people, words, facts
P = "people and words"
changed(P, "the technician, in the visit", kind("visit"), set_to(technician="S. Ash"))
changed(P, "the ticket", kind("visit"), set_to(ticket="T-9"))
changed(P, "the complaint", kind("complaint"), set_to(words="It is loud"))
changed(P, "the complaint, its command too", kind("complaint"), asked(words="It is loud"))
changed(P, "the serial number, its command too", kind("fact", fact="serial"), asked(value="4471"))
changed(P, "the kind of machine, its command too", kind("fact", fact="kind"), asked(value="top-loader"))
changed(P, "the note", kind("note"), set_to(text="All dry."))
changed(P, "the note, its command too", kind("note"), asked(text="All dry."))
changed(P, "the photo's caption", kind("photo"), set_to(caption="The right damper"))
changed(P, "the photo's caption, its command too", kind("photo"), asked(caption="The right damper"))
changed(P, "the program's version", kind("began"), set_to(program="0.0.9"))
changed(P, "the session's own name", kind("began"), set_to(session=OTHER))

# ---- decision and repair
D = "decision and repair"
changed(D, "the fault that was decided", kind("decided"), set_to(faults=[]))
changed(D, "fitted made declined", kind("repaired"), set_to(outcome="declined"))
changed(D, "how the job ended", kind("closed"), set_to(outcome="no-fault"))
