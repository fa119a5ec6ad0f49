"""Plan files in: TOML to a checked `Plan`, or every fault of the file at once."""

import sys
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from app.assembly.plan.check import faults
from app.assembly.plan.steps import Plan
from app.exchange.plan_form import checked, form

MAX_BYTES = 2_000_000
MAX_NUMBER = 10**9
# No field of a plan stands deeper than this: stages, 1, steps, 1, needs, 1, wait.
DEEPEST = 10
_MUST = {
    "tuple_type": "must be a list, in square brackets",
    "dataclass_type": "must be a table, in curly brackets or under its own head",
    "string_type": "must be text, in quotation marks",
    "int_type": "must be a whole number",
    "int_parsing": "must be a whole number",
    "int_from_float": "must be a whole number",
    "bool_type": "must be true or false",
    "bool_parsing": "must be true or false",
}


class PlanError(ValueError):
    """A plan file that cannot be used; `faults` holds one sentence for each thing to mend."""

    def __init__(self, name: str, found: list[str]) -> None:
        self.name = name
        self.faults = tuple(found)
        super().__init__("\n".join(f"{name}: {fault}." for fault in found))


def read_plan(path: Path) -> Plan:
    """Read and check a plan file; raise `PlanError` with every fault."""
    return parse_plan(read_text(path), path.name)


def read_text(path: Path) -> str:
    """The text of a plan file; raise `PlanError` if it is none."""
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise PlanError(path.name, [f"is {size // 1000} kB; a plan is at most {MAX_BYTES // 1000} kB of text"])
        return path.read_text(encoding="utf-8-sig")  # some editors put a mark in front
    except UnicodeDecodeError as error:
        raise PlanError(path.name, [f"is not UTF-8 text (byte {error.start}); save it as UTF-8"]) from None
    except OSError as error:
        raise PlanError(path.name, [f"cannot be read: {error.strerror}"]) from None


def parse_plan(text: str, name: str = "plan") -> Plan:
    """Read and check the text of a plan file; `name` is what the faults call it."""
    if len(text.encode("utf-8", "replace")) > MAX_BYTES:
        raise PlanError(name, [f"is too long; a plan is at most {MAX_BYTES // 1000} kB of text"])
    try:
        data = tomllib.loads(text)
    except ValueError as error:  # also a number of thousands of digits, which is not told as a TOML fault
        raise PlanError(name, [f"is not TOML: {_short(str(error), 200)}"]) from None
    except RecursionError:
        raise PlanError(name, ["is nested too deeply to be a plan"]) from None
    huge = [f"{_where(place, data)}: no number in a plan is as large as that" for place in _huge(data)]
    if huge:
        raise PlanError(name, huge)
    try:
        plan = checked(data)
    except ValidationError as error:
        raise PlanError(name, list(_sentences(error, data))) from None
    found = faults(plan)
    if found:
        raise PlanError(name, found)
    return plan


def plan_schema() -> dict[str, Any]:
    """The JSON Schema of a plan file, made from the classes of `app.assembly.plan`."""
    schema = form().json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _huge(data: Any) -> Iterator[tuple[int | str, ...]]:
    """Where a whole number stands that neither a person nor the database could handle."""
    pending: list[tuple[tuple[int | str, ...], Any]] = [((), data)]
    while pending:
        place, value = pending.pop()
        if isinstance(value, dict | list) and len(place) < DEEPEST:
            inner = value.items() if isinstance(value, dict) else enumerate(value)
            pending += [((*place, key), one) for key, one in inner]
        elif isinstance(value, int) and abs(value) > MAX_NUMBER:
            yield place


def _sentences(error: ValidationError, data: Mapping[str, Any]) -> Iterator[str]:
    seen: set[str] = set()
    for fault in error.errors(include_url=False, include_context=False):
        where = _where(fault["loc"], data)
        sentence = f"{where}: {_said(fault['type'], fault['msg'], fault.get('input'))}"
        if sentence not in seen:
            seen.add(sentence)
            yield sentence


def _where(location: tuple[int | str, ...], data: Any) -> str:
    """`stages, 3, steps, 7, needs` said as “step “lay-crank”, needs”."""
    names: list[str] = []
    for key in location:
        data = _inside(data, key)
        if isinstance(key, int):
            id_ = data.get("id") if isinstance(data, dict) else None
            names[-1:] = [f"{_singular(names[-1])} “{_short(str(id_))}”" if id_ else f"{names[-1]} {key + 1}"]
        elif not key[:1].isupper() and key not in ("str", "tuple"):
            names.append(_short(key))
    if len(names) > 1 and names[0].startswith("stage") and names[1].startswith("step “"):
        del names[0]
    return ", ".join(names) or "file"


def _inside(data: Any, key: int | str) -> Any:
    if isinstance(data, list) and isinstance(key, int):
        return data[key] if key < len(data) else None
    return data.get(key) if isinstance(data, dict) and key in data else data


def _singular(name: str) -> str:
    return name.removesuffix("s")


def _said(kind: str, message: str, value: Any) -> str:
    if kind == "unexpected_keyword_argument":
        return "this key is not known"
    if kind == "missing":
        return "is missing"
    said = _MUST.get(kind) or message[0].lower() + message[1:]
    said = said.replace("input should be", "must be")
    return f"{said}, not “{_short(str(value))}”" if isinstance(value, str | int | float) else said


def _short(text: str, longest: int = 60) -> str:
    """The text on one line, cut where it would fill the screen."""
    text = " ".join(text.split())
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def _main(paths: list[str]) -> int:
    for path in paths:
        try:
            plan = read_plan(Path(path))
        except PlanError as error:
            print(error, file=sys.stderr)
            return 1
        lines = list(plan.steps())
        holds = sum(step.hold for step in lines)
        print(f"{path}: {len(lines)} lines, {holds} holds, {len(plan.gates)} gates, no faults")
    return 0


if __name__ == "__main__":
    sys.exit(_main(sys.argv[1:]))
