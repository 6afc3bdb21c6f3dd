"""The whole keeper, part by part."""

from . import base, body, clothes, coat, head, props
from .sdf import Part


def figure() -> list[Part]:
    """Every part of the figure."""
    return [
        *body.parts(),
        *head.parts(),
        *clothes.parts(),
        *coat.parts(),
        *props.parts(),
        *base.parts(),
    ]
