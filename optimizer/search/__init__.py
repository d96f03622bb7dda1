"""The cheapest way there: patterns, programmes, bounds, layouts."""

import os

# Products of its arrays are small: more threads of numpy's library would only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
