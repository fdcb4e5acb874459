"""What a shop says of itself on its reports: ``shop.toml`` in the home. Nobody is asked for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath, PureWindowsPath

from wizard.documents.report.details_file import read_details
from wizard.errors import DetailsError
from wizard.foreign.file_reader import read_file
from wizard.foreign.harmless import harmless
from wizard.foreign.image_file import ImageFile, parse_image
from wizard.foreign.limits import Source, Unreadable

NAME = "shop.toml"
"""The file's name in the home."""


@dataclass(frozen=True, slots=True)
class ShopDetails:
    """The keys of the file. Each may be left out, and then nothing stands in its place.

    ``warranty``: the shop's own words. ``logo``: a PNG or JPEG beside the file, by its name. ``prices``: of one part,
    by the part's id in the flow, in ``currency``. ``second_copy``: a folder on another medium, in which each event of a
    job is kept too.
    """

    name: str = ""
    address: str = ""
    telephone: str = ""
    tax_number: str = ""
    warranty: str = ""
    logo: str = ""
    currency: str = ""
    prices: Mapping[str, float] = field(default_factory=dict)
    second_copy: str = ""


def read_shop(home: Path) -> ShopDetails:
    """The shop of a home; an empty one where it has no such file. DetailsError says what is wrong with it."""
    shop = read_details(home / NAME, ShopDetails, Source.SHOP)
    for part, price in shop.prices.items():
        if not 0 <= price < 1e9:
            raise DetailsError(
                harmless(
                    f"{home / NAME}: its key 'prices.{part}' is {price:g}. Write what one costs, 0 or more."
                )
            )
    return shop


def read_logo(home: Path, shop: ShopDetails) -> ImageFile | None:
    """The picture that the shop names; None where it names none. DetailsError says why it can't be taken."""
    if not shop.logo:
        return None
    where = f"{home / NAME}: its key 'logo' names {shop.logo!r}, and"
    if any(kind(shop.logo).name != shop.logo for kind in (PurePosixPath, PureWindowsPath)):
        raise DetailsError(harmless(f"{where} that is no name of a file beside it. Put the picture there."))
    try:
        return parse_image(read_file(home / shop.logo, Source.LOGO), Source.LOGO)
    except FileNotFoundError:
        raise DetailsError(harmless(f"{where} there is no such file. Put it beside {NAME}.")) from None
    except OSError as error:
        why = error.strerror or str(error)
        raise DetailsError(harmless(f"{where} it can't be read ({why}). Look at its permissions.")) from error
    except Unreadable as problem:
        raise DetailsError(
            harmless(f"{where} {problem}. A PNG or a JPEG of at most 1 MB is taken.")
        ) from problem
