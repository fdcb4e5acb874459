"""Names of files that are not the same file on every system are refused on every system.

The names are those of Microsoft's 'Naming Files, Paths, and Namespaces': reserved devices with any ending and in any
capitals, a dot or a space at the end, nine characters. 255 bytes are what ext4, NTFS (255 UTF-16 units) and APFS take.
"""

import pytest

from wizard.foreign.portable_name import misnamed

DEVICES = (
    "con",
    "prn",
    "aux",
    "nul",
    "conin$",
    "conout$",
    *(f"{d}{n}" for d in ("com", "lpt") for n in "0123456789¹²³"),
)


@pytest.mark.parametrize("device", DEVICES)
def test_a_device_s_name_is_refused_anywhere_with_any_ending(device):
    for name in (
        device,
        device.upper(),
        f"{device}.toml",
        f"{device.title()}.tar.gz",
        f"a/{device}/b.toml",
        f"{device} .x",
    ):
        assert "for a device" in misnamed(name)


@pytest.mark.parametrize(
    "name", ["console.toml", "com.toml", "com10.toml", "nulls/x.toml", "a.con", "lpt", "acon.toml"]
)
def test_what_only_looks_like_a_device_is_taken(name):
    assert misnamed(name) == ""


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "/a", "a//b", "./a", "a/./b", "a/", "a/../b", "a.", "a /b", "a./b", "a:b", "C:/x", "a\\b",
        "a\nb", "a\x00b", "a\x7f", 'a"b', "a<b", "a>b", "a|b", "a?b", "a*b", "\ud800",
        "x" * 256, "é" * 128, "a/" * 250 + "b",
    ],
)  # fmt: skip
def test_what_is_no_file_s_name_on_some_system_is_refused(name):
    assert misnamed(name)


def test_names_as_long_as_file_systems_take_are_taken():
    assert misnamed("x" * 255) == misnamed("é" * 127) == misnamed(f"{'x' * 199}/{'y' * 199}") == ""
