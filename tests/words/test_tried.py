"""What an attempt at a stud came to, as the person reads it."""

import pytest

from app.assembly.deeds.bolts import tried
from app.trade.stretch import Attempt, TwoSided, accept
from app.words.say import say

STUD = TwoSided(79, 94, 0.483, 0.610)


@pytest.mark.parametrize(
    ("attempt", "said"),
    [
        (Attempt(57, 0.20), "57.0 N·m and 0.200 mm are not there yet: keep going"),
        (Attempt(85, 0.55), "85.0 N·m and 0.550 mm are both within: leave it"),
        (Attempt(70, 0.62), "0.620 mm is over the 0.610 mm allowed at 70.0 N·m: replace the stud"),
        (Attempt(94, 0.40), "94.0 N·m came before the stretch and the torque were both within: slacken all"),
        (Attempt(94, 0.40, 2), "for the second time: replace the stud"),
    ],
)
def test_an_attempt_is_told_with_its_figures(attempt: Attempt, said: str) -> None:
    sentence = say(tried(accept(STUD, attempt), STUD, attempt))
    assert said in sentence
    assert sentence.endswith(".")
