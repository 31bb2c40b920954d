"""--list is the question's own option where it asks whom, and a filter of the cohort elsewhere."""

from __future__ import annotations

import json

from tests.cli.conftest import SAMPLES, Offglass


def test_a_list_is_whom_candidates_asks_about_and_whom_others_are_asked_of(
    filled: Offglass,
) -> None:
    assert filled("import", f"{SAMPLES}/shortlist.csv", "--as", "shortlist").code == 0
    listed = json.loads(filled("ask", "candidates", "--json").out)["headline"]
    name = listed.split("the ledger has ")[1].split(",")[0].rstrip(".")

    asked = json.loads(filled("ask", "candidates", "--list", name, "--gain", "5", "--json").out)
    ranked = json.loads(filled("ask", "ranking", "--list", name, "--json").out)

    assert asked["asked"]["list"] == ranked["asked"]["list"] == [name]
    assert asked["cohort"] == f"The list {name}; changes from: Free throws in all leagues"
    assert f"on the list {name}" in ranked["cohort"]
    assert asked["rows"]
    assert asked["more"]["assumed"]["rows"]


def test_help_says_what_the_list_is_for_and_offers_it_once(offglass: Offglass) -> None:
    candidates = offglass("ask", "candidates", "--help").out
    ranking = offglass("ask", "ranking", "--help").out

    assert candidates.count("--list NAME") == ranking.count("--list NAME") == 1
    assert "whose players are looked at" in " ".join(candidates.split())
    assert "Only players of this shortlist or lot." in " ".join(ranking.split())


def test_a_list_that_is_none_is_answered_with_near_ones(filled: Offglass) -> None:
    filled("import", f"{SAMPLES}/shortlist.csv", "--as", "shortlist")

    done = filled("ask", "candidates", "--list", "nobodys")

    assert (done.code, done.out) == (2, "")
    assert "no list or lot 'nobodys'" in done.err


def test_numbers_that_cannot_be_are_refused_in_one_line(filled: Offglass) -> None:
    done = filled("ask", "worth", "--rate", "60")

    assert (done.code, done.out) == (2, "")
    assert "--rate takes a number from 0 to 1" in done.err
    assert len(done.err.splitlines()) == 1
