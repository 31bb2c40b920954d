"""Charts into files: the right bytes, whole or not at all."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import altair
import jsonschema
import pytest

from ledger.charts import child
from ledger.charts.export import export, export_many, picture
from ledger.charts.registry import draw
from ledger.charts.specification import specification
from ledger.errors import UseError
from ledger.questions.answer import Answer

from . import answers
from .reading import chunks, pixels, size_of, spec_of


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

    # A drawing process that was idle for long has ended, and starting one opens files too.
    export(answers.ranking(2), tmp_path / "first.json")
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
    answer = replace(answers.ranking(2), question="weather")

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
    seen: list[dict[str, Any]] = []

    def drawer(answer: Answer, **options: Any) -> Any:
        seen.append(options)
        return draw(answer, **options, names=answers.LEAGUES)

    specification(replace(answers.uptake(2, 2), draw=drawer), theme="dark", size="tall")

    assert seen == [{"theme": "dark", "size": "tall"}]
