"""Charts into files: right bytes, whole or not at all, whatever the names hold."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import altair
import jsonschema
import pytest

from ledger.charts import child
from ledger.charts.export import export, export_many, picture, specification
from ledger.charts.html import inert_json
from ledger.errors import UseError
from ledger.questions.answer import Answer

from . import answers
from .reading import chunks, pixels, rows, size_of, spec_of

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


def small_answers() -> dict[str, Answer]:
    return {
        "ranking": answers.ranking(3),
        "adopters": answers.adopters(4),
        "uptake": answers.uptake(2, 3),
    }


@pytest.mark.parametrize(("size", "across", "down"), [("wide", 1920, 1080), ("square", 1440, 1440)])
def test_a_png_has_two_pixels_for_every_unit(
    tmp_path: Path, size: str, across: int, down: int
) -> None:
    path = export(answers.ranking(3), tmp_path / "r.png", size=size)

    assert size_of(path.read_bytes()) == (across, down)


@pytest.mark.parametrize(
    ("question", "kind"),
    [
        ("uptake", "png"),
        ("adopters", "svg"),
        ("uptake", "html"),
        ("ranking", "json"),
    ],
)
def test_two_runs_give_the_same_bytes(question: str, kind: str) -> None:
    first = picture(small_answers()[question], kind)

    assert picture(small_answers()[question], kind) == first


def test_a_pdf_is_one() -> None:
    assert picture(answers.uptake(2, 3), "pdf").startswith(b"%PDF-")


@pytest.mark.parametrize(("question", "theme"), [("adopters", "light"), ("uptake", "dark")])
def test_there_is_ink_where_words_should_be(
    question: str, theme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(child, "SCALE", 0.5)
    answer = small_answers()[question]

    inked = _inked(specification(answer, theme=theme))
    vanished = _inked(
        {**specification(answer, theme=theme), "config": {"font": "No Such Letters Anywhere"}}
    )

    # Headline, and the caption at the foot; the control shows what a missing font would look like.
    assert inked["headline"] > 400
    assert inked["caption"] > 150
    assert vanished["headline"] == vanished["caption"] == 0


def _inked(spec: dict[str, Any]) -> dict[str, int]:
    request = {"spec": spec, "kind": "png", "title": "", "description": ""}
    image = pixels(child.paint(request))
    paper = image[0][0]

    def ink(first: int, last: int) -> int:
        return sum(
            sum(abs(a - b) for a, b in zip(pixel[:3], paper[:3], strict=True)) > 90
            for line in image[first:last]
            for pixel in line
        )

    return {"headline": ink(14, 32), "caption": ink(len(image) - 24, len(image) - 8)}


def test_a_png_tells_what_it_shows() -> None:
    answer = answers.ranking(3, headline="Tarnik ist zuerst – 84,9 %")

    texts = [body for kind, body in chunks(picture(answer, "png")) if kind == b"iTXt"]

    assert texts[0] == b"Title\0\0\0\0\0" + "Tarnik ist zuerst – 84,9 %".encode()
    assert answer.cohort.encode() in texts[1]


def test_an_svg_tells_what_it_shows() -> None:
    answer = answers.ranking(3, headline="A <b> & C")

    root = ElementTree.fromstring(picture(answer, "svg"))

    space = "{http://www.w3.org/2000/svg}"
    assert [child.tag for child in root][:2] == [f"{space}title", f"{space}desc"]
    assert root[0].text == "A <b> & C"
    assert answer.cohort in str(root[1].text)
    assert root.get("role") == "img"


@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake"])
def test_the_json_is_a_valid_chart_in_vega_lite(question: str) -> None:
    spec = json.loads(picture(small_answers()[question], "json"))

    schema_folder = Path(altair.__file__).parent / "vegalite" / "v6" / "schema"
    schema_file = schema_folder / "vega-lite-schema.json"
    schema = json.loads(schema_file.read_text(encoding="utf-8"))
    jsonschema.Draft7Validator(schema).validate(spec)
    assert spec["description"].endswith(f"{answers.ranking(1).cohort}.")


@pytest.mark.parametrize("question", ["ranking", "adopters", "uptake"])
def test_nothing_in_a_chart_reaches_for_the_network(question: str) -> None:
    spec = spec_of(small_answers()[question])

    text = json.dumps({k: v for k, v in spec.items() if k != "$schema"})

    assert "://" not in text
    assert '"url"' not in text
    assert '"href"' not in text


@cache
def hostile_answers() -> dict[str, Answer]:
    """Answers whose names, headlines, cohorts and notes are hostile; each drawn only once."""
    from ledger.charts.registry import draw

    many = len(HOSTILE)
    found = {
        "ranking": answers.ranking(many, names=HOSTILE, headline=HOSTILE[0] + HOSTILE[5]),
        "adopters": answers.adopters(many, names=HOSTILE, cohort=HOSTILE[6], notes=HOSTILE),
        "lines": answers.uptake(HOSTILE[:5], 3, headline=HOSTILE[7]),
        "panels": answers.uptake(HOSTILE[5:12], 2),
    }
    charts = {id(answer.main): draw(answer) for answer in found.values()}
    return {
        name: replace(answer, draw=lambda this, **_: charts[id(this.main)])
        for name, answer in found.items()
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


def test_a_pictures_file_is_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "r.json"
    path.write_text("old")

    export(answers.ranking(2), path)

    assert json.loads(path.read_text(encoding="utf-8"))["title"]
    assert [f.name for f in tmp_path.iterdir()] == ["r.json"]


def test_a_new_file_has_the_usual_rights(tmp_path: Path) -> None:
    mask = os.umask(0o022)
    try:
        path = export(answers.ranking(2), tmp_path / "r.json")
    finally:
        os.umask(mask)

    assert path.stat().st_mode & 0o777 == 0o644


@pytest.mark.parametrize("name", ["r.gif", "r", "r.png.txt"])
def test_an_unknown_ending_is_refused_with_the_known_ones(tmp_path: Path, name: str) -> None:
    with pytest.raises(UseError, match=r"no ending of a picture: use one of \.png, \.svg"):
        export(answers.ranking(2), tmp_path / name)


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UseError, match=r"there is no folder .*: make it first"):
        export(answers.ranking(2), tmp_path / "not" / "r.png")


@pytest.mark.parametrize("what", ["folder", "pipe", "link"])
def test_what_is_no_ordinary_file_is_left_alone(tmp_path: Path, what: str) -> None:
    path = tmp_path / "r.json"
    other = tmp_path / "other"
    other.write_text("kept")
    makers: dict[str, Callable[[], None]] = {
        "folder": path.mkdir,
        "pipe": lambda: os.mkfifo(path),
        "link": lambda: path.symlink_to(other),
    }
    makers[what]()

    with pytest.raises(UseError, match="no ordinary file"):
        export(answers.ranking(2), path)

    assert other.read_text() == "kept"


def test_a_folder_without_write_permission_is_told_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def denied(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", denied)

    with pytest.raises(UseError, match="cannot be written: Permission denied"):
        export(answers.ranking(2), tmp_path / "r.json")


def test_a_full_disk_leaves_the_old_file_and_no_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "r.json"
    path.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(UseError, match="cannot be written: No space left"):
        export(answers.ranking(2), path)

    assert path.read_text() == "old"
    assert [f.name for f in tmp_path.iterdir()] == ["r.json"]


def test_a_drawing_that_fails_writes_nothing(tmp_path: Path) -> None:
    answer = replace(answers.ranking(2), question="sources")

    with pytest.raises(UseError, match="has no chart"):
        export(answer, tmp_path / "s.png")

    assert not list(tmp_path.iterdir())


def test_several_pictures_are_written_in_one_go(tmp_path: Path) -> None:
    jobs = [
        (answer, tmp_path / f"{name}.svg", theme, size)
        for (name, answer), theme, size in zip(
            list(small_answers().items())[1:], ["light", "dark"], ["square", "tall"], strict=True
        )
    ]

    written = export_many(jobs)

    assert written == [job[1] for job in jobs]
    assert all(path.stat().st_size > 5000 for path in written)


def test_one_bad_path_among_several_is_found_before_anything_is_drawn(tmp_path: Path) -> None:
    answer = answers.ranking(2)

    with pytest.raises(UseError, match=r"\.gif"):
        export_many(
            [
                (answer, tmp_path / "r.json", "light", "wide"),
                (answer, tmp_path / "r.gif", "light", "wide"),
            ]
        )

    assert not list(tmp_path.iterdir())


def test_the_drawer_of_the_book_is_used_where_there_is_one() -> None:
    from ledger.charts.registry import draw

    seen: list[dict[str, Any]] = []

    def drawer(answer: Answer, **options: Any) -> Any:
        seen.append(options)
        return draw(answer, **options, names=answers.LEAGUES)

    specification(replace(answers.uptake(2, 2), draw=drawer), theme="dark", size="tall")

    assert seen == [{"theme": "dark", "size": "tall"}]
