"""A part for other people: what leaves, what does not, and that it reads back equal."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import frictionless
import pytest

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions import registry
from ledger.store import registers
from ledger.store.ledger_file import LedgerFile
from ledger.store.share import export_share
from tests.store.filing import HEAD, Desk, desk, rows

SECRETS = ("ana", "@bo", "190.25", "91.5", "1999", "=secret note", "keep", "Practice Hall", "heard")
_ATTEMPTS = 12


@pytest.fixture
def full(tmp_path: Path) -> Iterator[Desk]:
    """A ledger with everything that must not leave."""
    lines = []
    for game in range(3):
        for place in range(_ATTEMPTS):
            player = ("=HYPERLINK(1)", "Oda Tarn", "@Marl")[place % 3]
            tagger = ("ana", "@bo", "")[place % 3]
            technique = ("board", "straight", "cannot tell")[place % 3] if tagger else ""
            stage = "regular" if game < 2 else "practice"
            where = f"G{game}" if game < 2 else "Practice Hall"
            lines.append(
                f"Halma League,2023-24,2023-10-{14 + game},{where},Skerry,{player},{place % 2},"
                f"{stage},{place + 1},{tagger},{technique},{'=secret note' if tagger else ''}"
            )
    head = HEAD + ",stage,order,tagger,technique,note"
    with desk(tmp_path, "full") as opened:
        opened.bring(rows(head, *lines[: 2 * _ATTEMPTS]))
        opened.consent("=HYPERLINK(1)", "Oda Tarn", "@Marl")
        opened.bring(rows(head, *lines[2 * _ATTEMPTS :]))
        opened.bring(
            rows(
                "player,league,height_cm,mass_kg,birth_year,hand",
                "Oda Tarn,Halma League,190.25,91.5,1999,left",
                "@Marl,Halma League,,,2007,",
            ),
            "players",
        )
        with opened.file.changing("a test") as con:
            registers.list_add(con, opened.file, "keep", ["Oda Tarn"])
        yield opened


def answers(ledger: LedgerFile, cohort: Cohort) -> dict[str, Any]:
    """What a ledger answers of a cohort: headline, rows and further rows."""
    found = {}
    for question in ("ranking", "adopters", "uptake"):
        with ledger.reading() as con:
            text = registry.answer(question, con, cohort, focus=None, options={}, ledger="x").json()
        told = json.loads(text)
        found[question] = [told["headline"], told["rows"], told["more"]]
    return found


@pytest.mark.parametrize("filters", [{}, {"season": "2023-24"}, {"to": "2023-10-14"}])
def test_what_is_shared_reads_back_with_the_same_answers(
    full: Desk, tmp_path: Path, filters: dict[str, str]
) -> None:
    cohort = Cohort.of(**filters)
    shared = export_share(full.file, tmp_path / "share", cohort)

    with desk(tmp_path, "again") as again:
        for name, kind in (("attempts", "attempts"), ("tags", "tags")):
            text = (tmp_path / "share" / f"{name}.csv").read_text(encoding="utf-8")
            report = again.bring(text, kind)
            assert (report.rejected, report.rows) == (0, shared.rows[f"{name}.csv"])
        assert answers(again.file, Cohort()) == answers(full.file, cohort)


def test_nothing_of_persons_or_work_leaves(full: Desk, tmp_path: Path) -> None:
    with full.file.changing("a test") as con:
        registers.add_rumour(con, full.file, "heard", "2023-24")

    shared = export_share(full.file, tmp_path / "share", Cohort())

    assert sorted(p.name for p in shared.folder.iterdir()) == [
        "attempts.csv", "contents.txt", "datapackage.json", "tags.csv",
    ]  # fmt: skip
    for file in shared.folder.iterdir():
        text = file.read_text(encoding="utf-8")
        found = [s for s in SECRETS if re.search(rf"(?<!\w){re.escape(s)}(?!\w)", text)]
        assert found == [], file.name
    with full.file.reading() as con:
        practice = con.execute(
            "SELECT count(*) FROM live_attempt WHERE stage = 'practice'"
        ).fetchall()
    assert practice == [(_ATTEMPTS,)]
    assert shared.rows["attempts.csv"] == 2 * _ATTEMPTS


def test_it_says_what_left_and_what_did_not(full: Desk, tmp_path: Path) -> None:
    shared = export_share(full.file, tmp_path / "share", Cohort())

    assert shared.lines[:5] == (
        "What left: Free throws in all leagues",
        "attempts.csv: 24 attempts of 3 players in 2 games, by name",
        "tags.csv: 16 tags",
        "attempt_id and league say of which attempt a tag is",
        "taggers: 2 people, called A to B here",
    )
    assert "- 12 attempts of practice" in shared.lines
    # Practice is told of once, and not among the others too.
    assert "- 0 other attempts of games" in shared.lines
    assert shared.lines[-1].endswith("1 players here may be under 18.")
    text = (shared.folder / "contents.txt").read_text(encoding="utf-8")
    assert text == "\n".join(shared.lines) + "\n"


def test_a_reader_of_data_packages_finds_it_valid(full: Desk, tmp_path: Path) -> None:
    shared = export_share(full.file, tmp_path / "share", Cohort())

    report = frictionless.Package(str(shared.folder / "datapackage.json")).validate()

    assert report.flatten(["title", "message"]) == []
    assert report.valid


def test_the_same_attempt_has_the_same_id_in_every_share(full: Desk, tmp_path: Path) -> None:
    export_share(full.file, tmp_path / "all", Cohort())
    export_share(full.file, tmp_path / "one", Cohort.of(player="Oda Tarn"))
    ids = {}
    for name in ("all", "one"):
        with open(tmp_path / name / "attempts.csv", encoding="utf-8", newline="") as lines:
            ids[name] = [row["attempt_id"] for row in csv.DictReader(lines)]

    assert len(set(ids["all"])) == len(ids["all"]) == 24
    assert set(ids["one"]) < set(ids["all"])


def test_tags_of_players_drawn_by_lot_lie_in_a_file_of_their_own(
    full: Desk, tmp_path: Path
) -> None:
    full.bring(rows(HEAD, "Halma League,2023-24,2023-11-01,G9,Skerry,Una Reel,1"))
    tag = "league,season,date,game,player,shot,nth,tagger,technique"
    full.bring(
        rows(tag, "Halma League,2023-24,2023-11-01,G9,Una Reel,free_throw,1,cem,board"),
        "tags",
        drawn=True,
    )

    shared = export_share(full.file, tmp_path / "share", Cohort())

    assert shared.rows == {"attempts.csv": 25, "tags.csv": 16, "tags_drawn.csv": 1}
    way = "then offglass import tags_drawn.csv --as tags --drawn"
    assert any(way in line for line in shared.lines)


def test_practice_is_not_shared_and_nothing_is_nothing(full: Desk, tmp_path: Path) -> None:
    with pytest.raises(UseError, match="practice are not shared"):
        export_share(full.file, tmp_path / "share", Cohort.of(stage="practice"))
    with pytest.raises(UseError, match="holds no attempts"):
        export_share(full.file, tmp_path / "share", Cohort.of(shot="three"))
    assert not (tmp_path / "share").exists()
