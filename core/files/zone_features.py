"""Proven zones as GeoJSON features."""

from __future__ import annotations

from core.files.geojson import Feature
from core.limits.sets import get_set
from core.reading.cautions import FULL, SHORT
from core.reading.provisos import provisos, silent, uncounted
from core.site.site import Site
from core.views.views import PlanView
from core.zones.site_zones import SiteZones
from core.zones.steps import Step
from core.zones.zone import Zone, approaches, pieces_of


def zone_features(site: Site, zones: SiteZones, software: str) -> list[Feature]:
    """Return the pieces of plan zones as GeoJSON features with everything a reader must know.

    Parameters
    ----------
    site : Site
        The site.
    software : str
        Name and version of the program.
    """
    limits = get_set(site.limit_set)
    features = []
    for step, one in zones.zones:
        near = {a.name: round(a.distance, 2) for a in approaches(site, one) if a.distance < 1e6}
        for piece in pieces_of(site, one):
            features.append(
                Feature(
                    piece.shape,
                    {
                        "zone": step.words,
                        "meaning": step.meaning,
                        "tier": step.tier,
                        "tier_name": limits.name_of(step.tier),
                        "limit_set": limits.key,
                        "threshold_percent": step.threshold_percent,
                        **_of_a_garment(step),
                        "area_m2": round(piece.area, 3),
                        "surface": "" if piece.floor is None else piece.floor.words,
                        "surface_height_m": None if piece.floor is None else piece.floor.height,
                        "open_sides": list(one.open_sides),
                        "causes": {c.source: round(c.share, 3) for c in piece.causes},
                        "closest_approach_m": near,
                        "bound_proven": True,
                        "undecided": one.undecided.contains(piece.shape.representative_point()),
                        "complete": one.complete,
                        "tolerance_reached_m": round(one.metres, 4),
                        "exactness": one.message,
                        "height": _height(one),
                        "body": one.view.body.words,
                        "software": software,
                        "site": site.name,
                        "site_revision": site.edition,
                        "caution": SHORT,
                    },
                )
            )
    return features


def _of_a_garment(step: Step) -> dict[str, object]:
    if step.garment is None:
        return {}
    return {"garment": step.garment.name, "garment_use_percent": step.use_percent}


def _height(one: Zone) -> str:
    return one.view.height.words if isinstance(one.view, PlanView) else "vertical plane"


def about(site: Site, software: str, zones: SiteZones | None = None) -> dict[str, object]:
    """Return what stands at the head of an exported file.

    Parameters
    ----------
    site : Site
        The site.
    software : str
        Name and version of the program.
    zones : SiteZones or None
        The zones in it, for what has to be known besides.
    """
    return {
        "title": f"{site.name}: proven exposure zones",
        "software": software,
        "site_revision": site.edition,
        "estimate": "conservative" if site.conservative else "best estimate, can be low",
        "not_counted": [*uncounted(site), *silent(site)],
        "notes": [*provisos(site), *(() if zones is None else zones.notes)],
        "cautions": list(FULL),
    }
