"""Whether a session's kept flow is one that the shop approved: by its digest."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique
from functools import lru_cache

from wizard.errors import FlowError
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.flow_files import digest, read_folder
from wizard.trust.trusted_keys import Trusted


@unique
class FlowStanding(StrEnum):
    """Approved by the shop; or it keeps no list, and the flow comes with this program; or neither."""

    APPROVED = "approved"
    SHIPPED = "shipped"
    UNKNOWN = "unknown"


def flow_standing(of: str, trusted: Trusted) -> FlowStanding:
    """How the flow with this digest stands."""
    if of in trusted.flows:
        return FlowStanding.APPROVED
    return FlowStanding.SHIPPED if not trusted.flows and of in shipped_digests() else FlowStanding.UNKNOWN


@lru_cache(maxsize=1)
def shipped_digests() -> Mapping[str, str]:
    """The name of each flow that comes with this program, by its digest."""
    found = {}
    for name, folder in shipped().items():
        try:
            found[digest(read_folder(folder))] = name
        except FlowError:  # One that can't be read is none that a session of today was begun with.
            continue
    return found
