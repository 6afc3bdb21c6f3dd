"""Single values of a marks file, checked."""

from __future__ import annotations

from collections.abc import Mapping

from preview.rack.place import Place, is_finite_number, shown


def table_of(place: Place, value: object) -> dict[str, object]:
    """The table that stands here; a fault and an empty one when it is none."""
    if isinstance(value, dict):
        return dict(value)
    place.fault(f"must be a table, got {shown(value)}")
    return {}


def number_in(
    place: Place,
    table: Mapping[str, object],
    key: str,
    low: float,
    high: float,
    otherwise: float,
) -> float:
    """A number in [low, high]; a fault and `otherwise` when it is another or none."""
    value = table.get(key, otherwise)
    if is_finite_number(value) and isinstance(value, int | float) and low <= value <= high:
        return float(value)
    place.fault(f"{key} must be a number from {low:g} to {high:g}, got {shown(value)}")
    return otherwise
