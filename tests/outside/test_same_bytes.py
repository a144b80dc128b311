"""P7: the same design gives the same bytes, on any number of threads, every time."""

import pytest

from designs import random_design
from tool import MOTIFS, make


@pytest.mark.parametrize("seed", [3, 14, 15])
def test_threads_and_repetition_change_nothing(seed, tmp_path):
    design = tmp_path / "design.toml"
    design.write_text(random_design(seed, dpi=150, longest=2400))
    made = {}
    for turn in ("first", "again"):
        for threads in (1, 2):
            files, _ = make(tmp_path / f"{turn}-{threads}", design, "--threads", threads, "--as", "svg,png,tiff")
            made[turn, threads] = {ending: path.read_bytes() for ending, path in files.items()}
    first = made["first", 1]
    assert sorted(first) == ["png", "svg", "tif"]
    for which, files in made.items():
        for ending, data in files.items():
            assert data == first[ending], f"{which}: other bytes in the {ending}"


def test_another_design_gives_other_bytes(tmp_path):
    """The comparison above can fail."""
    one, _ = make(tmp_path / "1", MOTIFS / "limpet.svg")
    two, _ = make(tmp_path / "2", MOTIFS / "limpet.svg", "--motif-width", "2.001in", "--name", "limpet")
    assert all(one[ending].read_bytes() != two[ending].read_bytes() for ending in ("svg", "png", "tif"))
