from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from ledger.errors import OffglassError
from ledger.intake.read import read
from tests.intake import damaged_shapes, damaged_values
from tests.intake.scenario import Case, stored_results

CASES = [*damaged_shapes.cases(), *damaged_values.cases()]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_damaged_file_is_stored_rightly_or_refused_in_one_line(
    case: Case, tmp_path: Path
) -> None:
    path = tmp_path / "given.csv"
    path.write_bytes(case.data)

    if case.stored is None:
        with pytest.raises(OffglassError) as refused:
            read(path, case.kind, case.options)

        assert refused.value.exit_code == 2
        assert "\n" not in refused.value.message
        assert len(refused.value.message) < 700
        for words in case.says:
            assert words in refused.value.message
        return
    reading = read(path, case.kind, case.options)

    assert stored_results(reading) == Counter(case.stored)
    assert reading.reasons == case.rejected
    assert Counter(reading.skipped["reason"].to_list()) == Counter(case.skipped)
    assert reading.rows == len(case.stored) + sum(case.rejected.values()) + sum(
        case.skipped.values()
    )
    for words in case.says:
        assert any(words in warning for warning in reading.warnings), reading.warnings


def test_the_cases_are_many_and_named_once() -> None:
    names = [case.name for case in CASES]

    assert len(names) == len(set(names))
    assert len(names) >= 80
