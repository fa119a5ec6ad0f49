"""What is exported of a line that waits for its second look tells nothing of what the first one read."""

from app.exchange.export import sheet_values
from tests.cases.story import Told, story


def _readings(told: Told, step: str) -> list[tuple[object, object, object]]:
    (line,) = sheet_values(told.survey, [told.line(step)])
    return [(one["value"], one["verdict"], one["hidden"]) for one in line["readings"]]


def test_a_first_reading_is_hidden_until_its_second_look() -> None:
    told = story("four-ohv", before="torque-crank-bolt")
    told.figure("torque-crank-bolt", "85 to 95 N·m")
    told.read("torque-crank-bolt", "90 N·m")
    told.sign("torque-crank-bolt")
    assert _readings(told, "torque-crank-bolt") == [(None, None, True)]
    told.second("torque-crank-bolt", values={told.line("torque-crank-bolt").places[0].id: "91 N·m"})
    assert _readings(told, "torque-crank-bolt") == [("90 N·m", "In", False)]
