"""Questions answered one after another or at once; what there was no time for is counted."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from optimizer.advice.asking import Asking, Question, Refused
from optimizer.plan.plan import Plan, Status
from tests.small_town import POSTS, RAILS, town

ASKED = {
    "rails": Question(stock=town(), job=RAILS, gap=Decimal(0)),
    "posts": Question(stock=town(), job=POSTS, gap=Decimal(0)),
    "nothing to saw": Question(stock=replace(town(), offers=(), rack=()), job=RAILS),
}


@pytest.mark.parametrize("workers", [0, 2])
def test_every_question_has_its_answer_however_many_are_at_work(workers: int) -> None:
    told: list[tuple[int, int]] = []
    with Asking(seconds=600, workers=workers, tell=lambda *n: told.append(n)).open() as asking:
        answers = asking.ask(ASKED)
    assert list(answers) == list(ASKED)  # in the order asked
    nets = {key: found.cost.net for key, found in answers.items() if isinstance(found, Plan)}
    assert nets == {"rails": 6, "posts": 6}
    refused = answers["nothing to saw"]
    assert isinstance(refused, Refused)
    assert "Rail: no board is on the rack or for sale" in refused.why
    assert told == [(1, 3), (2, 3), (3, 3)]
    assert asking.unanswered == 0


def test_questions_for_which_there_is_no_time_are_counted() -> None:
    with Asking(seconds=0, workers=0).open() as asking:
        assert asking.ask(ASKED) == {}
    assert asking.unanswered == 3


def test_after_ctrl_c_no_further_question_is_begun() -> None:
    asking = Asking(seconds=600, workers=0, tell=lambda *_: asking.stop())
    assert len(asking.ask(ASKED)) == 1
    assert asking.unanswered == 2


def test_above_a_ceiling_it_is_enough_to_know_that_it_is_so() -> None:
    posts = replace(ASKED["posts"], ceiling=Decimal("0.01"))
    with Asking(seconds=600, workers=0).open() as asking:
        (found,) = asking.ask({0: posts}).values()
    assert isinstance(found, Plan)
    assert found.bound >= Decimal("0.01") or found.status is Status.PROVEN
