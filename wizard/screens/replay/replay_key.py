"""What the keys of a replay are for."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class ReplayKey(StrEnum):
    """What a key is for, by its name in the key table. The last four open the list of that name."""

    MOVE = "move"
    STRIDE = "stride"
    END = "end"
    PLAY = "play"
    SPEED = "speed"
    EVENT = "event"
    REMARK = "remark"
    SIGN = "sign"
    MOMENT = "moment"
    FIND = "find"
    OPEN_PHOTO = "open-photo"
    LINE = "line"
    STAYS = "stays"
    FLAGS = "flags"
    REMARKS = "remarks"
