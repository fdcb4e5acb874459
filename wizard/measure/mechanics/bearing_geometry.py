"""The balls of the bearings that are looked for in a sound."""

from __future__ import annotations

from collections.abc import Mapping

GEOMETRY: Mapping[str, tuple[int, float]] = {
    "6203": (8, 0.2367), "6204": (8, 0.2370), "6205": (9, 0.3126 / 1.537), "6206": (9, 0.2065), "6305": (8, 0.2570),
    "6306": (8, 0.2410),
}  # fmt: skip
"""Designation -> balls, and ball over pitch diameter. 6205: Case Western Reserve University bearing data; 6203 by its
published orders; the others from memory. Makers differ by some per cent, and a slip of 2 % is allowed for.
"""
