"""Pictures from elsewhere: real ones are written anew without what a camera adds; anything else is refused in words."""

from __future__ import annotations

import struct
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.report_jobs import DATA, png
from wizard.foreign.image_file import ImageKind, parse_image
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source, TooLarge, Unreadable

JPEG = (DATA / "damper-worn.jpg").read_bytes()
PNG = png(7, 5, lambda x, y: (x * 30, y * 40, 9))
SECRET = b"52.1 N 4.9 E, R. Vale's phone"


def parsed(data: bytes):
    return parse_image(data, Source.PICTURE)


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def segment(marker: int, body: bytes) -> bytes:
    return bytes((0xFF, marker)) + struct.pack(">H", len(body) + 2) + body


def exif(side_up: int, order: str = "II") -> bytes:
    """An Exif segment as a camera writes it (Exif 2.3, 4.6): which side is up, then more."""
    mark = "<" if order == "II" else ">"
    entries = struct.pack(f"{mark}HHIHH", 0x0112, 3, 1, side_up, 0) + struct.pack(
        f"{mark}HHII", 0x8825, 4, 1, 99
    )
    tiff = order.encode() + struct.pack(f"{mark}HIH", 42, 8, 2) + entries + b"\0\0\0\0" + SECRET
    return segment(0xE1, b"Exif\0\0" + tiff)


def test_both_kinds_are_taken_as_they_are():
    """Size and kind; a picture with nothing beside it keeps its bytes."""
    for data, kind, size in ((PNG, ImageKind.PNG, (7, 5)), (JPEG, ImageKind.JPEG, (640, 480))):
        found = parsed(data)
        assert (found.kind, (found.width, found.height), found.data) == (kind, size, data)


@pytest.mark.parametrize("order", ["II", "MM"])
@pytest.mark.parametrize("side_up", [3, 6, 8])
def test_what_a_camera_adds_is_left_out_and_the_side_that_is_up_kept(side_up, order):
    """Place, owner, comments, a second picture behind the first: gone. The orientation: as it was."""
    added = (
        exif(side_up, order)
        + segment(0xFE, SECRET)
        + segment(0xED, SECRET)
        + segment(0xE2, b"MPF\0" + SECRET)
    )
    found = parsed(JPEG[:2] + added + JPEG[2:] + SECRET + JPEG)
    assert SECRET not in found.data and len(found.data) < len(JPEG) + 60
    again = parsed(found.data)
    assert again.data == found.data
    at = found.data.index(b"Exif\0\0MM\0*")
    assert struct.unpack_from(">HHIH", found.data, at + 16) == (0x0112, 3, 1, side_up)


def test_a_pngs_texts_are_left_out_and_what_follows_its_end():
    """tEXt, eXIf and iTXt hold words and places; a zip may lie behind the end."""
    extra = chunk(b"tEXt", b"Author\0" + SECRET) + chunk(b"eXIf", b"MM\0*" + SECRET)
    found = parsed(PNG[:33] + extra + PNG[33:] + b"PK\x03\x04" + SECRET)
    assert found.data == PNG


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "neither a PNG nor a JPEG"),
        (b"GIF89a" + b"\0" * 40, "neither a PNG nor a JPEG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "neither a PNG nor a JPEG"),
        (PNG[:-12], "cut off"),
        (PNG[:40], "cut off"),
        (PNG[:45] + b"\xee" + PNG[46:], "altered"),
        (PNG[:8] + PNG[33:], "has not the parts"),
        (PNG[:33] + chunk(b"IEND", b""), "has not the parts"),
        (
            PNG[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", 7, 5, 3, 2, 0, 0, 0)) + PNG[33:],
            "says what no PNG has",
        ),
        (PNG[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", 0, 5, 8, 2, 0, 0, 0)) + PNG[33:], "has no size"),
        (PNG[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", 7, 6, 8, 2, 0, 0, 0)) + PNG[33:], "is not whole"),
        (PNG[:33] + chunk(b"IDAT", b"no zlib") + chunk(b"IEND", b""), "damaged"),
        (JPEG[:-2], "damaged or cut off"),
        (JPEG[:200], "damaged or cut off"),
        (b"\xff\xd8\xff\xd9", "there is no picture"),
        (b"\xff\xd8\xff a picture of the plug", "damaged or cut off"),
        (JPEG.replace(b"\xff\xc0", b"\xff\xc3"), "not every viewer shows"),
        (JPEG.replace(b"\xff\xc0\x00\x11\x08", b"\xff\xc0\x00\x11\x0c"), "not every viewer shows"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(data, says):
    """Each with its own reason."""
    with pytest.raises(Unreadable, match=says):
        parsed(data)


def test_a_picture_that_grows_when_it_is_unpacked_is_refused():
    """By its own head, before anything of it is unpacked; and no more is unpacked than the head says."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0))
    with pytest.raises(TooLarge, match="100000 by 100000 pixels, over 64 million"):
        parsed(PNG[:8] + head + PNG[33:])
    bomb = chunk(b"IDAT", zlib.compress(b"\0" * 50_000_000, 9)) + chunk(b"IEND", b"")
    with pytest.raises(Unreadable, match="is not whole"):
        parsed(PNG[:33] + bomb)


def test_a_file_that_is_too_large_is_refused(monkeypatch):
    """By its bytes, whatever is in it."""
    monkeypatch.setitem(SOURCE_LIMITS, Source.PICTURE, Limits(100, values=1_000))
    with pytest.raises(TooLarge, match="over 100 bytes"):
        parsed(JPEG)


def test_interlaced_pngs_are_whole_too():
    """Adam7 (ISO/IEC 15948, 8.2) of 7 by 5 pixels by hand: the sizes of seven passes, a byte a row for the filter."""
    shapes = ((1, 1), (1, 1), (2, 1), (2, 2), (4, 1), (3, 3), (7, 2))
    rows = b"".join((b"\0" + b"\x55" * 3 * wide) * high for wide, high in shapes)
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 7, 5, 8, 2, 0, 0, 1))
    body = chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    assert sum(w * h for w, h in shapes) == 35
    assert parsed(PNG[:8] + head + body).width == 7


@given(st.binary(max_size=300), st.sampled_from((PNG, JPEG[:700], JPEG)), st.integers(0, 400))
@settings(max_examples=examples(300), deadline=None)
def test_any_bytes_are_a_picture_or_refused(junk, seed, at):
    """Junk alone, and within a real one: parsed, or Unreadable; nothing else is ever raised."""
    for data in (junk, seed[:3] + junk, seed[:at] + junk + seed[at + len(junk) :], seed[:at]):
        try:
            found = parsed(data)
        except Unreadable:
            continue
        assert parsed(found.data).data == found.data
