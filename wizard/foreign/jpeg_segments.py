"""A JPEG segment by segment: its size in pixels, and its bytes with nothing in them but the picture (ITU-T T.81)."""

from __future__ import annotations

import struct
from collections.abc import Iterator

from wizard.foreign.limits import Unreadable

_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
"""Baseline, extended and progressive: the frames that every viewer shows."""

_OTHER_FRAMES = frozenset(range(0xC3, 0xD0)) - {0xC4, 0xC8, 0xCC}
_TABLES = frozenset({0xC4, 0xDB, 0xDD})
_SCAN, _END, _JFIF, _EXIF, _PROFILE, _ADOBE = 0xDA, 0xD9, 0xE0, 0xE1, 0xE2, 0xEE
_IN_SCAN = frozenset({0x00, *range(0xD0, 0xD8)})
_ORIENTATION = 0x0112
_MOST = 100_000


def jpeg_picture(data: bytes) -> tuple[int, int, bytes]:
    """Width and height as it is stored, and the JPEG written anew. Unreadable says why the bytes are none."""
    width = height = scans = 0
    side_up, kept = 1, []
    for marker, body, scan in _segments(data):
        if marker in _OTHER_FRAMES:
            raise Unreadable("it is a kind of JPEG that not every viewer shows")
        if marker in _FRAMES:
            if width or len(body) < 6:
                raise Unreadable("the JPEG's head is no head")
            if body[0] != 8:
                raise Unreadable("it is a kind of JPEG that not every viewer shows")
            height, width = struct.unpack_from(">HH", body, 1)
        if marker == _EXIF and side_up == 1:
            side_up = _side_up(body)
        scans += marker == _SCAN
        if _is_picture(marker, body):
            kept.append(struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body + scan)
    if not width or not height or not scans:
        raise Unreadable("there is no picture in the JPEG")
    head = _oriented(side_up) if side_up != 1 else b""
    return width, height, b"\xff\xd8" + head + b"".join(kept) + b"\xff\xd9"


def _is_picture(marker: int, body: bytes) -> bool:
    """True for what a viewer needs to show it: frame, tables, scans, and what its colours mean."""
    if marker == _JFIF:
        return body.startswith(b"JFIF\0")
    if marker == _PROFILE:
        return body.startswith(b"ICC_PROFILE\0")
    if marker == _ADOBE:
        return body.startswith(b"Adobe")
    return marker in _FRAMES or marker in _TABLES or marker == _SCAN


def _segments(data: bytes) -> Iterator[tuple[int, bytes, bytes]]:
    """Each segment's marker, its body, and behind the head of a scan the scan itself, up to the end of the picture."""
    at = 2
    for _ in range(_MOST):
        while data[at : at + 2] == b"\xff\xff":
            at += 1
        if len(data) < at + 2 or data[at] != 0xFF:
            raise Unreadable("the JPEG is damaged or cut off")
        marker = data[at + 1]
        if marker == _END:
            return
        if marker in (0x01, 0xD8) or marker in _IN_SCAN or len(data) < at + 4:
            raise Unreadable("the JPEG is damaged or cut off")
        (size,) = struct.unpack_from(">H", data, at + 2)
        end = at + 2 + size
        if size < 2 or end > len(data):
            raise Unreadable("the JPEG is damaged or cut off")
        stop = _scan_end(data, end) if marker == _SCAN else end
        yield marker, data[at + 4 : end], data[end:stop]
        at = stop
    raise Unreadable("the JPEG has too many parts")


def _scan_end(data: bytes, at: int) -> int:
    """Where the next marker begins that is none within a scan."""
    while (at := data.find(b"\xff", at)) >= 0:
        if at + 1 >= len(data):
            break
        if data[at + 1] not in _IN_SCAN and data[at + 1] != 0xFF:
            return at
        at += 1 if data[at + 1] == 0xFF else 2
    raise Unreadable("the JPEG is damaged or cut off")


def _side_up(body: bytes) -> int:
    """Which side is up, 1 to 8, as the camera wrote it; 1 where it wrote nothing that can be read."""
    tiff = body[6:] if body.startswith(b"Exif\0\0") else b""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(tiff[:4])
    if order is None or len(tiff) < 8:
        return 1
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    if first + 2 > len(tiff):
        return 1
    (count,) = struct.unpack_from(f"{order}H", tiff, first)
    for entry in range(min(count, 200)):
        at = first + 2 + 12 * entry
        if at + 12 > len(tiff):
            return 1
        tag, kind, _number, value = struct.unpack_from(f"{order}HHIH", tiff, at)
        if tag == _ORIENTATION:
            return value if kind == 3 and 1 <= value <= 8 else 1
    return 1


def _oriented(side_up: int) -> bytes:
    """An Exif segment that holds which side is up, and nothing else."""
    tiff = b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, _ORIENTATION, 3, 1, side_up, 0, 0)
    body = b"Exif\0\0" + tiff
    return struct.pack(">BBH", 0xFF, _EXIF, len(body) + 2) + body
