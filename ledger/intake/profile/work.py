"""A file's cells while a profile is applied: the columns so far, what was left out and refused."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.mapping import header_form, listed
from ledger.intake.profile.format import Profile, Ref
from ledger.intake.tokens import Table

_PROBLEM = {
    "row": pl.UInt32,
    "line": pl.Int32,
    "column": pl.String,
    "value": pl.String,
    "reason": pl.String,
    "fix": pl.String,
}
_LEFT = {"line": pl.Int32, "reason": pl.String}


class Work:
    """The cells of one file on their way to fields.

    Attributes:
        frame: `row` (a record), `line`, the file's columns by place, added ones (`+name`)
            and fields filled so far (`=field`).
    """

    def __init__(self, profile: Profile, table: Table, name: str, form: str) -> None:
        self.profile = profile
        self.name = name
        self.form = form
        self.headers: Sequence[str] = table.columns
        self.frame = table.frame.with_columns(pl.col(pl.String).fill_null("")).with_row_index("row")
        self._forms = [header_form(text) for text in table.columns]
        self._places = [str(at) for at in range(len(table.columns))]
        # Where a profile names the second of two, the bare name is the first.
        named = [ref for _, ref in profile.references() if isinstance(ref, str) and "#" in ref]
        self._doubled = {ref.rpartition("#")[0] for ref in named}
        self._may_lack = form.startswith("json") and bool(profile.needed)
        self._problems: list[pl.DataFrame] = []
        self._left: list[pl.DataFrame] = []

    def place(self, ref: Ref) -> str | None:
        """The file's own column of a reference, `None` where it has none."""
        if isinstance(ref, int):
            return self._places[ref - 1] if ref <= len(self._places) else None
        text, hash_, number = ref.rpartition("#")
        whole = self._alike(ref)
        if whole:
            if len(whole) > 1 and ref not in self._doubled:
                raise self._several(ref, whole)
            return self._places[whole[0]]
        if hash_ and number.isdecimal():
            alike = self._alike(text)
            if 1 <= int(number) <= len(alike):
                return self._places[alike[int(number) - 1]]
        return None

    def _alike(self, text: str) -> list[int]:
        exact = [at for at, head in enumerate(self.headers) if head.strip() == text.strip()]
        return exact or [at for at, form in enumerate(self._forms) if form == header_form(text)]

    def _several(self, ref: str, found: Sequence[int]) -> RefusedInput:
        return RefusedInput(
            f"{self.name}: {len(found)} columns are called {findings.show(ref)}; the profile"
            f" {findings.show(self.profile.name)} must say which: {findings.show(ref)}#1,"
            f" {findings.show(ref)}#2, or their places {', '.join(str(at + 1) for at in found)}"
        )

    def used(self) -> set[int]:
        """The places of the file's columns that the profile names."""
        places = (self.place(ref) for _, ref in self.profile.references())
        return {int(place) for place in places if place is not None}

    def added(self, ref: Ref) -> bool:
        """Whether a reference names a column that a step added."""
        return isinstance(ref, str) and f"+{ref}" in self.frame.columns

    def cells(self, ref: Ref) -> str:
        """The column in `frame` of a reference, added ones first.

        Raises:
            RefusedInput: where there is none.
        """
        if self.added(ref):
            return f"+{ref}"
        place = self.place(ref)
        if place is None:
            if self._may_lack:
                self.frame = self.frame.with_columns(pl.lit("").alias(f"+{ref}"))
                return f"+{ref}"
            raise self.unfit([ref])
        return place

    def unfit(self, gone: Sequence[Ref]) -> RefusedInput:
        """The refusal of a file that lacks columns: which are gone and which are new."""
        known = {self.place(ref) for _, ref in self.profile.references()}
        new = [head for at, head in enumerate(self.headers) if str(at) not in known]
        lost = ", ".join(
            f"column {ref}" if isinstance(ref, int) else findings.show(ref) for ref in gone
        )
        near = difflib.get_close_matches(str(gone[0]), new, 1, 0.6)
        hint = f"; {findings.show(near[0])} may be the new name" if near else ""
        return RefusedInput(
            f"{self.name} does not fit the profile {findings.show(self.profile.name)}: gone:"
            f" {lost}; new: {listed(new) or 'none'}{hint}; nothing stored; change the profile, or"
            " take another"
        )

    def written(self, ref: Ref) -> str:
        """A column's name as a report shows it."""
        if self.added(ref) or isinstance(ref, str):
            return str(ref)
        return self.headers[ref - 1].strip() or f"column {ref}"

    def leave_out(self, out: pl.Series, reason: str) -> None:
        """Take records out that are no records of this kind; their rows are told as skipped."""
        if out.any():
            lines = self.frame.filter(out)["line"]
            self._left.append(
                pl.DataFrame({"line": lines}).with_columns(reason=pl.lit(reason)).select(*_LEFT)
            )
            self.frame = self.frame.filter(~out)

    def refuse(
        self, wrong: pl.Series, column: str, values: pl.Series, reason: str, fix: str | None = None
    ) -> None:
        """Note what is wrong with records; their rows are refused if they are still in at the end.

        Args:
            wrong: which records of `frame`.
            column: the column to tell.
            values: the text to tell, one a record of `frame`.
            reason: a reason code.
            fix: what mends it, with `{}` where the value belongs; the usual words if not given.
        """
        if not wrong.any():
            return
        before, _, after = (fix or findings.FIXES[reason]).partition("{}")
        told = pl.concat_str(
            pl.lit(before), pl.col("value") if after else pl.lit(""), pl.lit(after)
        )
        rows = self.frame.select("row", "line").with_columns(value=values.str.strip_chars())
        self._problems.append(
            rows.filter(wrong)
            .with_columns(column=pl.lit(column), reason=pl.lit(reason), fix=told)
            .select(*_PROBLEM)
        )

    def problems(self) -> pl.DataFrame:
        """The first problem of each row of the file whose record is still in: reject columns."""
        if not self._problems:
            return findings.rejects_frame([])
        found = pl.concat(self._problems).join(self.frame.select("row"), on="row", how="semi")
        first = found.unique("line", keep="first", maintain_order=True).sort("line")
        values = [findings.show(value) for value in first["value"].to_list()]
        return first.with_columns(value=pl.Series(values, dtype=pl.String)).select(
            *findings.REJECT_SCHEMA
        )

    def left(self) -> pl.DataFrame:
        """Rows of the file without any record left: `line`, `reason`, one row each."""
        if not self._left:
            return pl.DataFrame(schema=_LEFT)
        rows = pl.concat(self._left).unique("line", keep="first", maintain_order=True)
        return rows.join(self.frame.select("line"), on="line", how="anti").sort("line")
