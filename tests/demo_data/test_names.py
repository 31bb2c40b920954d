from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from demo_data import Manifest
from demo_data.names import fold, player_names, team_names

# Common given names, family names, towns and club words of many countries, from general knowledge:
# no generated word may be one of them.
_REAL = (
    "adam ahmed alex alexis ali amir ana andre andrei anna anton antonio ben bilal boris brandon "
    "bruno carlos chen chris daniel dario david diego dmitri ahmet elena emil erik ernesto eva "
    "felix filip francesco frank goran gregor hamza hans hassan henrik hugo igor ivan jack jakub "
    "james jan javier jean jens joao joel john jonas jordan jorge jose josef juan kai karl kevin "
    "kim lars leon leo liam luca luis luka marc marco maria mario mark marko martin mateo matteo "
    "max mehmet michael miguel mikael milan mohamed nikola nils noah olaf oleg oliver omar oscar "
    "pablo patrick paul pavel pedro peter petr pierre rafael ramon rene ricardo robert roman "
    "ruben ryan samuel sandro sergei simon stefan sven thomas tim timo tom tomas viktor vladimir "
    "yusuf smith jones garcia lopez silva santos costa rossi ferrari muller schmidt novak horvat "
    "ivanov petrov kovac nagy kowalski nowak jensen hansen nielsen larsson berg lee park choi "
    "wang zhang tanaka sato suzuki yilmaz demir kaya papadopoulos dubois martin bernard moreau "
    "london paris madrid rome berlin vienna athens oslo milan turin porto lyon ankara riga vilnius "
    "warsaw prague zagreb belgrade boston chicago denver dallas houston miami phoenix"
)
REAL = set(_REAL.split())


def words(name: str) -> list[str]:
    plain = fold(name).replace(", jun.", "").replace("-", " ").replace("t'", "")
    return plain.split()


def test_no_two_players_of_the_scenario_have_one_name_but_the_planted_two(large: Manifest) -> None:
    names = Counter(fold(p.name) for p in large.world.people.players)

    double = [name for name, count in names.items() if count > 1]

    assert len(double) == 1
    assert names[double[0]] == 2
    assert [key.split("|")[1] for key in large.truth["twins"]] == [
        p.name for p in large.world.people.players if p.twin
    ]


def test_the_two_of_one_name_play_in_two_teams_in_the_same_seasons(large: Manifest) -> None:
    one, other = (p for p in large.world.people.players if p.twin)

    assert set(one.teams) == set(other.teams)
    assert len(one.teams) >= 3
    assert set(one.teams.values()).isdisjoint(other.teams.values())


def test_names_are_nonsense(large: Manifest) -> None:
    names = [p.name for p in large.world.people.players]
    teams = [team for league in large.truth["leagues"] for team in league["teams"]]
    said = {word for name in (*names, *teams) for word in words(name)}

    assert not said & REAL
    assert all(word.isalpha() and len(word) >= 4 for word in said)


def test_no_team_name_is_used_twice(large: Manifest) -> None:
    teams = [team for league in large.truth["leagues"] for team in league["teams"]]

    assert len(set(teams)) == len(teams) == 36


@pytest.mark.parametrize("mark", ["-", "'", ", "])
def test_names_with_marks_that_files_trip_over_occur(large: Manifest, mark: str) -> None:
    assert any(mark in p.name for p in large.world.people.players)


def test_accented_names_can_be_written_in_windows_1252(large: Manifest) -> None:
    accented = [p.name for p in large.world.people.players if not p.name.isascii()]

    assert len(accented) > 20
    assert all(name.encode("cp1252").decode("cp1252") == name for name in accented)


def test_a_seed_gives_its_names_again_and_another_gives_others() -> None:
    first, again, other = (player_names(50, np.random.default_rng(s)) for s in (1, 1, 2))

    assert first == again != other
    assert len({fold(name) for name in first}) == 50
    taken = team_names(10, np.random.default_rng(1))
    assert not set(taken) & set(team_names(10, np.random.default_rng(1), taken))
