"""The benchmark of the store runs; what it measures is read by people, and fails no test."""

from tests.bench import store


def test_the_benchmark_runs(capsys):
    """At a tiny size it prints one line an aim, each with a figure beside what was aimed at."""
    store.main(["--versions", "60", "--rounds", "1"])
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(":")[0] for line in lines] == [
        "import", "the same as a file", "merge of what is known", "one append", "first page", "opening"]
    assert all("aim" in line for line in lines)
