"""For all tests: none fails because the machine was slow."""

from __future__ import annotations

from hypothesis import settings

import optimizer.search  # noqa: F401  # before numpy, which hears of its threads only once

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
