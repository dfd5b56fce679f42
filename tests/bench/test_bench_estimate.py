"""The benchmark of the estimate runs; what it measures is read by people, and fails no test."""

import pytest

from tests.bench import estimate
from tests.core.lots_for_tests import three


def test_the_benchmark_runs(capsys):
    """With few rounds it prints one line an aim, each with a figure beside what was aimed at."""
    estimate.main(["--rounds", "2"])
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert all("aim" in line and "faster than 10,000 draws" in line for line in lines)


def test_both_work_out_the_same():
    """What is timed against the draws is the same: low and high of each quantity agree with theirs within 8 %."""
    bench = estimate.Bench(1)
    load, liquor = estimate.estimate_lot(estimate.LOT), bench.whole()
    quantities = [load.fresh_hull, load.dry_matter, liquor.volume, liquor.extract, liquor.strength,
                  *(shade.cloth for shade in load.shades)]
    for quantity, (low, high) in zip(quantities, bench.drawn(), strict=True):
        assert three(quantity)[::2] == pytest.approx([low, high], rel=0.08)
