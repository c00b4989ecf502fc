"""The plan picture under a map."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.transforms import Affine2D
from PIL import Image

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


def picture_doubt(site: Site, folder: Path | None) -> str:
    """Return why the site's picture cannot be shown, or nothing."""
    if site.picture is None or folder is None:
        return ""
    try:
        load_picture(folder / site.picture.file)
    except InputError as error:
        return f"the plan picture is left out: {error.line()}"
    return ""


def draw_picture(axes: Axes, site: Site, folder: Path | None) -> Artist | None:
    """Draw the site's picture, pale, at its place and scale; nothing if it has none that can be shown.

    ``folder`` is where the site file is; pictures are named relative to it.
    """
    if site.picture is None or folder is None or picture_doubt(site, folder):
        return None
    picture = site.picture
    pixels = load_picture(folder / picture.file)
    rows, columns = pixels.shape[:2]
    scale = picture.metres_per_pixel
    image = axes.imshow(
        pixels,
        extent=(0, columns * scale, 0, rows * scale),
        zorder=1,
        alpha=0.35,
        origin="upper",
        aspect="equal",
    )
    turn = Affine2D().rotate_deg(-picture.rotation).translate(*picture.origin)
    image.set_transform(turn + axes.transData)
    return image
