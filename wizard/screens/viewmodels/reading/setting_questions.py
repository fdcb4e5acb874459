"""What is said of a recorded spin besides its file: load, place, the plate's top speed, the bearing."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace
from wizard.engine.messages.spin_setting import MOST_SIGNS, SpinSetting, plate_of
from wizard.measure.mechanics.bearing_geometry import FORMS, bearing_of
from wizard.screens.viewmodels.questions import TextQuestion


@dataclass(frozen=True, slots=True)
class PlateQuestion(TextQuestion):
    """The top spin speed on the machine's plate; empty where nobody read it."""

    empty: bool = True
    most: int = 12

    def wrong(self, text: str) -> str:
        """Why this is no top speed; empty where it is one, or nothing."""
        try:
            plate_of(text)
        except ValueError as problem:
            return str(problem)
        return ""


@dataclass(frozen=True, slots=True)
class BearingQuestion(TextQuestion):
    """The drum's bearing: its number, its balls or its orders; empty where nobody read it."""

    empty: bool = True
    most: int = MOST_SIGNS

    def wrong(self, text: str) -> str:
        """Why this is no bearing; empty where it is one, or nothing."""
        if not text.strip():
            return ""
        try:
            bearing_of(text)
        except ValueError as problem:
            return f"{str(problem).removeprefix('designation: ').split('. Type')[0]}."
        return ""


def plate_question(setting: SpinSetting) -> PlateQuestion:
    """The question for the plate, with what is known of it."""
    says = "Its top spin speed in rpm, as plate or controls say. The drum turns no faster. Empty: not read."
    return PlateQuestion(
        "The plate's top speed", says, f"{setting.plate_rpm:.0f}" if setting.plate_rpm else ""
    )


def bearing_question(setting: SpinSetting) -> BearingQuestion:
    """The question for the bearing, with what is known of it."""
    says = f"Only one that was read on it, on the part or in the maker's sheet: {FORMS}. Empty: not read."
    return BearingQuestion("The drum's bearing", says, setting.bearing)


def with_plate(setting: SpinSetting, typed: str) -> SpinSetting:
    """What was said, with a plate's speed that was typed and is one."""
    return replace(setting, plate_rpm=plate_of(typed))


def with_bearing(setting: SpinSetting, typed: str) -> SpinSetting:
    """What was said, with a bearing that was typed and is one."""
    return replace(setting, bearing=" ".join(typed.split()))


def next_load(setting: SpinSetting) -> SpinSetting:
    """What was said, with the next load."""
    loads = list(DrumLoad)
    return replace(setting, load=loads[(loads.index(setting.load) + 1) % len(loads)])


def next_place(setting: SpinSetting) -> SpinSetting:
    """What was said, with the next place of the phone."""
    places = list(RecordingPlace)
    return replace(setting, place=places[(places.index(setting.place) + 1) % len(places)])
