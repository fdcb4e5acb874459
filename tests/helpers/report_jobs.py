"""Three jobs of our own with everything that a report may show: proved; declined and left out of use; nothing found.

The machines, the people, the shop and the pictures are invented. The jobs are played through the engine, on a clock of
their own, so two runs give the same records.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from tests.helpers.stored_sessions import sound
from wizard.documents.report import customer_details, shop_details
from wizard.domain.vocabulary import JobState, RepairOutcome
from wizard.engine.driver import Driver
from wizard.engine.state.job_state import State
from wizard.flow.loading.case_loader import load_cases, load_file
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.parsing import flow_files
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.journal import session_name
from wizard.sessions.session_store import Store

DATA = Path(__file__).parent / "data"
PICTURES = Path(__file__).parents[2] / "screenshots" / "cases.toml"
PROVED, DECLINED, NOTHING = "worn", "cracked-spider", "normal-fl"
"""The cases of the three jobs, by what they come to."""

COMPLAINTS = {
    PROVED: "It bangs when the spin begins. Last week it moved a hand's width.",
    DECLINED: "It knocks once a turn, louder every week.",
    NOTHING: "It hums in spin. I want to know whether that is normal.",
}
CUSTOMER = '''name = "M. Thorne"
address = """
7 Weir Cottages
Lower Ashby"""

[[charge]]
says = "Work, 2 hours"
count = 2
price = 48

[[charge]]
says = "Way"
price = 15.5
'''
SHOP = '''name = "Vale Washer Repair"
address = """
12 Mill Lane
Ashby"""
telephone = "01632 960 114"
tax_number = "XX 000 111 222"
warranty = "Twelve months on parts that we fitted, as far as the law gives no more."
logo = "logo.png"
currency = "EUR"

[prices]
damper = 21.9
damper-pin = 4.25
'''


class Told(Script):
    """A case with what the customer said."""

    def complaint(self, view):
        return COMPLAINTS[self.case.id]


@lru_cache(maxsize=1)
def flow() -> Flow:
    return load(shipped()["washer-shake"], sound)


@lru_cache(maxsize=1)
def cases() -> dict[str, Case]:
    """The cases of the pictures, and those of the flow."""
    folder = shipped()["washer-shake"]
    return {case.id: case for case in (*load_cases(folder, flow()), *load_file(PICTURES, flow()))}


def png(width: int, height: int, colour: Callable[[int, int], tuple[int, int, int]]) -> bytes:
    """A PNG of eight bits a colour, written by the standard's own rules."""
    rows = b"".join(b"\0" + bytes(v for x in range(width) for v in colour(x, y)) for y in range(height))
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


def logo() -> bytes:
    """A drum with a wave in it."""

    def colour(x: int, y: int) -> tuple[int, int, int]:
        far = ((x - 40) ** 2 + (y - 40) ** 2) ** 0.5
        ring, water = 32 < far < 39, far <= 32 and y > 44 + 5 * ((x % 20) / 10 - 1) ** 2
        return (26, 60, 92) if ring else (90, 150, 190) if water else (255, 255, 255)

    return png(80, 80, colour)


def begin(store: Store, case: str, technician: str = "R. Vale", ticket: str = "T-0413"):
    """A session of a case under way: what was opened, and the driver that plays it."""
    files = flow_files.read_folder(shipped()["washer-shake"])
    opened = store.begin(flow(), files, technician, ticket)
    return opened, Driver(opened.session, Told(cases()[case]), store.clock.pass_by)


def played(store: Store, case: str, photos: tuple[tuple[str, str, str], ...] = ()) -> str:
    """Play a job to its closed visit; its session's id. ``photos``: file, caption, and whether before or after."""
    opened, driver = begin(store, case)
    left = list(photos)
    with opened:
        for _ in range(1000):
            state = opened.session.state
            for photo in [p for p in left if _due(state, p[2])]:
                opened.attach(DATA / photo[0], photo[1])
                left.remove(photo)
            if state.job is JobState.CLOSED or not driver.advance():
                break
    assert opened.session.state.job is JobState.CLOSED and not left
    return opened.name


def _due(state: State, side: str) -> bool:
    """A photo of before is taken once something was decided, one of after once something was fitted."""
    if side == "before":
        return state.decided is not None
    return any(r.outcome is RepairOutcome.FITTED for r in state.repairs)


def demo_home(root: Path, mark: str = "k7m3qd") -> dict[str, str]:
    """A home with the three jobs, the shop's details and a customer's; the sessions' ids by their cases."""
    fresh, session_name.fresh_mark = session_name.fresh_mark, lambda: mark
    store = Store(root, CaseClock(), sound)
    try:
        made = {
            PROVED: played(
                store,
                PROVED,
                (
                    ("damper-worn.jpg", "Front left damper, grease at its seal", "before"),
                    ("damper-new.jpg", "The new damper in its place", "after"),
                ),
            )
        }
        for case in (DECLINED, NOTHING):
            store.clock.pass_by(3600.0)
            made[case] = played(store, case)
    finally:
        session_name.fresh_mark = fresh
    (root / shop_details.NAME).write_text(SHOP, encoding="utf-8")
    (root / "logo.png").write_bytes(logo())
    folder = store.home.session_folder(made[PROVED])
    (folder / customer_details.NAME).write_text(CUSTOMER, encoding="utf-8")
    return made
