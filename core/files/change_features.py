"""What zones gained and lost between two states, as GeoJSON features."""

from __future__ import annotations

from core.changes.comparison import Comparison
from core.changes.report import as_data, verdict
from core.files.geojson import Feature
from core.reading.cautions import FULL, SHORT


def change_features(comparison: Comparison, software: str) -> list[Feature]:
    """Return the pieces that zones gained and lost as GeoJSON features.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    software : str
        Name and version of the program.
    """
    features = []
    for one in comparison.zones:
        for change, region in (("gained", one.gained), ("lost", one.lost)):
            for piece in region.geoms:
                features.append(
                    Feature(
                        piece,
                        {
                            "change": change,
                            "zone": one.step.words,
                            "meaning": one.step.meaning,
                            "tier": one.step.tier,
                            "threshold_percent": 100.0 * one.step.threshold,
                            "limit_set_before": comparison.before.limit_set,
                            "limit_set_after": comparison.after.limit_set,
                            "surface": one.surface,
                            "surface_height_m": one.height,
                            "area_m2": piece.area,
                            "exposure_rose": one.rose if change == "gained" else None,
                            "software": software,
                            "site": comparison.after.name,
                            "revision_before": comparison.before.edition,
                            "revision_after": comparison.after.edition,
                            "caution": SHORT,
                        },
                    )
                )
    return features


def about_changes(comparison: Comparison, software: str) -> dict[str, object]:
    """Return what stands at the head of an exported comparison.

    Parameters
    ----------
    comparison : Comparison
        The comparison.
    software : str
        Name and version of the program.
    """
    data = as_data(comparison)
    listed = (
        "before", "after", "differences", "ladders", "access", "fences", "jobs",
        "newly_over_five_percent", "notes",
    )  # fmt: skip
    return {
        "title": f"{comparison.after.name}: what zones gained and lost",
        "software": software,
        "verdict": verdict(comparison),
        **{key: data[key] for key in listed},
        "cautions": list(FULL),
    }
