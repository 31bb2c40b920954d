from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from demo_data import ImportStep, Lot, Manifest, TagsForLot, generate
from ledger import resources


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def watched(manifest: Manifest, lot: Lot) -> list[tuple[str, str, str, str]]:
    """Stands in for the program's own draw: the first players with ten attempts."""
    rows = manifest.truth["player_seasons"]["rows"]
    enough = [r for r in rows if (r[1], r[2]) == (lot.league, lot.season) and r[5] >= 10]
    return [(r[1], r[2], r[0].split("|")[1], r[3]) for r in enough[: lot.players]]


def test_one_seed_gives_the_same_bytes_twice(tmp_path: Path, small: Manifest) -> None:
    again = generate(tmp_path, small=True)
    lot = small.lots[-1]
    first = small.tags_for(watched(small, lot), "twice", tagger="Ketu")
    second = again.tags_for(watched(again, lot), "twice", tagger="Ketu")

    assert first.path.read_bytes() == second.path.read_bytes()
    first.path.unlink()
    second.path.unlink()
    assert contents(tmp_path) == contents(small.folder)
    assert [s.path.name for s in again.imports] == [s.path.name for s in small.imports]


def test_another_seed_gives_other_players_and_other_results(
    tmp_path: Path, small: Manifest
) -> None:
    other = generate(tmp_path, seed=7, small=True)

    assert set(other.truth["players"]) != set(small.truth["players"])
    assert other.attempts == small.attempts


@pytest.mark.parametrize("attempts", [4_000, 5_555, 41_000])
def test_the_files_hold_exactly_the_wanted_attempts(tmp_path: Path, attempts: int) -> None:
    manifest = generate(tmp_path, attempts=attempts, seed=3)

    assert manifest.attempts == attempts
    assert sum(step.expects.attempts for step in manifest.imports) == attempts


def test_the_large_scenario_has_three_leagues_ten_seasons_and_150_000_attempts(
    large: Manifest,
) -> None:
    leagues = large.truth["leagues"]

    assert large.attempts == large.truth["expected"]["attempts"] == 150_000
    assert [len(league["seasons"]) for league in leagues] == [10, 6, 4]
    assert [len(league["teams"]) for league in leagues] == [14, 12, 10]


def test_too_few_attempts_are_refused_with_the_limit(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="at least 4000"):
        generate(tmp_path, attempts=100)


def test_truth_json_holds_the_truth_of_the_manifest(small: Manifest) -> None:
    written = json.loads((small.folder / "truth.json").read_text(encoding="utf-8"))

    assert written == small.truth


def test_every_lot_is_drawn_before_anybody_of_its_league_season_is_tagged(
    large: Manifest,
) -> None:
    seen: set[str] = set()
    lots: dict[str, Lot] = {}
    for step in large.steps:
        if isinstance(step, Lot):
            stem = step.name.removesuffix(" lot")
            assert not any(stem in name for name in seen), step.name
            lots[step.name] = step
        elif isinstance(step, TagsForLot):
            assert step.lot in lots
            seen.add(step.name)
        elif step.kind == "tags" or "tagger" in step.options:
            seen.add(step.path.name)
    assert len(lots) == 16


def test_every_kind_of_file_is_there_and_lists_come_after_attempts(large: Manifest) -> None:
    kinds = [step.kind for step in large.imports]

    assert set(kinds) == {"attempts", "box", "totals", "tags", "players", "shortlist"}
    last = max(i for i, kind in enumerate(kinds) if kind in {"attempts", "box", "totals"})
    assert kinds.index("players") > last
    assert all(isinstance(s, ImportStep) and s.path.is_file() for s in large.imports)


def test_about_a_quarter_of_the_attempts_is_tagged(tmp_path: Path, large: Manifest) -> None:
    lots = {lot.name: lot for lot in large.lots}
    count = sum(s.expects.rows for s in large.imports if s.kind == "tags")
    count += next(s.expects.rows for s in large.imports if "tagger" in s.options)
    for step in large.steps:
        if isinstance(step, TagsForLot) and step.every == 1:
            made = large.write(step, watched(large, lots[step.lot]))
            count += made.expects.rows
            made.path.unlink()

    assert 0.2 < count / large.attempts < 0.33


def test_the_scenario_loads_without_the_heavy_libraries(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib; from ledger import resources; m = resources.demo_module();"
        f"m.generate(pathlib.Path({str(tmp_path)!r}), attempts=4000);"
        "heavy = {'duckdb', 'polars', 'altair', 'scipy', 'textual', 'demo_data'};"
        "print(m.__name__, sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).resolve().parents[2],
    )

    assert done.stdout.strip() == "offglass_demo_data []"
    assert (tmp_path / "truth.json").is_file()
    assert resources.folder("demo_data").is_dir()
