"""For all tests: none fails because the machine was slow."""

from __future__ import annotations

import os

from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # tests already run in two processes

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
