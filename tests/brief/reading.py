"""Reading a brief as a browser does: elements, their words, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

from ledger.charts.brief.making import Brief
from ledger.charts.export import Figure
from ledger.story.story import Story

# Elements that have no end (HTML, the living standard, 13.1.2).
_VOID = frozenset(
    {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track"}
)
SVG = '<svg xmlns="http://www.w3.org/2000/svg"><title>T</title><desc>D</desc>{}</svg>'


@dataclass(slots=True)
class Element:
    """An element: its name, attributes, and what stands in it."""

    name: str
    attributes: dict[str, str]
    inside: list[Element | str] = field(default_factory=list)

    def all(self, name: str = "", **attributes: str) -> list[Element]:
        """Every element below it of that name that has those attributes."""
        wanted = {key.rstrip("_").replace("_", "-"): value for key, value in attributes.items()}
        return [
            element
            for element in self._below()
            if name in ("", element.name) and wanted.items() <= element.attributes.items()
        ]

    def one(self, name: str = "", **attributes: str) -> Element:
        """The only such element."""
        (found,) = self.all(name, **attributes)
        return found

    def words(self) -> str:
        """All its text in one line, a hard blank like any other."""
        return " ".join("".join(self._texts()).replace("\u00a0", " ").split())

    def _below(self) -> Iterator[Element]:
        for child in self.inside:
            if isinstance(child, Element):
                yield child
                yield from child._below()

    def _texts(self) -> Iterator[str]:
        for child in self.inside:
            if isinstance(child, str):
                yield child
            else:
                yield from child._texts()
                yield " "


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("", {})
        self.open = [self.root]
        self.declared: list[str] = []

    def handle_decl(self, decl: str) -> None:
        self.declared.append(decl)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        assert len(element.attributes) == len(attrs), f"an attribute of {tag} twice"
        self.open[-1].inside.append(element)
        if tag not in _VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop().name == tag, f"{tag} ends what it did not begin"

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data[:40]}")


def read(text: str) -> Element:
    """The page; every element that was begun is ended, in order."""
    reader = _Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == [reader.root]
    assert reader.declared == ["DOCTYPE html"]
    return reader.root


def told(path: Path, story: Story) -> Element:
    """The brief of a story."""
    with Brief(path) as brief:
        brief.write(story, lambda _part: None)
    return read(path.read_text(encoding="utf-8"))


def drawn(words: str = "A caption.", shapes: str = "") -> Figure:
    """A picture of nothing much, for tests of where it goes."""
    return Figure(SVG.format(shapes).encode(), 640, 440, (words,))
