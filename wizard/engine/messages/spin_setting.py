"""How a spin was recorded, as a person said it: what was in the drum, where the phone lay, plate and bearing."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.recording_vocabulary import PLATE_RPM, DrumLoad, RecordingPlace

MOST_SIGNS = 60
"""The most signs that a bearing may be typed with."""


@dataclass(frozen=True, slots=True)
class SpinSetting:
    """What was said of a recording.

    ``plate_rpm``: the top spin speed on the machine's plate, 0 where nobody typed it. ``bearing``: the drum's bearing
    as it was typed, its number, balls or orders; empty where nobody read it. ValueError for what no plate says.
    """

    load: DrumLoad = DrumLoad.NOT_SAID
    place: RecordingPlace = RecordingPlace.NOT_SAID
    plate_rpm: float = 0.0
    bearing: str = ""

    def __post_init__(self) -> None:
        """A journal may hold what the program never writes."""
        if self.plate_rpm and not PLATE_RPM[0] <= self.plate_rpm <= PLATE_RPM[1]:
            raise ValueError(
                f"a plate's top spin speed lies from {PLATE_RPM[0]:.0f} to {PLATE_RPM[1]:.0f} rpm"
            )
        if len(self.bearing) > MOST_SIGNS:
            raise ValueError(f"a bearing is typed with {MOST_SIGNS} signs at most")

    @property
    def plate(self) -> float | None:
        """The plate's top speed, rpm; None where nobody typed it."""
        return self.plate_rpm or None

    @property
    def says(self) -> str:
        """'Empty drum; phone on the top front corner; plate 1200 rpm; bearing 6205.'"""
        plate = f"plate {self.plate_rpm:.0f} rpm" if self.plate_rpm else "plate not typed"
        bearing = f"bearing {self.bearing}" if self.bearing else "bearing not read"
        load = LOADS[self.load]
        return f"{load[0].upper()}{load[1:]}; {PLACES[self.place]}; {plate}; {bearing}."


NOTHING_SAID = SpinSetting()
"""Where nobody said anything of a recording."""

LOADS = {
    DrumLoad.NOT_SAID: "load not said",
    DrumLoad.EMPTY: "empty drum",
    DrumLoad.TOWELS: "wet towels in the drum",
    DrumLoad.WASHING: "washing in the drum",
}
"""What was in the drum, in words."""

PLACES = {
    RecordingPlace.NOT_SAID: "place of the phone not said",
    RecordingPlace.TOP: "phone on the top front corner",
    RecordingPlace.FLOOR: "phone on the floor in front",
    RecordingPlace.ELSEWHERE: "phone elsewhere",
}
"""Where the phone lay, in words."""


def plate_of(typed: str) -> float:
    """The top spin speed, rpm, in what was typed of a plate: '1200', '1,200 rpm'; 0 for nothing.

    ValueError, a sentence, for any other text.
    """
    text = typed.strip().lower().removesuffix("rpm").removesuffix("1/min").strip()
    if not text:
        return 0.0
    whole = text.replace(",", "").replace(" ", "")
    low, high = PLATE_RPM
    says = f"{typed.strip()[:20]}: type the plate's top spin speed in rpm, from {low:.0f} to {high:.0f}."
    if not (whole.isascii() and whole.isdigit() and len(whole) <= 4):
        raise ValueError(says)
    if not low <= int(whole) <= high:
        raise ValueError(says)
    return float(whole)
