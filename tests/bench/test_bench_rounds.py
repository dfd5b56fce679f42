"""The benchmark of rounds runs; what it measures is read by people, and fails no test."""

from tests.bench import rounds


def test_the_benchmark_runs(capsys):
    """At a small size it prints one line an aim, each with a figure beside what was aimed at."""
    rounds.main(["--stops", "14", "--rounds", "1"])
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(":")[0] for line in lines] == ["order of 52", "round of 14", "round of 14 in 4 h with 40 kg"]
    assert all("aim" in line for line in lines)
