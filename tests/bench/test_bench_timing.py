"""The benchmark of forecasts runs; what it measures is read by people, and fails no test."""

from tests.bench import timing


def test_the_benchmark_runs(capsys):
    """At a tiny size it prints one line an aim, each beside the bare work of the same run."""
    timing.main(["--trees", "4", "--rounds", "1"])
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert all(" x the bare work of " in line and "aim" in line for line in lines)
