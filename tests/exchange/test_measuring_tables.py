"""The shipped tables of measuring: every row says where it comes from, and a faulty row is named."""

import shutil
from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import fields

from app.exchange.measuring_tables import measuring_tables, read_measuring_tables
from app.trade.measuring_tables import MeasuringTables
from app.trade.shipped_tables import FOLDER, TableError
from app.trade.tables import Known

NAMES = ("instruments", "expansion", "ring-gaps", "plug-torques", "health", "clearances")


@pytest.mark.parametrize("name", [field.name for field in fields(MeasuringTables)])
def test_every_row_has_a_source_an_edition_and_how_it_is_known(name: str) -> None:
    rows = getattr(measuring_tables(), name)
    assert rows
    for row in rows:
        assert row.origin.source
        assert row.origin.edition
        assert isinstance(row.origin.known, Known)


@pytest.mark.parametrize("name", ["instruments", "expansions", "compression", "leak", "oil", "plug_notes"])
def test_no_two_rows_share_an_id(name: str) -> None:
    counts = Counter(row.id for row in getattr(measuring_tables(), name))
    assert max(counts.values()) == 1


def test_a_limit_of_error_becomes_an_expanded_doubt() -> None:
    micrometer = next(row for row in measuring_tables().instruments if row.id == "micrometer-100")
    assert micrometer.doubt_mm == pytest.approx(0.005 * 2 / 3**0.5)
    assert micrometer.covers(87)
    assert not micrometer.covers(120)


def test_expansions_of_one_material_lie_close_together() -> None:
    for material in ("grey cast iron", "steel", "piston alloy"):
        alphas = [row.alpha_per_k for row in measuring_tables().expansions if row.material == material]
        assert max(alphas) / min(alphas) < 1.15


def test_the_tables_are_read_once() -> None:
    assert measuring_tables() is measuring_tables()


# --- Faults


@pytest.mark.parametrize(
    ("file", "before", "after", "words"),
    [
        ("clearances", "0.17 to 0.30 mm", "0.17 to 0.30", "clearance 1, row 12 gives new as “0.17 to 0.30”"),
        ("clearances", 'kind = "absolute"', 'kind = "worn"', "take one of absolute, added-to-new"),
        ("clearances", ', kind = "added-to-new"', "", "row 1 has no “kind”"),
        ("plug-torques", '"25.3 to 32.5 lb-ft"', '"25.3 to 32.5"', "row 1 gives torque"),
        ("plug-torques", "thread_mm = 18", 'thread_mm = "18"', "must be a number above 0"),
        ("plug-torques", "[[note]]", "[[remark]]", "a head “remark”"),
        ("ring-gaps", "per_bore = 0.0040", "per_bore = -0.004", "must be a number above 0"),
        ("ring-gaps", 'known = "read"', 'known = "heard"', "take one of read, from memory, common practice"),
        ("ring-gaps", 'edition = "set A"', 'edition = ""', "must be text"),
        ("ring-gaps", 'set = "A"', 'sort = "A"', "has no “set”"),
        ("instruments", 'limit = "4 µm"', 'limit = "4 µm", doubt = "4 µm"', "write one of the two"),
        ("instruments", 'job = "outside"', 'job = "outside", colour = "red"', "“colour”, which no such row has"),
        ("health", 'pressure = "98 kPa"', 'pressure = "98"', "gives pressure as “98”"),
        ("expansion", "[[expansion]]", "[[expansion", "is not a TOML file"),
        ("expansion", "rows = [", "lines = [", "“lines”, which no table has"),
    ],
)
def test_a_faulty_row_is_named_in_a_sentence(tmp_path: Path, file: str, before: str, after: str, words: str) -> None:
    for name in NAMES:
        shutil.copy(FOLDER / f"{name}.toml", tmp_path)
    path = tmp_path / f"{file}.toml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    with pytest.raises(TableError, match=f"{file}.toml|Instrument micrometer-50") as caught:
        read_measuring_tables(tmp_path)
    assert words in str(caught.value)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(TableError, match=r"plug-torques.toml cannot be read"):
        read_measuring_tables(tmp_path)
