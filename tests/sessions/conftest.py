"""A home with a session in it, another without, and the session on its way between them."""

import pytest

from tests.helpers.stored_sessions import SESSION, home_at, store_at
from wizard.sessions.transfer import export


@pytest.fixture
def here(tmp_path):
    return home_at(tmp_path / "here")


@pytest.fixture
def there(tmp_path):
    return store_at(tmp_path / "there")


@pytest.fixture
def zipped(here, tmp_path):
    return export(here, SESSION, tmp_path / "sent.zip")
