"""What the documents say is so: files are there, verbs and keys exist, and the examples do what they show."""

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from app.cli.main import VERBS, run
from app.desk.pages.help_page import KEYS, SAFETY

ROOT = Path(__file__).resolve().parents[1]
DOCUMENTS = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "THIRD-PARTY.md"]
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
THIRD_PARTY = (ROOT / "THIRD-PARTY.md").read_text("utf-8")
# Made by the commands the documents speak of, or a person's own folders.
NOT_IN_THE_CHECKOUT = (".venv", "~")


def _text(document: str) -> str:
    return (ROOT / document).read_text("utf-8")


def _plain(words: str) -> str:
    return " ".join(words.split())


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_link_leads_somewhere(document: str) -> None:
    targets = re.findall(r"\]\(([^)#]+)\)", _text(document))
    assert [target for target in targets if not (ROOT / target).exists()] == []


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_path_named_is_there(document: str) -> None:
    words = [word for code in re.findall(r"`([^`\n]+)`", _text(document)) for word in code.split()]
    paths = [word for word in words if re.fullmatch(r"(app|tests|packaging|resources|demo_data)/[\w./-]+", word)]
    assert [path for path in paths if not (ROOT / path).exists()] == []


def test_the_job_stands_first_in_one_paragraph() -> None:
    title, first, second = README.split("\n\n")[:3]
    assert title == "# Firstcrank"
    assert not first.startswith(("#", "-", "!", "|", "`"))
    assert len(first.split()) > 60
    assert second.startswith("![")


def test_the_readme_names_the_command_that_checks_as_the_machine_runs_it() -> None:
    command = (ROOT / ".ci" / "run").read_text("utf-8").splitlines()[-1]
    blocks = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    assert f"{command}\n" in blocks
    assert "python3 packaging/start.py\n" in blocks


def test_the_table_of_keys_is_the_program_s_own() -> None:
    section = README.partition("## Keys\n")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| (.+?) \| (.+?) \|$", section, re.MULTILINE)
    assert tuple(rows[1:]) == KEYS


@pytest.mark.parametrize("sentence", SAFETY[:3])
def test_the_cautions_of_the_help_stand_in_the_readme(sentence: str) -> None:
    assert sentence in _plain(README)


def test_every_verb_is_named_and_every_verb_named_exists() -> None:
    section = README.partition("## Without a window\n")[2].partition("\n## ")[0]
    shown = set(re.findall(r"^firstcrank ([\w-]+)", section, re.MULTILINE))
    named = set(re.findall(r"`([\w-]+)`", section.partition("There are also")[2].partition(";")[0]))
    assert shown | named == set(VERBS)


def test_the_examples_do_what_they_show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    block = README.partition("## Without a window\n")[2].partition("```sh\n")[2].partition("```")[0]
    for command in block.splitlines():
        words = [word.replace("~", str(tmp_path)) for word in shlex.split(command)[1:]]
        with pytest.raises(SystemExit) as left:
            run(words)
        refused = words[0] == "pass"  # nothing is done yet, so the gate stays shut
        assert left.value.code == (1 if refused else 0), command
    assert {path.name for path in tmp_path.iterdir()} >= {"workshop", "workshop-sunday.db", "stage3.pdf", "record.pdf"}


def test_each_dependency_has_its_reason_and_its_licence() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    dependencies = [*project["dependencies"], *project["optional-dependencies"]["dev"]]
    names = {re.split("[<>=;]", one)[0] for one in dependencies}
    reasons = DEVELOPERS.partition("## Why each part is here")[2].partition("\n## ")[0]
    for name in names:
        assert f"\n| {name} | " in reasons
        assert re.search(rf"^\| {name}\b", THIRD_PARTY, re.MULTILINE), name


def test_the_licence_is_the_one_the_catalogue_names() -> None:
    licence = (ROOT / "LICENSE").read_text("utf-8")
    assert licence.startswith("MIT License\n")
    assert "The Firstcrank developers" in licence
    assert "<project_license>MIT</project_license>" in (ROOT / "packaging" / "firstcrank.metainfo.xml").read_text(
        "utf-8"
    )


def test_changes_not_yet_released_are_listed() -> None:
    changes = (ROOT / "CHANGELOG.md").read_text("utf-8").partition("## Unreleased\n")[2].partition("\n## ")[0]
    assert changes.count("\n- ") > 3
