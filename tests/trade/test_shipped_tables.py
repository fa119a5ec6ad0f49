"""The reference tables that ship, and files that must not pass."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import fields

from app.trade.quantity import UNITS
from app.trade.shipped_tables import FOLDER, TableError, read_tables, shipped_tables
from app.trade.tables import Known, Tables, ThreadState, find_pressure_limits, find_strength

TABLES = shipped_tables()
ROWS = [(field.name, row) for field in fields(Tables) for row in getattr(TABLES, field.name)]
HEAD = 'edition = "an edition"\nsource = "a source"\nknown = "read"\n'


@pytest.mark.parametrize(("name", "row"), ROWS, ids=lambda value: value if isinstance(value, str) else "")
def test_every_shipped_row_says_where_it_comes_from(name: str, row: Any) -> None:
    assert row.origin.edition.strip(), name
    assert row.origin.source.strip(), name
    assert isinstance(row.origin.known, Known), name


def test_every_table_is_filled() -> None:
    assert all(getattr(TABLES, field.name) for field in fields(Tables))


def test_the_tables_are_read_once() -> None:
    assert shipped_tables() is TABLES


def test_no_row_runs_backwards() -> None:
    for _, row in ROWS:
        for low, high in (("low", "high"), ("low_mpa", "high_mpa"), ("over_mm", "to_mm")):
            if hasattr(row, low):
                assert getattr(row, low) <= getattr(row, high), row


def test_no_row_stands_twice() -> None:
    assert len(ROWS) == len({repr(row) for row in ROWS})


def test_editions_that_disagree_stand_side_by_side() -> None:
    # Mild steel: 260 MPa in VDI 2230:1986, 490 in 2003 (read)
    assert [row.low_mpa for row in find_pressure_limits(TABLES, "mild steel")] == [260, 490]


def test_inch_figures_come_in_as_metric_ones() -> None:
    # Grade 5: 85 ksi proof (read); 3/8-16 is 9.525 mm with a pitch of 25.4 / 16
    assert find_strength(TABLES, "Grade 5", 9.525).proof_mpa == pytest.approx(586.05, abs=0.01)
    found = next(row for row in TABLES.threads if row.name == "3/8" and row.series.value == "UNC")
    assert (found.diameter_mm, found.pitch_mm) == pytest.approx((9.525, 1.5875))
    least = next(row for row in TABLES.run_ons if row.thread == "1/2-13")
    assert least.least_nm == pytest.approx(UNITS["lbf·in"].to_base(10))


def test_a_state_is_in_the_table_of_factors_for_each_one_there_is() -> None:
    assert {row.state for row in TABLES.nut_factors} == set(ThreadState)


def broken(folder: Path, name: str, text: str) -> str:
    """The sentence about a folder of sound tables in which one file was written over."""
    shutil.copytree(FOLDER, folder / "tables")
    (folder / "tables" / name).write_text(text, encoding="utf-8")
    with pytest.raises(TableError) as refusal:
        read_tables(folder / "tables")
    return str(refusal.value)


SOUND_ROW = 'rows = [{ name = "M5", face_mm = 6.88, hole_mm = 5.5 }]\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"[[table]]\n{HEAD}colour = 1\n{SOUND_ROW}", "heads.toml, table 1 has “colour”"),
        (f'[[table]]\nedition = "e"\nknown = "read"\n{SOUND_ROW}', "table 1 does not say its source"),
        (f'[[table]]\nedition = " "\nsource = "s"\nknown = "read"\n{SOUND_ROW}', "table 1 does not say its edition"),
        (f'[[table]]\nedition = "e"\nsource = "s"\nknown = "heard"\n{SOUND_ROW}', "says “heard” for how it is known"),
        (f'[[table]]\nedition = "e"\nsource = "s"\n{SOUND_ROW}', "says “None” for how it is known"),
        (f"[[table]]\n{HEAD}", "table 1 has no rows"),
        (f"[[table]]\n{HEAD}rows = [1]\n", "table 1, row 1 is not a row"),
        (f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = 6.88 }}]\n', "row 1 has no “hole_mm”"),
        (
            f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = 6.88, hole_mm = 5.5, length_mm = 3 }}]\n',
            "row 1 has “length_mm”",
        ),
        (
            f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = "six", hole_mm = 5.5 }}]\n',
            "row 1 has “six” for face_mm",
        ),
        (f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = -1, hole_mm = 5.5 }}]\n', "row 1 has “-1” for face_mm"),
        (f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = nan, hole_mm = 5.5 }}]\n', "row 1 has “nan” for face_mm"),
        (f'[[table]]\n{HEAD}rows = [{{ name = "M5", face_mm = true, hole_mm = 5.5 }}]\n', "row 1 has “True”"),
        (f"[[table]]\n{HEAD}rows = [{{ name = 5, face_mm = 6.88, hole_mm = 5.5 }}]\n", "row 1 has “5” for name"),
        ("[head]\nx = 1\n", "[[table]] heads and nothing else"),
        ("", "[[table]] heads and nothing else"),
        ("rows = [", "is not a TOML file"),
    ],
)
def test_a_faulty_file_is_refused_with_file_row_and_fault(tmp_path: Path, text: str, said: str) -> None:
    sentence = broken(tmp_path, "heads.toml", text)
    assert sentence.startswith("heads.toml")
    assert said in sentence
    assert sentence.endswith(".")


@pytest.mark.parametrize(
    ("name", "row", "said"),
    [
        ("threads.toml", '{ name = "1/4", series = "UNX", diameter_in = 0.25, threads_per_inch = 20 }', "“UNX”"),
        ("threads.toml", '{ name = "1/4", series = "UNC", diameter_in = 0.25, threads_per_inch = 0 }', "0 threads"),
        (
            "threads.toml",
            '{ name = "1/4", series = "UNC", diameter_in = 0.25, diameter_mm = 6, threads_per_inch = 20 }',
            "twice, in two units",
        ),
        ("nut-factors.toml", '{ state = "wet", condition = "c", low = 0.1, high = 0.2 }', "“wet” for state"),
    ],
)
def test_a_faulty_row_is_named(tmp_path: Path, name: str, row: str, said: str) -> None:
    sentence = broken(tmp_path, name, f"[[table]]\n{HEAD}rows = [{row}]\n")
    assert sentence.startswith(f"{name}, table 1, row 1")
    assert said in sentence


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(TableError, match=r"threads\.toml cannot be read"):
        read_tables(tmp_path)
