"""What a shop writes of itself and of a customer: each key declared once, each mistake in one placed sentence."""

from __future__ import annotations

import pytest

from tests.helpers.report_jobs import logo
from wizard.documents.report.customer_details import ChargeEntry, CustomerDetails, read_customer
from wizard.documents.report.shop_details import NAME, ShopDetails, read_logo, read_shop
from wizard.errors import DetailsError
from wizard.foreign.image_file import ImageKind


def write(folder, text, name=NAME):
    (folder / name).write_text(text, encoding="utf-8", newline="\n")
    return folder


def refused(folder, text, read=read_shop):
    """The sentence that a text is refused with."""
    with pytest.raises(DetailsError) as error:
        read(write(folder, text))
    assert "Traceback" not in str(error.value) and str(folder / NAME) in str(error.value)
    return str(error.value).removeprefix(str(folder / NAME))


def test_nobody_needs_either_file(tmp_path):
    """Without them nothing stands in their place."""
    assert read_shop(tmp_path) == ShopDetails() and read_logo(tmp_path, ShopDetails()) is None
    assert read_customer(tmp_path / "customer.toml") == CustomerDetails()


def test_every_key_is_read(tmp_path):
    """Whole numbers are prices too; an address has lines."""
    text = (
        'name = "A"\naddress = "B\\nC"\ntelephone = "1"\ntax_number = "2"\nwarranty = "W"\ncurrency = "EUR"\n'
    )
    shop = read_shop(write(tmp_path, text + "[prices]\ndamper = 21.9\npins = 4\n"))
    assert shop == ShopDetails("A", "B\nC", "1", "2", "W", "", "EUR", {"damper": 21.9, "pins": 4.0})
    write(tmp_path, 'name = "M"\n[[charge]]\nsays = "Way"\nprice = 15\n', "customer.toml")
    assert read_customer(tmp_path / "customer.toml") == CustomerDetails(
        "M", "", (ChargeEntry("Way", 15.0, 1.0),)
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            'telefone = "1"',
            "its key 'telefone' is not known. Did you mean telephone? Its keys are name, address,",
        ),
        ("name = 3", "its key 'name' is 3, not text"),
        ("[prices]\ndamper = 'dear'", "its key 'prices.damper' is 'dear', not a number"),
        ("[prices]\ndamper = -1.0", "its key 'prices.damper' is -1. Write what one costs, 0 or more."),
        ("name = ?\n", "this is not TOML in UTF-8 (Invalid value (at line 1, column 8))"),
        (f'name = "{"x" * 81}"', "its key 'name' has 81 characters. Write at most 80."),
        ('name = "a\\nb"', "its key 'name' has several lines. Write it on one."),
        ("a.b.c.d.e = 1", "a key of more than 4 parts in it"),
    ],
)
def test_a_mistake_in_the_shops_file_is_placed_and_plain(tmp_path, text, says):
    """File, key, what stands there, and what to write instead."""
    assert says in refused(tmp_path, text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[charge]]\nprice = 1", "its key 'charge[0].says' is missing"),
        ("[[charge]]\nsays = 'x'\nprice = 1\ncount = 0", "charge 1: a price or a count that nothing costs"),
        ("[[charge]]\nsays = 'x'\nprice = 1e12", "charge 1: a price or a count that nothing costs"),
        (f"[[charge]]\nsays = '{'x' * 301}'\nprice = 1", "its key 'charge 1: says' has 301 characters"),
    ],
)
def test_a_mistake_in_a_customers_file_is_placed_and_plain(tmp_path, text, says):
    """A charge says which one it is."""
    path = write(tmp_path, text, "customer.toml") / "customer.toml"
    with pytest.raises(DetailsError) as error:
        read_customer(path)
    assert str(error.value).startswith(f"{path}: ") and says in str(error.value)


def test_a_file_that_is_too_large_or_no_file_is_refused(tmp_path):
    """Beyond the limits nothing of it is parsed."""
    assert "too large for a file with a shop's details" in refused(tmp_path, "#" * 100_001)
    (tmp_path / NAME).unlink()
    (tmp_path / NAME).mkdir()
    with pytest.raises(DetailsError, match="it can't be read"):
        read_shop(tmp_path)


def test_a_logo_is_a_picture_beside_the_file(tmp_path):
    """A PNG is taken; the name of another folder, what is no picture, an SVG and what isn't there are refused."""
    (tmp_path / "logo.png").write_bytes(logo())
    (tmp_path / "logo.svg").write_text(
        "<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", encoding="utf-8"
    )
    found = read_logo(tmp_path, ShopDetails(logo="logo.png"))
    assert found is not None and (found.kind, found.width, found.height) == (ImageKind.PNG, 80, 80)
    for name, says in (
        ("../logo.png", "that is no name of a file beside it"),
        ("a\\logo.png", "that is no name of a file beside it"),
        ("/etc/passwd", "that is no name of a file beside it"),
        ("logo.svg", "it is neither a PNG nor a JPEG"),
        ("none.png", "there is no such file"),
        (NAME, "it is neither a PNG nor a JPEG"),
    ):
        write(tmp_path, "")
        with pytest.raises(DetailsError, match=says):
            read_logo(tmp_path, ShopDetails(logo=name))


def test_hostile_texts_are_shown_by_their_codes(tmp_path):
    """An error on a terminal obeys nothing that stands in the file."""
    said = refused(tmp_path, '"a\\u001b]0;x\\u0007" = 1')
    assert said.isprintable() and "x1b" in said
