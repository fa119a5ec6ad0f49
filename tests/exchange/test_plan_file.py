"""Plan files in: a good one becomes a plan, a bad one a sentence for each fault, quickly and without a traceback."""

import importlib.util
import json
import time
import tomllib
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import Struct

from app.assembly.plan import steps
from app.assembly.plan.steps import Plan, Trust
from app.exchange.plan_file import MAX_BYTES, PlanError, parse_plan, plan_schema, read_plan
from tests.plans import HEAD, SMALL

ROOT = Path(__file__).parents[2]
PLANS = sorted((ROOT / "resources" / "plans").glob("*.toml"))
MODEST = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def _faults(text: str) -> tuple[str, ...]:
    with pytest.raises(PlanError) as caught:
        parse_plan(text, "mine.toml")
    for line in str(caught.value).splitlines():
        assert line.startswith("mine.toml: ")
        assert line.endswith(".")
        assert len(line) < 400
    assert len(str(caught.value).splitlines()) == len(caught.value.faults)
    return caught.value.faults


def _with(old: str, new: str) -> tuple[str, ...]:
    assert SMALL.count(old) >= 1
    return _faults(SMALL.replace(old, new, 1))


# --- good files


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name)
def test_every_plan_that_ships_is_good(path: Path) -> None:
    plan = read_plan(path)
    assert plan.id == path.stem
    assert plan.summary


def test_a_plan_is_read_as_it_is_written() -> None:
    plan = parse_plan(SMALL)
    assert [stage.id for stage in plan.stages] == ["inside", "oil", "run"]
    assert plan.sources[0].trust is Trust.PRACTICE
    assert plan.arrangement.firing_order == (1, 2)


def test_a_file_from_another_editor_may_have_its_line_ends_and_a_mark_in_front(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(SMALL.replace("\n", "\r\n").encode())
    assert read_plan(path).id == "small"
    path.write_bytes(b"\xef\xbb\xbf" + SMALL.encode())
    assert read_plan(path).id == "small"


# --- bad files


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b"", "format: is missing"),
        (b"\0\0\0", "is not TOML"),
        (SMALL.encode().replace(b"Two", b"T\0o"), "is not TOML"),
        (b"\xff\xfe\x00a", "is not UTF-8 text (byte 0); save it as UTF-8"),
        (SMALL.encode().replace(b"Two", b"Tw\xe4"), "is not UTF-8 text"),
        (b"<html>", "is not TOML"),
        (b"a = 1\na = 2", "is not TOML"),
        (b"[arrangement]\n[arrangement]\n", "is not TOML"),
        (b"x = " + b"[" * 100_000, "nested too deeply"),
        (b"x = " + b"{a=" * 50_000, "nested too deeply"),
        (b"format = " + b"9" * 10_000, "is not TOML"),
        (b"x" * (MAX_BYTES + 1), "kB; a plan is at most 2000 kB of text"),
    ],
    ids=["empty", "NUL", "NUL inside", "UTF-16", "Latin-1", "HTML", "key twice", "table twice", "brackets", "braces",
         "long number", "too long"],
)  # fmt: skip
def test_a_file_that_is_no_plan_is_told_in_a_sentence(tmp_path: Path, content: bytes, fault: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(content)
    began = time.monotonic()
    with pytest.raises(PlanError) as caught:
        read_plan(path)
    assert time.monotonic() - began < 5
    assert any(fault in found for found in caught.value.faults)
    assert str(caught.value).startswith("mine.toml: ")


def test_fifty_megabytes_are_not_even_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    began = time.monotonic()
    with pytest.raises(PlanError, match=r"huge\.toml: is 50000 kB; a plan is at most 2000 kB of text"):
        read_plan(path)
    assert time.monotonic() - began < 1


def test_a_folder_or_a_missing_file_is_no_plan(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="cannot be read: Is a directory"):
        read_plan(tmp_path)
    with pytest.raises(PlanError, match=r"none\.toml: cannot be read: No such file"):
        read_plan(tmp_path / "none.toml")


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('title = "Two cylinders"', "", "title: is missing"),
        ('do = "Wash the block"', "", "step “clean-block”, do: is missing"),
        ('do = "Wash the block"', 'do = "Wash"\ncolour = "red"', "step “clean-block”, colour: this key is not known"),
        ('do = "Wash the block"', "do = 7", "step “clean-block”, do: must be text, in quotation marks, not “7”"),
        (
            'do = "Wash the block"',
            'do = "W"\nminutes = "long"',
            "step “clean-block”, minutes: must be a whole number, not “long”",
        ),
        (
            'do = "Wash the block"',
            'do = "W"\nphoto = "perhaps"',
            "step “clean-block”, photo: must be true or false",
        ),
        (
            'do = "Wash the block"',
            'do = "W"\ntools = "a rag"',
            "step “clean-block”, tools: must be a list, in square brackets, not “a rag”",
        ),
        ('do = "Wash the block"', 'do = "W"\neasy = ["it is dull"]', "step “clean-block”, easy"),
        ('kind = "pressure"', 'kind = "luck"', "step “prime”, spec, kind: must be 'length'"),
        ('trust = "general practice"', 'trust = "a mate"', "source “practice”, trust"),
        ("cylinders = 2", 'cylinders = "two"', "arrangement, cylinders: must be a whole number, not “two”"),
        ("cylinders = 2", "cylinders = 2.5", "arrangement, cylinders"),
        ("cylinders = 2", "cylinders = 0x" + "f" * 6000, "arrangement, cylinders: no number in a plan is as large"),
        ("rounds = 2", "rounds = -99999999999", "step “read-lash”, spec, rounds: no number in a plan is as large"),
        ("cylinders = 2", "cylinders = nan", "arrangement, cylinders"),
        ("cylinders = 2", "cylinders = 1979-05-27", "arrangement, cylinders"),
        ("firing_order = [1, 2]", "firing_order = [[1], 2]", "arrangement, firing_order 1"),
        ('layout = "inline"', 'layout = "sideways"', "arrangement, layout"),
        (
            'needs = [{ step = "fit-pan", wait',
            'needs = [{ steps = "fit-pan", wait',
            "step “fill-oil”, needs 1, steps: this key is not known",
        ),
        ("gates]]", "gates]]\nkeeper = 1", "gate “close-bottom”, keeper: this key is not known"),
        ('id = "clean-block"\n', "", "stage “inside”, steps 1, id: is missing"),
    ],
)
def test_a_wrong_key_or_value_is_told_by_step_and_field(old: str, new: str, fault: str) -> None:
    faults = _with(old, new)
    assert any(fault in found for found in faults), faults


def test_every_wrong_key_and_value_is_told_at_once() -> None:
    text = SMALL.replace('do = "Wash the block"', "do = 7").replace('kind = "pressure"', 'kind = "luck"')
    faults = _faults(text.replace("cylinders = 2", 'cylinders = "two"'))
    assert len(faults) == 3
    assert any("clean-block" in fault for fault in faults)
    assert any("prime" in fault for fault in faults)
    assert any("cylinders" in fault for fault in faults)


def test_a_value_of_many_lines_is_told_on_one() -> None:
    (fault,) = _with('kind = "pressure"', f'kind = """\nluck\n{"and more " * 500}"""')
    assert "\n" not in fault
    assert "…" in fault


def test_a_table_where_a_list_belongs_is_told() -> None:
    faults = _faults(HEAD + '\n[stages]\nid = "inside"\n')
    assert any(fault.startswith("stages: ") for fault in faults)


def test_long_dotted_keys_take_no_time() -> None:
    began = time.monotonic()
    _faults(".".join("a" * 5 for _ in range(2000)) + " = 1\n")
    assert time.monotonic() - began < 5


# --- whatever comes


@MODEST
@given(text=st.text(max_size=400))
def test_any_text_is_a_plan_or_a_plan_error(text: str) -> None:
    _only_plan_errors(text)


@MODEST
@given(data=st.data())
def test_a_good_plan_spoiled_anywhere_is_a_plan_or_a_plan_error(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(SMALL) - 1))
    end = data.draw(st.integers(start, min(len(SMALL), start + 80)))
    new = data.draw(st.text(max_size=12) | st.sampled_from(['"', "[", "]", "\n", "= 1", "{}", "[[stages]]", "true"]))
    _only_plan_errors(SMALL[:start] + new + SMALL[end:])


def _only_plan_errors(text: str) -> None:
    try:
        assert isinstance(parse_plan(text, "any.toml"), Plan)
    except PlanError as error:
        assert error.faults  # noqa: PT017  either way is right here


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)
PATHS = [
    ("stages",),
    ("stages", 0, "steps"),
    ("stages", 0, "steps", 1),
    ("stages", 0, "steps", 1, "spec"),
    ("stages", 0, "steps", 1, "needs"),
    ("stages", 0, "steps", 5, "puts_in"),
    ("arrangement",),
    ("arrangement", "firing_order"),
    ("options", 0, "choices"),
    ("groups", 0, "count"),
    ("gates", 0, "after"),
    ("sources",),
]


@MODEST
@given(where=st.sampled_from(PATHS), value=values)
def test_any_structure_in_the_place_of_another_is_a_plan_or_a_plan_error(
    where: tuple[int | str, ...], value: object
) -> None:
    data: Any = tomllib.loads(SMALL)
    inner = data
    for key in where[:-1]:
        inner = inner[key]
    inner[where[-1]] = value
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(tomllib, "loads", lambda _text: data)
        _only_plan_errors("handed in as it is")


# --- the published schema


@pytest.fixture
def make_schema() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_schema", ROOT / "packaging" / "make_schema.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_schema_in_the_checkout_is_current(make_schema: ModuleType) -> None:
    assert make_schema.main(["--check"]) == 0


def test_a_stale_or_missing_schema_is_told_in_one_sentence(
    make_schema: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plan.schema.json"
    for content in (None, "{}"):
        if content is not None:
            path.write_text(content, "utf-8")
        assert make_schema.main(["--check"], path) == 1
        assert capsys.readouterr().err == f"{path} is out of date; run python packaging/make_schema.py and commit it.\n"
    assert make_schema.main([], path) == 0
    assert make_schema.main(["--check"], path) == 0
    assert make_schema.main(["--chekc"], path) == 2


def test_the_schema_names_every_key_a_plan_may_have() -> None:
    schema = plan_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(schema)) == schema
    step = schema["$defs"]["Step"]
    assert set(step["required"]) == {"id", "do"}
    assert step["additionalProperties"] is False
    assert {"needs", "disturbs", "undoing_disturbs", "hides", "when", "spec", "puts_in"} <= set(step["properties"])
    assert set(schema["required"]) >= {"format", "id", "title", "arrangement", "gates", "stages"}


def test_the_schema_is_of_the_same_format_that_is_read() -> None:
    schema = plan_schema()
    described = schema["$defs"] | {"Plan": schema}
    kinds = [one for one in vars(steps).values() if isinstance(one, type) and issubclass(one, Struct)]
    assert {kind.__name__ for kind in kinds} >= {"Plan", "Stage", "Step"}
    for kind in (one for one in kinds if one is not Struct):
        assert described[kind.__name__]["properties"].keys() == set(kind.__struct_fields__), kind
