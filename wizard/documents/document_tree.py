"""The document tree: what a paper says, free of any layout. A writer makes a file or screen lines of it.

A document has blocks and sections; a block has sentences; a sentence has spans, and says how it is known where that
is known. Nothing here is escaped, wrapped or marked up: that is the writers' work.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from wizard.documents.ruler_picture import RulerPicture
from wizard.documents.spin_picture import SpinPicture


class Evidence(StrEnum):
    """How a sentence is known. The last three are of no state of the machine: what somebody says that they did, what
    the journal itself shows (who, when, what was decided), and the flow's own words of advice.
    """

    SEEN = "seen"
    MEASURED = "measured"
    FROM_RECORDING = "from-recording"
    PRESUMED = "presumed"
    TOLD = "told"
    NOT_LOOKED_AT = "not-looked-at"
    DONE = "done"
    RECORDED = "recorded"
    ADVICE = "advice"


class Emphasis(StrEnum):
    """How a span stands out: not at all, as strong words, or as digits that are compared one by one."""

    NONE = "none"
    STRONG = "strong"
    CODE = "code"


REMARKS = {
    Evidence.SEEN: "(Seen.)",
    Evidence.MEASURED: "(Measured.)",
    Evidence.FROM_RECORDING: "(From the recording.)",
    Evidence.PRESUMED: "(Presumed: not confirmed by a check.)",
    Evidence.TOLD: "(Said, not seen.)",
    Evidence.NOT_LOOKED_AT: "(Not looked at.)",
    Evidence.DONE: "(Done; not looked at since.)",
}
"""What every writer puts behind a sentence that is known in this way, unless its words or its head say so already."""


@dataclass(frozen=True, slots=True)
class TextSpan:
    """A run of words with one emphasis."""

    text: str
    emphasis: Emphasis = Emphasis.NONE


@dataclass(frozen=True, slots=True)
class Sentence:
    """Spans that make one sentence, and how it is known; None where the content doesn't know.

    ``stated``: the words, or the head over them, say already how it is known. What is presumed is remarked all the
    same.
    """

    spans: tuple[TextSpan, ...]
    evidence: Evidence | None = None
    stated: bool = False

    @property
    def remark(self) -> str:
        """What the evidence asks to be put behind the spans; empty where it asks for nothing."""
        silent = self.stated and self.evidence is not Evidence.PRESUMED
        return REMARKS.get(self.evidence, "") if self.evidence and not silent else ""

    @property
    def rendered(self) -> tuple[TextSpan, ...]:
        """The spans with the remark that the evidence asks for."""
        return (*self.spans, TextSpan(f" {self.remark}")) if self.remark else self.spans


Text = tuple[Sentence, ...]
"""Sentences, one after the other."""


def phrase(*parts: str | TextSpan, evidence: Evidence | None = None) -> Sentence:
    """A sentence of words and spans, joined as they are; how it is known is written behind it."""
    return Sentence(tuple(TextSpan(p) if isinstance(p, str) else p for p in parts), evidence)


def stated(*parts: str | TextSpan, evidence: Evidence) -> Sentence:
    """A sentence that says itself, or stands under a head that says, how it is known."""
    return Sentence(tuple(TextSpan(p) if isinstance(p, str) else p for p in parts), evidence, True)


def strong(text: str) -> TextSpan:
    """Words that stand out."""
    return TextSpan(text, Emphasis.STRONG)


def code(text: str) -> TextSpan:
    """Digits that are compared one by one."""
    return TextSpan(text, Emphasis.CODE)


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences in their own block."""

    text: Text


@dataclass(frozen=True, slots=True)
class Quote:
    """A person's words as they were said, line by line."""

    lines: Text


@dataclass(frozen=True, slots=True)
class Alert:
    """A warning or a request that comes before everything else; ``grave``: people could be hurt."""

    grave: bool
    lead: Text
    reasons: tuple[Text, ...] = ()
    close: Text = ()


@dataclass(frozen=True, slots=True)
class ListItem:
    """One item of a list, and the items under it."""

    text: Text
    under: tuple[ListItem, ...] = ()


@dataclass(frozen=True, slots=True)
class BulletList:
    """Items in their order."""

    items: tuple[ListItem, ...]


@dataclass(frozen=True, slots=True)
class KeyValue:
    """A label, or a question, and what belongs to it."""

    key: str
    value: Sentence

    @property
    def lead(self) -> str:
        """The key as it stands before its value: a question as it is, a label with a colon."""
        return self.key if self.key.endswith(("?", ".", ":")) else f"{self.key}:"


@dataclass(frozen=True, slots=True)
class KeyValues:
    """Labels with their values."""

    pairs: tuple[KeyValue, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Columns by their heads; every row has a cell for each."""

    head: tuple[str, ...]
    rows: tuple[tuple[Sentence, ...], ...]

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.head):
                raise ValueError(f"rows: one has {len(row)} cells, but there are {len(self.head)} heads")


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart in characters: its lines, which stay as they are, and its words, which may be wrapped."""

    lines: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.lines or self.words)

    @property
    def rows(self) -> tuple[str, ...]:
        """Lines and words, one under the other."""
        return (*self.lines, *self.words)


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart under its title, as a terminal shows it and in ASCII for any printer; a ruler, or two recorded spins, in
    parts for a picture.
    """

    title: Text
    chart: Chart
    ascii_chart: Chart
    ruler: RulerPicture | None = None
    spin: SpinPicture | None = None


@dataclass(frozen=True, slots=True)
class SealLine:
    """The last line of a paper: the seal's digits in groups of four, empty while there is none."""

    digits: str = ""

    LABEL: ClassVar[str] = "Seal of the record:"
    BLANK: ClassVar[str] = "____ ____ ____ ____"

    @property
    def sentence(self) -> Sentence:
        """The line's words; without digits there is room to write them by hand."""
        if self.digits:
            return phrase(f"{self.LABEL} ", code(self.digits))
        return phrase(f"{self.LABEL} ", code(self.BLANK), " (shown when the visit is closed: write it here)")


@dataclass(frozen=True, slots=True)
class Section:
    """A titled part of a document; sections may lie in it."""

    title: str
    blocks: tuple[Block, ...]


Block = Paragraph | Quote | Alert | BulletList | KeyValues | Table | Figure | Section
"""What a document or a section is made of."""


@dataclass(frozen=True, slots=True)
class Document:
    """A paper. ``seal`` is its last line, in every form that it is written in; None for a paper without one."""

    title: str
    blocks: tuple[Block, ...]
    seal: SealLine | None = None
