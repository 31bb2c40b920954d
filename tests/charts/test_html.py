"""A chart as a page: read on a telephone too."""

from __future__ import annotations

import re

from ledger.charts.html import SMALLEST, page


def made(spec: dict[str, object], width: int = 960) -> str:
    look = {"paper": "#fff", "ink": "#000", "font": "sans-serif"}
    title = "A <b> 24 % (11 to 44)"
    return page(spec, bundle="", title=title, description=title, look=look, width=width)


def least(text: str) -> int:
    (found,) = re.findall(r"#chart svg \{ width: 100%; min-width: (\d+)px", text)
    return int(found)


def test_letters_are_as_large_as_can_be_read_on_the_narrowest_screen() -> None:
    layers = [{"mark": {"type": "text", "fontSize": 8.0}}, {"mark": {"fontSize": 14}}]

    text = made({"layer": layers, "config": {"axis": {"labelFontSize": 11}}})

    assert least(text) * 8.0 / 960 >= SMALLEST
    assert "overflow-x: auto" in text


def test_a_size_in_the_data_is_nobody_s_letters() -> None:
    assert least(made({"datasets": {"rows": [{"fontSize": 1}]}, "mark": {"fontSize": 12}})) == 960


def test_a_headline_stands_in_words_where_the_picture_is_pushed_sideways() -> None:
    text = made({})

    assert '<h1 class="narrow">A &lt;b&gt; 24\u00a0%\u00a0(11\u00a0to\u00a044)</h1>' in text
    assert text.count("\u00a0") == 4
    assert 'aria-label="A &lt;b&gt; 24 % (11 to 44)"' in text
    assert "@media (min-width: 960px) { .narrow { display: none; } }" in text
