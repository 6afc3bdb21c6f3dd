"""How much more contrast older eyes need."""

from __future__ import annotations

from preview.settings import AGE

REFERENCE_YEARS = 23.0
MEASURED_YEARS = 75.0
"""Where the source ends."""

_CHANGE_YEARS = 64.0


def age_factor(age_years: float) -> float:
    """The threshold at an age over that at 23 years, >= 1.

    The source gives a branch up to 64 years and one from there to 75, which jump down by 1 % where
    they meet. Here the second takes over where it catches up with the first (64.3 years), so the
    factor is continuous and never falls. Below 23 it stays 1, where the source begins; from 75,
    where it ends, the second branch goes on.

    Parameters
    ----------
    age_years : years, in [18, 80].

    Raises
    ------
    UsageError : the age is outside the range or no number.

    References
    ----------
    Adrian (1989), "Visibility of targets: model for calculation", Lighting Research and
    Technology 21: 181; constants as read in an open implementation.
    """
    age = max(AGE.check(age_years), REFERENCE_YEARS)
    first = _until_64(age)
    return (max(first, _from_64(age)) if age > _CHANGE_YEARS else first) / _until_64(
        REFERENCE_YEARS
    )


def _until_64(age: float) -> float:
    """The source's first branch."""
    return (age - 19.0) ** 2 / 2160.0 + 0.99


def _from_64(age: float) -> float:
    """The source's second branch."""
    return (age - 56.6) ** 2 / 116.3 + 1.43
