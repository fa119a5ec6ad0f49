"""Write resources/plan.schema.json, what a plan file may hold, from the program's own plan format.

`python packaging/make_schema.py` writes it; with `--check` it only says whether the file is up to date (exit code 1
if it is not).
"""

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from app.exchange.plan_file import plan_schema  # noqa: E402  needs the path above

SCHEMA = ROOT / "resources" / "plan.schema.json"


def schema_text() -> str:
    """Return the file as it should be."""
    return json.dumps(plan_schema(), ensure_ascii=False, indent=2) + "\n"


def main(arguments: list[str], path: Path = SCHEMA) -> int:
    """Write the file, or with `--check` compare it; return the exit code."""
    if arguments not in ([], ["--check"]):
        print("Say nothing to write the schema of plan files, or --check to compare it.", file=sys.stderr)
        return 2
    wanted = schema_text()
    if not arguments:
        path.write_text(wanted, encoding="utf-8")
        return 0
    if path.is_file() and path.read_text(encoding="utf-8") == wanted:
        return 0
    print(f"{path} is out of date; run python packaging/make_schema.py and commit it.", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
