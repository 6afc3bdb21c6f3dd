"""A photograph as upright 8-bit sRGB, with what its file says of its colours."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from preview.errors import PhotoFault

_COLOUR_MODES = ("RGB", "RGBA", "RGBX", "P")
_EXIF_DETAILS, _EXIF_COLOUR_SPACE, _EXIF_SRGB = 0x8769, 0xA001, 1


@dataclass(frozen=True, eq=False)
class Photo:
    """A photograph, turned upright as its file says.

    srgb8 : (height, width, 3) sRGB, 0-255.
    notes : a sentence for each thing in its file that makes its colours less sure.
    """

    name: str
    srgb8: NDArray[np.uint8]
    notes: tuple[str, ...] = ()


def read_photo(path: Path) -> Photo:
    """Read a JPEG, PNG, TIFF or WebP photograph.

    A colour profile other than sRGB is converted, and told in `notes`.

    Raises
    ------
    PhotoFault : the file is missing, is no picture, is damaged, too large, or has no colours.
    """
    if not path.is_file():
        raise PhotoFault("there is no such photograph", str(path), "check name and folder")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(path) as image:
                if image.mode not in _COLOUR_MODES:
                    raise PhotoFault(
                        f"the photograph has no red, green and blue (its mode is {image.mode})",
                        str(path),
                        "export it as JPEG or PNG in sRGB",
                    )
                upright = ImageOps.exif_transpose(image)
                rgb, note = _in_srgb(upright)
                return Photo(path.name, np.asarray(rgb, dtype=np.uint8), (note,) if note else ())
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PhotoFault("the photograph is too large", str(path), "export it smaller") from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as error:
        raise PhotoFault(
            f"this cannot be read as a photograph: {error}",
            str(path),
            "export it as JPEG or PNG; raw files are not read",
        ) from error


def _in_srgb(image: Image.Image) -> tuple[Image.Image, str]:
    """The picture in sRGB, and what was found out about its colours."""
    rgb = image.convert("RGB")
    kept = image.info.get("icc_profile")
    if not kept:
        space = image.getexif().get_ifd(_EXIF_DETAILS).get(_EXIF_COLOUR_SPACE, _EXIF_SRGB)
        if space == _EXIF_SRGB:
            return rgb, ""
        return rgb, "its EXIF data say that its colours are not sRGB; they were taken as sRGB"
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(kept))
        name = ImageCms.getProfileDescription(profile).strip()
        if "srgb" in name.lower():
            return rgb, ""
        converted = ImageCms.profileToProfile(rgb, profile, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError) as error:
        return rgb, f"its colour profile cannot be read ({error}); its colours were taken as sRGB"
    return converted or rgb, f'its colours were converted to sRGB from the profile "{name}"'
