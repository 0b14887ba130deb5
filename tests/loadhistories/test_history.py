import numpy as np
import pytest

from loadhistories import InputError, LoadHistory


def history(**changes):
    facts = {"names": ("Fy", "Mz"), "units": ("N", "N mm"), "values": np.arange(10.0).reshape(2, 5), "step": 0.01}
    return LoadHistory(**(facts | changes))


def test_a_channel_is_found_by_its_name_or_refused_with_the_nearest():
    assert history().channel("Mz").tolist() == [5.0, 6.0, 7.0, 8.0, 9.0]
    named = history(names=("Vertical", "Mz"))
    with pytest.raises(InputError, match="channel 'Vertcal' is unknown; did you mean 'Vertical'"):
        named.channel("Vertcal")


def test_span_counts_every_sample_for_one_step():
    assert history().span == pytest.approx(0.05)


def test_chunks_walk_the_chosen_channels_in_the_order_asked_for():
    pieces = list(history().chunks(["Mz", "Fy"], size=2))
    assert [first for first, _ in pieces] == [1, 3, 5]
    np.testing.assert_array_equal(np.concatenate([values for _, values in pieces], axis=1), history().values[::-1])


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"step": 0.0}, "step must be above 0 s, got 0"),
        ({"values": np.zeros(5)}, r"must have the shape \(channels, samples\) with 2 names and 2 units, got \(5,\)"),
        ({"values": np.array([[1.0, 2.0], [3.0, np.nan]])}, r"values must be finite \(channel 'Mz', sample 2\)"),
    ],
)
def test_a_history_that_is_not_sound_is_refused(changes, wording):
    with pytest.raises(InputError, match=wording):
        history(**changes)
