"""Several jobs planned together: one job to the search, so that they share boards and a purchase.

Each part keeps its job before its name. What is held for one of the jobs serves all of them: they
are planned together on purpose.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from optimizer.job.parts import Hardware, Job, prefix


def together(jobs: Sequence[Job]) -> Job:
    """All parts of ``jobs`` as one job, ``boat-rack + bench``; a single job as it is."""
    if len(jobs) == 1:
        return jobs[0]
    parts = [
        replace(
            part,
            name=f"{prefix(job.name)}{part.name}",
            of_board=part.of_board and f"{prefix(job.name)}{part.of_board}",
        )
        for job in jobs
        for part in job.parts
    ]
    return Job(
        name=" + ".join(job.name for job in jobs),
        parts=tuple(parts),
        jobs=tuple(job.name for job in jobs),
        hardware=tuple(_summed(jobs)),
    )


def _summed(jobs: Sequence[Job]) -> Iterator[Hardware]:
    """The same item at the same price is one line, for one purchase."""
    counts: Counter[Hardware] = Counter()
    for line in (line for job in jobs for line in job.hardware):
        counts[replace(line, count=1)] += line.count
    for line, count in counts.items():
        yield replace(line, count=count)
