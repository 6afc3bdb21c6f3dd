"""A colour picked from a picture at a point."""

from __future__ import annotations

import io
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from preview.errors import FileFault, UsageError
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import (
    SRGB_WHITE,
    hex_from_srgb8,
    linear_from_srgb8,
    xyz_from_linear,
)
from preview.palette.wanted import Wanted

if TYPE_CHECKING:
    from PIL import Image

# The median of so many pixels across the point, so that noise and grain do not count.
ACROSS = 5
# Pixels of the spot that differ more than this from their median, CIEDE2000, make it uneven.
UNEVEN = 6.0
_FIX = "give a PNG, JPEG, TIFF or WebP picture"
_PHOTO = "a photo's colours are also those of its light and camera"


def pick_colour(path: Path, column: int, row: int) -> Wanted:
    """The colour of a picture around a point: the median of 5 x 5 pixels, band by band.

    A picture that brings its colour profile (ICC) is turned into sRGB by it; any other one is taken
    as sRGB. A camera's note of which side is up is followed, so that places are those one sees.

    Parameters
    ----------
    path : a picture in a usual format.
    column, row : pixels from the top left corner, counted from 0.

    Raises
    ------
    FileFault : there is no such picture, or it cannot be read as colours.
    UsageError : the point lies outside the picture, or where it is transparent.
    """
    pixels, profile = _pixels(path)
    height, width = pixels.shape[:2]
    where = f"command line, {column},{row} of {path.name}"
    if not (0 <= column < width and 0 <= row < height):
        raise UsageError(
            f"the point {column},{row} lies outside the picture",
            where,
            f"columns go from 0 to {width - 1}, rows from 0 to {height - 1}, from the top left",
        )
    half = ACROSS // 2
    spot = pixels[max(row - half, 0) : row + half + 1, max(column - half, 0) : column + half + 1]
    shown = spot.reshape(-1, 4)
    shown = shown[shown[:, 3] > 127, :3]
    if not len(shown):
        raise UsageError("the picture is transparent there", where, "choose a painted place")
    middle = np.round(np.median(shown, axis=0)).astype(np.uint8)
    lab = lab_from_xyz(xyz_from_linear(linear_from_srgb8(middle)), SRGB_WHITE)
    around = lab_from_xyz(xyz_from_linear(linear_from_srgb8(shown)), SRGB_WHITE)
    spread = float(np.median(ciede2000(around, lab)))
    notes = [profile, _PHOTO]
    if spread > UNEVEN:
        notes.append(f"the spot is uneven: its pixels differ by ΔE00 {spread:.0f} in the middle")
    said = f"{hex_from_srgb8(middle)}, from {path.name} at {column},{row}"
    return Wanted(lab, said, tuple(notes))


def _pixels(path: Path) -> tuple[NDArray[np.uint8], str]:
    """(height, width, 4) sRGB with opacity, and what was taken for its colour space."""
    from PIL import Image, ImageOps

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(path) as picture:
                upright = ImageOps.exif_transpose(picture)
                return _in_srgb(upright, path)
    except FileNotFoundError as error:
        raise FileFault("there is no such picture", str(path), "check the path") from error
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        fix = "crop it around the colour"
        raise FileFault("the picture is too large", str(path), fix) from error
    except (OSError, ValueError, SyntaxError, EOFError) as error:
        raise FileFault(f"the picture cannot be read: {error}", str(path), _FIX) from error


def _in_srgb(picture: Image.Image, path: Path) -> tuple[NDArray[np.uint8], str]:
    """The picture in sRGB, by its own profile where it has one."""
    from PIL import Image, ImageCms

    if picture.mode.startswith(("I", "F")):
        return _from_deep_grey(picture, path), "16-bit grey, taken as encoded like sRGB"
    profile = picture.info.get("icc_profile")
    if picture.mode == "LAB" or (picture.mode == "CMYK" and not profile):
        what = f"the picture is {picture.mode}" + ("" if profile else " without a colour profile")
        raise FileFault(what, str(path), "save it as sRGB")
    if not profile:
        assumed = "the picture names no colour profile: taken as sRGB"
        return np.asarray(picture.convert("RGBA")), assumed
    bare = picture.mode in ("RGB", "CMYK", "L")
    opacity = Image.new("L", picture.size, 255) if bare else picture.convert("RGBA").getchannel("A")
    coloured = picture if bare else picture.convert("RGBA").convert("RGB")
    try:
        own: Any = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        name = ImageCms.getProfileDescription(own).strip() or "unnamed"
        turned = ImageCms.profileToProfile(
            coloured, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
    except ImageCms.PyCMSError as error:
        raise FileFault(
            f"the picture's colour profile cannot be used: {error}", str(path), "save it as sRGB"
        ) from error
    assert turned is not None
    turned.putalpha(opacity)
    return np.asarray(turned), f'colours by the picture\'s own profile, "{name}"'


def _from_deep_grey(picture: Image.Image, path: Path) -> NDArray[np.uint8]:
    """A grey picture of 16 bits as opaque sRGB; FileFault for numbers without a known scale."""
    if not picture.mode.startswith("I"):
        raise FileFault("the picture holds numbers without a scale", str(path), "save it as sRGB")
    grey = np.round(np.clip(np.asarray(picture, dtype=np.float64), 0, 65535) / 257.0)
    opaque = np.full(grey.shape, 255.0)
    return np.stack([grey, grey, grey, opaque], axis=-1).astype(np.uint8)
