"""LoadBlock: one kind of working as the joint feels it, six components at every instant, and its repeats.

Axes: x and y lie in the faying plane, z is its outward normal; +Fz pulls the plates apart. Forces in N,
moments in N mm, both at the joint's origin.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

COMPONENTS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")


@dataclass(frozen=True)
class LoadBlock:
    """A load history in joint components.

    Attributes
    ----------
    name : str
        As the user calls this kind of working.
    samples : int
        Number of instants.
    step : float
        Time between instants. [s]
    repeats : float
        How often the history occurs within the design life. [-]
    chunks : callable
        `chunks()` walks the history from its start and yields arrays of shape (6, m), float64, in the order
        of COMPONENTS; it can be called again. A chunk is not to be changed.
    """

    name: str
    samples: int
    step: float
    repeats: float
    chunks: Callable[[], Iterator[NDArray[np.float64]]]

    @property
    def span(self) -> float:
        """Time that the history stands for: each sample for one step. [s]"""
        return self.samples * self.step


def block_of_arrays(
    name: str, components: dict[str, NDArray[np.float64]], *, step: float, repeats: float, chunk: int = 65_536
) -> LoadBlock:
    """A block held in memory; a component that is not named is zero.

    Parameters
    ----------
    components : dict of str to array, shape (n,)
        Any of COMPONENTS, in N and N mm, all of one length.
    """
    (length,) = {np.size(values) for values in components.values()}
    table = np.zeros((len(COMPONENTS), length))
    for key, values in components.items():
        table[COMPONENTS.index(key)] = values

    def chunks() -> Iterator[NDArray[np.float64]]:
        for start in range(0, length, chunk):
            yield table[:, start : start + chunk]

    return LoadBlock(name, length, step, repeats, chunks)
