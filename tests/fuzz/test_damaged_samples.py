"""A short run of tests.fuzz.damaged_samples.py: no traceback for any bytes."""

from tests.fuzz.damaged_samples import faults


def test_mutated_files_are_read_or_refused_in_three_parts() -> None:
    wrong, answers, _ = faults(1500)

    assert wrong == []
    assert answers["read"] > 100
    assert len(answers) > 10
