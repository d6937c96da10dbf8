"""The demo shop behind the live server."""

import pytest

from stages.demo.load import LogIns, load_demo


@pytest.fixture
def demo_shop(transactional_db: None) -> LogIns:
    """The demo shop, as `manage.py start` loads it."""
    return load_demo()
