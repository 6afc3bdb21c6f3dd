"""Pictures inside a page, so that it needs no other file."""

from __future__ import annotations

import base64
import io

from PIL import Image


def webp_address(picture: Image.Image) -> str:
    """A picture as an address that holds it whole: data:image/webp;base64,…"""
    stream = io.BytesIO()
    picture.save(stream, "WEBP", quality=86, method=2)
    return "data:image/webp;base64," + base64.b64encode(stream.getvalue()).decode("ascii")
