"""The whole collection of hostile names on the screens: paged through, read, copied, harmless."""

from __future__ import annotations

from tests.intake.hostile_names import harmful, hostile_names
from tests.tui.driving import press, rest, running, text_of
from tests.tui.fake_book import FakeBook
from tui.app import OffglassApp


def book_of_everyone() -> FakeBook:
    names = hostile_names()
    return FakeBook(names=names, leagues=names[:4], headline=" ".join(names[::31])[:400])


def looked_at(app: OffglassApp) -> str:
    """The screen's text, after a look at every character and every active part of it."""
    text = text_of(app)
    assert not harmful(text)
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            meta = segment.style.meta if segment.style else {}
            assert "@click" not in meta
            assert segment.style is None or segment.style.link is None
    return text


async def test_a_list_of_all_of_them_is_paged_through() -> None:
    seen: set[str] = set()
    async with running(book_of_everyone(), size=(140, 60), show="ranking") as (app, pilot, _):
        for _page in range(len(hostile_names()) // 40 + 2):
            seen |= set(looked_at(app).splitlines())
            await press(pilot, "pagedown")
        assert app.return_value is None

    assert (
        sum("Halma League" in line or "Skerry" in line or "Fenholt" in line for line in seen) > 400
    )


async def test_one_of_every_kind_is_opened_and_copied() -> None:
    from tests.intake.hostile_names import kinds

    names = tuple(strings[len(strings) // 2] for strings in kinds().values())
    async with running(FakeBook(names=names), size=(120, 40), show="ranking") as (app, pilot, _):
        for _row in names:
            await press(pilot, "enter")
            looked_at(app)
            await press(pilot, "escape", "down")
        await press(pilot, "y")
        assert not harmful(app.clipboard)
        await press(pilot, "Y")
        assert not harmful(app.clipboard.replace("\r\n", "\n"))
        assert app.return_value is None


async def test_titles_and_leagues_of_them_do_nothing() -> None:
    async with running(book_of_everyone(), size=(100, 30)) as (app, pilot, _):
        for room in ("contents", "adopters", "uptake", "attempts", "sources"):
            app.show(room)
            await rest(pilot)
            looked_at(app)
