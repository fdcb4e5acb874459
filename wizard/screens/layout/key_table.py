"""The bindings of the keys, made from their list; and that list, for who draws it."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from wizard.screens.layout.key_list import JOB as JOB
from wizard.screens.layout.key_list import KEYS as KEYS
from wizard.screens.layout.key_list import MAP as MAP
from wizard.screens.layout.key_list import UNDO as UNDO
from wizard.screens.layout.key_list import Key as Key
from wizard.screens.layout.key_list import labels as labels
from wizard.screens.layout.key_list import numbers as numbers
from wizard.screens.layout.key_list import span as span
from wizard.screens.layout.key_list import wrong_digit as wrong_digit


def bindings(*ids: str, at_once: bool = False) -> list[BindingType]:
    """The bindings of these commands. ``digits`` makes one a digit, each with its number.

    ``at_once``: for screens without a field. The key is dealt with before the next one is looked at, so that a
    number typed right behind an answer goes whole to the field that the answer brings up.
    """
    found: list[BindingType] = []
    for name in ids:
        key = KEYS[name]
        if name == "digits":
            found += [
                Binding(d, f"digit({d})", key.label, show=False, priority=at_once)
                for d in key.keys.split(",")
            ]
        elif key.keys:
            found.append(Binding(key.keys, key.action, key.label, show=False, id=name, priority=at_once))
    return found
