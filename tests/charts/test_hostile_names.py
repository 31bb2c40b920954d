"""Names that try to break out of a picture: no process dies, nothing runs, the label is shown."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from functools import cache
from typing import Any

import pytest

from ledger.charts.export import picture
from ledger.charts.html import inert_json
from ledger.questions.answer import Answer

from . import answers
from .reading import rows, spec_of

HOSTILE = (
    "</script><script>document.title='run'</script>",
    "<img src=x onerror=alert(1)>",
    "[@click=x]",
    "Kim [/red]",
    '=HYPERLINK("http://x.example","y")',
    "A\x1b[31mB\x1b]52;c;eA==\x07",
    "nul\x00bell\x07back\x08",
    "\u202eevil\u2066",
    "שלום עולם",
    "예은 박",
    "N" * 300,
    "${alert(1)}",
    "datum.x",
    "a.b[0]:c\\'\"",
    "&lt;b&gt;&amp;",
    "\ufffe\uffff",
    "e" + "\u0301" * 40,
    "",
)


@cache
def hostile_answers() -> dict[str, Answer]:
    """Answers whose names, headlines, cohorts and notes are hostile."""
    many = len(HOSTILE)
    return {
        "ranking": answers.ranking(many, names=HOSTILE, headline=HOSTILE[0] + HOSTILE[5]),
        "adopters": answers.adopters(many, names=HOSTILE, cohort=HOSTILE[6], notes=HOSTILE),
        "lines": answers.uptake(HOSTILE[:5], 3, headline=HOSTILE[7]),
        "panels": answers.uptake(HOSTILE[5:12], 2),
    }


@cache
def hostile_specs() -> dict[str, dict[str, Any]]:
    return {name: spec_of(answer) for name, answer in hostile_answers().items()}


@pytest.mark.parametrize(
    ("which", "kind"),
    [
        ("ranking", "png"),
        ("panels", "png"),
        ("adopters", "svg"),
        ("lines", "svg"),
        ("adopters", "html"),
        ("panels", "html"),
    ],
)
def test_no_name_kills_the_drawing_or_the_program(kind: str, which: str) -> None:
    assert len(picture(hostile_answers()[which], kind)) > 10_000


def test_no_name_kills_the_drawing_of_a_pdf() -> None:
    assert picture(hostile_answers()["ranking"], "pdf").startswith(b"%PDF-")


def test_names_stand_in_the_data_and_nowhere_an_expression_is_read() -> None:
    read = re.compile(r'"(?:expr|labelExpr|signal|calculate|filter)": "([^"]*)"')

    expressions = set(read.findall(json.dumps(hostile_specs())))

    assert expressions == {"round(datum.value * 1000) / 10 + ' %'"}


@pytest.mark.parametrize("name", HOSTILE[13:15])
def test_fields_are_the_builders_own_whatever_a_player_is_called(name: str) -> None:
    plain = _fields(spec_of(answers.ranking(2, names=["Ilvo Mulvo"])))

    assert _fields(spec_of(answers.ranking(2, names=[name]))) == plain
    assert all(re.fullmatch(r"[a-z_]+", field) for field in plain)


def _fields(value: Any) -> set[str]:
    if isinstance(value, dict):
        own = {v for k, v in value.items() if k == "field"}
        return own.union(*(_fields(v) for k, v in value.items() if k != "datasets"))
    if isinstance(value, list):
        return set().union(*(_fields(v) for v in value))
    return set()


def test_a_label_is_shown_as_it_is_written() -> None:
    spec = spec_of(answers.ranking(2, names=["Kim [/red] ${x} a.b"]))

    drawing = picture(answers.ranking(2, names=["Kim [/red] ${x} a.b"]), "svg").decode()

    said = [row["name"] for layer in spec["layer"] for row in rows(spec, layer) if "name" in row]
    assert "Kim [/red] ${x} a.b" in said
    assert ">Kim [/red] ${x} a.b<" in drawing


def test_control_codes_leave_as_visible_signs() -> None:
    text = json.dumps(hostile_specs(), ensure_ascii=False)

    assert "A␛[31mB␛]52;c;eA==␇" in text
    assert "\\\\u202eevil" in text
    assert not re.search("[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufffe\uffff]", text)
    assert not re.search(r"(?<!\\)\\u00[01]", text)


@pytest.mark.parametrize("which", ["ranking", "lines"])
def test_a_page_holds_one_data_block_and_no_script_of_a_name(which: str) -> None:
    page = picture(hostile_answers()[which], "html").decode()

    before, _, rest = page.partition('<script type="application/json" id="spec">')
    data, _, after = rest.partition("</script>")
    assert not set("<>&") & set(data)
    assert json.loads(data) == hostile_specs()[which]
    assert "<script" not in before
    assert after.count("</script>") == 2
    assert "document.title='run'</script>" not in page


def test_a_page_allows_two_scripts_by_their_hash_and_no_connection() -> None:
    page = picture(answers.uptake(2, 3), "html").decode()

    policy = page.partition('Content-Security-Policy" content="')[2].partition('"')[0]
    scripts = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    hashes = {
        "'sha256-" + base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() + "'"
        for s in scripts
    }
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert set(rules["script-src"].split()) == hashes
    assert len(hashes) == 2
    assert "connect-src" not in rules
    assert "unsafe-eval" not in policy


def test_a_page_has_language_title_words_for_the_blind_and_no_door_out() -> None:
    answer = answers.uptake(2, 3, headline='A "<b>" & C')

    page = picture(answer, "html").decode()

    assert '<html lang="en">' in page
    assert "<title>A &quot;&lt;b&gt;&quot; &amp; C</title>" in page
    assert 'role="img" aria-label="uptake A &quot;' in page
    assert "<noscript><p>uptake A" in page
    assert "actions: false" in page
    assert 'src="' not in page.partition("</style>")[0]


def test_json_for_a_page_is_the_same_data() -> None:
    value = {"a": ["</script>", "<!--", "&amp;", "\u2028", "é"]}

    text = inert_json(value)

    assert not set("<>&\u2028") & set(text)
    assert json.loads(text) == value
