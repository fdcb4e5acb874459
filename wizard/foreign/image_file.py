"""Pictures from elsewhere: a PNG or a JPEG, looked over whole and written anew with nothing in it but the picture.

What a camera writes beside it (where it was taken, a small copy, its maker's notes) and what follows its end is left
out; which side is up is kept. No pixel of a JPEG is decoded: a viewer may still find its picture damaged.

PNG: ISO/IEC 15948:2004. JPEG: ITU-T T.81. Which side is up: Exif 2.3, tag 0x0112.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from wizard.foreign.jpeg_segments import jpeg_picture
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable

_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8\xff"
_KEPT = frozenset({b"IHDR", b"PLTE", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"pHYs", b"IDAT", b"IEND"})
_DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
_CHUNK = 1 << 20


class ImageKind(StrEnum):
    """The two kinds that are taken, as their media types."""

    PNG = "image/png"
    JPEG = "image/jpeg"


@dataclass(frozen=True, slots=True)
class ImageFile:
    """A picture that was looked over: its size in pixels, and its bytes written anew."""

    kind: ImageKind
    width: int
    height: int
    data: bytes


def parse_image(data: bytes, source: Source) -> ImageFile:
    """The picture in some bytes. Unreadable says why they are none, or none that is taken; TooLarge."""
    limits = SOURCE_LIMITS[source]
    if len(data) > limits.size:
        raise TooLarge(f"it has over {limits.size} bytes")
    if data.startswith(_PNG):
        return _png(data, limits.values)
    if data.startswith(_JPEG):
        width, height, clean = jpeg_picture(data)
        return ImageFile(ImageKind.JPEG, *_bounded(width, height, limits.values), clean)
    raise Unreadable("it is neither a PNG nor a JPEG")


def _bounded(width: int, height: int, most: int) -> tuple[int, int]:
    if not width or not height:
        raise Unreadable("the picture in it has no size")
    if width * height > most:
        raise TooLarge(f"the picture in it has {width} by {height} pixels, over {most // 1_000_000} million")
    return width, height


def _png(data: bytes, most: int) -> ImageFile:
    chunks = list(_chunks(data))
    names = [name for name, _body in chunks]
    if names[0] != b"IHDR" or names.count(b"IHDR") > 1 or b"IDAT" not in names:
        raise Unreadable("the PNG has not the parts that it must have")
    packed = b"".join(body for name, body in chunks if name == b"IDAT")
    width, height, rows = _header(chunks[0][1], most)
    _whole(packed, rows)
    return ImageFile(
        ImageKind.PNG, width, height, _PNG + b"".join(_chunk(n, b) for n, b in chunks if n in _KEPT)
    )


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The chunks up to the one that ends it; Unreadable if one is cut off or altered."""
    at = len(_PNG)
    while True:
        if at + 12 > len(data):
            raise Unreadable("the PNG is cut off")
        (size,) = struct.unpack_from(">I", data, at)
        name, end = data[at + 4 : at + 8], at + 8 + size
        if end + 4 > len(data):
            raise Unreadable("the PNG is cut off")
        if zlib.crc32(data[at + 4 : end]) != struct.unpack_from(">I", data, end)[0]:
            raise Unreadable("the PNG was altered: a check sum in it is wrong")
        yield name, data[at + 8 : end]
        if name == b"IEND":
            return
        at = end + 4


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _header(body: bytes, most: int) -> tuple[int, int, int]:
    """Width, height, and the bytes that the picture has unpacked."""
    if len(body) != 13:
        raise Unreadable("the PNG's head is no head")
    width, height, depth, colour, packing, filtering, interlaced = struct.unpack(">IIBBBBB", body)
    if depth not in _DEPTHS.get(colour, ()) or packing or filtering or interlaced > 1:
        raise Unreadable("the PNG's head says what no PNG has")
    _bounded(width, height, most)
    bits = depth * _CHANNELS[colour]
    shapes = _PASSES if interlaced else ((0, 0, 1, 1),)
    sizes = ((-(-(width - x) // across), -(-(height - y) // down)) for x, y, across, down in shapes)
    return width, height, sum(h * (1 + (w * bits + 7) // 8) for w, h in sizes if w > 0 and h > 0)


def _whole(packed: bytes, due: int) -> None:
    """Unreadable unless it unpacks to as many bytes as the picture has; no more are ever unpacked."""
    unpacker, count, left = zlib.decompressobj(), 0, packed
    try:
        while left and not unpacker.eof and count <= due:
            count += len(unpacker.decompress(left, _CHUNK))
            left = unpacker.unconsumed_tail
    except zlib.error:
        raise Unreadable("the PNG's picture is damaged") from None
    if count != due or not unpacker.eof:
        raise Unreadable("the PNG's picture is not whole")
