"""Write the made recordings into a folder.

``python -m wizard.practice.demo FOLDER [--seed N] [--only NAME] [--drawn NAME]``.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.demo_sound import write_sound
from wizard.practice.demo.demo_spin import SOUNDS, SPINS
from wizard.practice.demo.drawn_spin import HEARD, MOTIONS, drawn


def main() -> None:
    """Make them; the same seed gives the same bytes."""
    parser = argparse.ArgumentParser(
        description="Write recordings of made spins: motion as CSV, sound as WAV."
    )
    parser.add_argument("folder", type=Path, help="where to; made if it isn't there")
    parser.add_argument("--seed", type=int, default=1, help="another seed, another noise")
    parser.add_argument("--only", choices=sorted({*SPINS, *SOUNDS}), help="this one alone")
    parser.add_argument(
        "--drawn",
        choices=sorted({*MOTIONS, *HEARD}),
        help="in place of them a machine drawn by the seed, spun empty",
    )
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    if given.drawn:
        spin, name = drawn(given.drawn, given.seed), f"{given.drawn}-{given.seed}"
        if given.drawn in MOTIONS:
            write_motion(spin, given.seed, given.folder / f"{name}.csv")
        if given.drawn in HEARD:
            write_sound(spin, given.seed, given.folder / f"{name}.wav")
        return
    for name, spin in SPINS.items():
        if given.only in (None, name):
            write_motion(spin, given.seed, given.folder / f"{name}.csv")
    for name, spin in SOUNDS.items():
        if given.only in (None, name):
            write_sound(spin, given.seed, given.folder / f"{name}.wav")


if __name__ == "__main__":
    main()
