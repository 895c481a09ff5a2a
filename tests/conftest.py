"""How property tests look for cases (the same ones each time, or ever new ones where that is asked for), and a folder
for what a user's own folder would get.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("search", derandomize=False)
settings.load_profile("same")


@pytest.fixture(scope="session", autouse=True)
def nothing_in_the_home_of_whoever_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Kept lines and troubles go into a folder of the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield
