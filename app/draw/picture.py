"""The plan picture under a map."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.image import AxesImage
from matplotlib.transforms import Affine2D
from PIL import Image

from app.draw.style import LIGHT, Palette
from core.errors import InputError
from core.files.paths import is_file
from core.site.site import Site

MOST_PIXELS = 60_000_000
KINDS = ("PNG", "JPEG")
"""By their content, whatever the name says: other kinds may start foreign programs."""

# The library's own, wider bound would speak first, and not in our words.
Image.MAX_IMAGE_PIXELS = None


def load_picture(path: Path) -> np.ndarray:
    """Return a picture as (rows, columns, 3) bytes.

    Raises
    ------
    InputError
        If it is no picture, or has more pixels than a map can use.
    """
    try:
        now = path.stat()
        if not is_file(path):
            raise OSError
    except (OSError, ValueError):
        raise InputError(
            "is not there, or is no file",
            source=str(path),
            field="picture.file",
            fix="Put it beside the site file",
        ) from None
    pixels = _decoded(path, now.st_mtime_ns, now.st_size)
    if isinstance(pixels, InputError):
        raise pixels.within()
    return pixels


@lru_cache(maxsize=1)
def _decoded(path: Path, written: int, size: int) -> np.ndarray | InputError:
    """Return the pixels of a picture as it is now, or what is wrong with it: neither is found out twice."""
    del written, size
    try:
        with Image.open(path, formats=KINDS) as image:
            width, height = image.size
            if width * height > MOST_PIXELS:
                return InputError(
                    f"has {width} × {height} pixels",
                    source=str(path),
                    field="picture.file",
                    fix=f"Use a picture with at most {MOST_PIXELS // 1_000_000} million pixels",
                )
            return np.asarray(image.convert("RGB"))
    except Exception:
        # Decoders raise whatever broken bytes lead them to; here that all means one thing.
        return InputError(
            "is not a picture that can be read",
            source=str(path),
            field="picture.file",
            fix="Use PNG or JPEG",
        )


def picture_path(site: Site, folder: Path | None) -> Path | None:
    """Return where the site's picture is if the site file is in ``folder``; None where there is none."""
    return folder / site.picture.file if site.picture is not None and folder is not None else None


def picture_doubt(site: Site, path: Path | None) -> str:
    """Return why the site's picture, which is at ``path``, cannot be shown, or nothing."""
    if site.picture is None or path is None:
        return ""
    try:
        load_picture(path)
    except InputError as error:
        return f"the plan picture is left out: {error.line()}"
    return ""


_REACH = 60
"""A drawing's lines are what differs from its surroundings, of this part of the picture's longer side."""

_FULL = 0.35
"""Difference in grey at which a line is drawn in full, of black to white."""


def ink_of(pixels: np.ndarray) -> np.ndarray:
    """Return how much ink (rows, columns), 0 to 1, the lines of a picture (rows, columns, 3) need.

    Even areas need none, whatever their colour: they would change what the shading below them says.
    """
    grey = pixels.astype(np.float32) @ np.array([0.2126, 0.7152, 0.0722], np.float32) / 255.0
    reach = max(2, max(grey.shape) // _REACH)
    ink: np.ndarray = np.clip((np.abs(grey - _evened(grey, reach)) - 0.04) / _FULL, 0.0, 1.0)
    return ink


def _evened(grey: np.ndarray, reach: int) -> np.ndarray:
    """Return the means over squares of ``2 reach + 1`` pixels about each."""
    out = grey.astype(np.float64)
    for axis in (0, 1):
        ends = [(reach + 1, reach) if a == axis else (0, 0) for a in (0, 1)]
        sums = np.cumsum(np.pad(out, ends, mode="edge"), axis=axis)
        upper = np.take(sums, range(2 * reach + 1, sums.shape[axis]), axis=axis)
        lower = np.take(sums, range(sums.shape[axis] - 2 * reach - 1), axis=axis)
        out = (upper - lower) / (2 * reach + 1)
    return out


@lru_cache(maxsize=1)
def _inked(path: Path, written: int, size: int, colour: str, opacity: float) -> np.ndarray:
    """Return a picture's lines in one colour, as (rows, columns, 4) bytes."""
    pixels = _decoded(path, written, size)
    assert not isinstance(pixels, InputError)
    ink = ink_of(pixels)
    out = np.empty((*ink.shape, 4), np.uint8)
    out[..., :3] = np.round(255.0 * np.array(to_rgb(colour)))
    out[..., 3] = np.round(255.0 * opacity * ink)
    return out


def draw_picture(
    axes: Axes, site: Site, path: Path | None, palette: Palette = LIGHT
) -> Artist | None:
    """Draw the lines of the site's picture at their place and scale; nothing if it has none that can be shown.

    ``path`` is where the picture is.
    """
    if site.picture is None or path is None or picture_doubt(site, path):
        return None
    picture = site.picture
    now = path.stat()
    pixels = _inked(path, now.st_mtime_ns, now.st_size, palette.ink, picture.opacity)
    rows, columns = pixels.shape[:2]
    scale = picture.metres_per_pixel
    image = AxesImage(
        axes, extent=(0, columns * scale, 0, rows * scale), zorder=2.5, origin="upper"
    )
    image.set_data(pixels)
    image.set_clip_path(axes.patch)
    axes.add_image(image)
    turn = Affine2D().rotate_deg(-picture.rotation).translate(*picture.origin)
    image.set_transform(turn + axes.transData)
    return image
