"""Places in ``core`` that can be made wrong, one sign, factor or index at a time, and the tests that should see it.

A row is (file below core, text that stands there once, what it becomes, tests). Rows whose text is no longer found are
errors: mend the row where a formula changed, do not drop it. Add a row for every new formula.
"""

from __future__ import annotations

from dataclasses import dataclass

SENSES = "tests/senses"
BOUNDS = "tests/core/proof/test_bounds.py"
CONSTANTS = "tests/senses/test_proof_constants.py"
MAP = "tests/core/changes/test_difference_map.py"
COMPARED = "tests/core/changes/test_comparison.py"
SHARED = "tests/core/changes/test_shares.py"
FLEET = "tests/core/fleet/test_fleet.py"
MIRRORS = "tests/core/site/test_mirrors.py"
CORNERS = "tests/core/site/test_corners.py"
COUPLING = "tests/core/antennas/test_coupling.py"
FENCES = "tests/core/fences"
PARTS = "tests/core/site/test_parts.py"
OPEN = "tests/core/antennas/test_open_tilt.py"
POLES = "tests/core/entry/test_poles.py"
OTHERS = "tests/core/antennas/test_fields_of_others.py"
TOWERS = "tests/core/site/test_beside_towers.py"
SHARPER = "tests/core/zones/test_sharpening.py"


@dataclass(frozen=True)
class Mutant:
    """One change in a file of ``core``; ``tests`` are paths for pytest; ``why`` explains one that may survive."""

    file: str
    old: str
    new: str
    tests: str
    why: str = ""


MUTANTS = (
    # frames and angles
    Mutant("geometry.py", "-np.sin(b)])", "np.sin(b)])", SENSES),
    Mutant(
        "geometry.py",
        "left * np.cos(c) + up * np.sin(c)",
        "left * np.cos(c) - up * np.sin(c)",
        SENSES,
    ),
    Mutant(
        "geometry.py",
        "up * np.cos(c) - left * np.sin(c)",
        "up * np.cos(c) + left * np.sin(c)",
        SENSES,
    ),
    Mutant(
        "geometry.py",
        "left = np.array([-np.cos(a), np.sin(a), 0.0])",
        "left = np.array([np.cos(a), -np.sin(a), 0.0])",
        SENSES,
    ),
    Mutant(
        "geometry.py",
        "np.array([np.sin(a) * np.cos(b), np.cos(a) * np.cos(b)",
        "np.array([-np.sin(a) * np.cos(b), np.cos(a) * np.cos(b)",
        SENSES,
    ),
    Mutant(
        "views/defaults.py",
        "azimuth = (azimuth - site.grid_north)",
        "azimuth = (azimuth + site.grid_north)",
        SENSES,
    ),
    Mutant(
        "views/defaults.py",
        "return (view.azimuth + site.grid_north)",
        "return (view.azimuth - site.grid_north)",
        SENSES,
    ),
    Mutant(
        "views/views.py",
        "y + a.ravel() * north, z.ravel()",
        "y - a.ravel() * north, z.ravel()",
        SENSES,
    ),
    Mutant(
        "views/views.py",
        "(points[:, 0] - self.origin[0]) * east",
        "(points[:, 0] - self.origin[0]) * -east",
        SENSES,
    ),
    Mutant(
        "site/earth.py",
        "np.degrees(longitude), np.degrees",
        "-np.degrees(longitude), np.degrees",
        "tests/core/site",
    ),
    Mutant(
        "site/earth.py",
        "xy[:, 0] * np.cos(g) + xy[:, 1] * np.sin(g)",
        "xy[:, 0] * np.cos(g) - xy[:, 1] * np.sin(g)",
        "tests/core/files",
    ),
    Mutant(
        "site/earth.py",
        "axial = normal * (1.0 - _E2) * sin + cos * north",
        "axial = normal * sin + cos * north",
        "tests/core/site",
    ),
    # fields
    Mutant(
        "fields/one_arm.py",
        "q * current * (w1 / r1 + w2 / r2",
        "q * current * (w1 / r1 - w2 / r2",
        "tests/reference tests/core/antennas",
    ),
    Mutant(
        "fields/one_arm.py",
        "bracket = (z - h) * w1 / r1 + (z + h)",
        "bracket = (z - h) * w1 / r1 - (z + h)",
        "tests/reference tests/core/antennas",
    ),
    Mutant(
        "fields/one_arm.py",
        "one = 1.0 - v * v - 1j * v",
        "one = 1.0 + v * v - 1j * v",
        "tests/core/fields tests/core/antennas tests/reference",
    ),
    Mutant(
        "fields/one_arm.py",
        "(1.0 - 3.0 * v * v - 3j * v)",
        "(1.0 - 3.0 * v * v + 3j * v)",
        "tests/core/fields tests/core/antennas tests/reference",
    ),
    Mutant(
        "fields/one_arm.py",
        "real(0.5) * kh * np.sin(kh), moment",
        "real(0.25) * kh * np.sin(kh), moment",
        "tests/core/fields tests/core/antennas tests/reference tests/core/proof",
    ),
    Mutant(
        "fields/arms.py",
        "out.e2_each[rows[at]] += _square(e)",
        "out.e2_each[rows[at]] += 0.5 * _square(e)",
        "tests/core/antennas tests/core/proof tests/validation",
    ),
    Mutant(
        "fields/array_factor.py", "phase -= real(np.angle(w))", "phase += real(np.angle(w))", SENSES
    ),
    Mutant(
        "fields/array_factor.py",
        "square += fall * fall",
        "square += fall",
        "tests/core/antennas tests/core/proof",
    ),
    Mutant(
        "fields/ground.py",
        "- 60j * wavelength",
        "- 30j * wavelength",
        "tests/reference tests/core/site tests/senses",
    ),
    Mutant(
        "fields/ground.py",
        "np.asarray((ground * s - q) / (ground * s + q))",
        "np.asarray((s - q) / (ground * s + q))",
        "tests/reference tests/core/site",
    ),
    Mutant(
        "fields/elements.py",
        "return e2 * real(30.0), h2 * real(30.0 / ETA0**2)",
        "return e2 * real(30.0), h2 * real(20.0 / ETA0**2)",
        "tests/core/antennas tests/validation",
    ),
    # antennas
    Mutant(
        "antennas/stack.py",
        "np.exp(1j * k * heights * np.sin(np.radians(tilt)))",
        "np.exp(-1j * k * heights * np.sin(np.radians(tilt)))",
        SENSES,
    ),
    Mutant(
        "antennas/stack.py",
        "heights < -1e-9, 1.0 + null_fill",
        "heights < -1e-9, 1.0 - null_fill",
        SENSES,
    ),
    Mutant(
        "antennas/bay_shapes.py",
        "for side, current in ((1.0, 1.0), (-1.0, 1j)):",
        "for side, current in ((1.0, 1.0), (-1.0, -1j)):",
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/bay_shapes.py",
        "back = np.array([-1.0, 0.0, 0.0])",
        "back = np.array([1.0, 0.0, 0.0])",
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/bay_shapes.py",
        "along = np.cos(k * (half_wire - np.abs(edges - half_wire)))",
        "along = np.cos(k * np.abs(edges - half_wire))",
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/bay_shapes.py",
        "np.concatenate([ring[:1] + up, ring, ring[-1:] - up])",
        "np.concatenate([ring[:1] + up, ring, ring[-1:] + up])",
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/stack.py",
        '(("turnstile", -2.2), ("vertical-dipole", 3.2))',
        '(("turnstile", -8.4), ("vertical-dipole", 3.0))',
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/stack.py",
        '((("slant-ring", 5.3),)',
        '((("slant-ring", 0.0),)',
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "antennas/stack.py",
        "g * from_db(db - s.cover_db)",
        "g * from_db(db - 2.0 * s.cover_db)",
        "tests/core/antennas/test_stack.py",
    ),
    Mutant(
        "proof/bounds/stack.py",
        "return np.stack([values[name] for name in names]) ** 2",
        "return np.stack([values[name] for name in names])",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "antennas/bay_shapes.py",
        "np.array([1.0, 1j])",
        "np.array([1.0, 1.0])",
        "tests/core/antennas tests/validation",
    ),
    Mutant(
        "antennas/panel.py",
        "(0.13, 0.3), (-2.5, -0.5)",
        "(0.13, 0.3), (-30.0, -0.5)",
        "tests/core/antennas/test_panel.py tests/validation",
    ),
    Mutant(
        "antennas/panel.py",
        "points[:, 0] + depth, points[:, 1]",
        "points[:, 0] - depth, points[:, 1]",
        "tests/core/antennas tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "antennas/panel.py",
        "ahead = unit[:, 0] > 0.0",
        "ahead = unit[:, 0] > -2.0",
        "tests/core/antennas/test_panel.py",
    ),
    Mutant(
        "antennas/panel.py",
        "min(max(self.back - BACK_MARGIN_DB, 0.0), BACK_DB)",
        "max(self.back - BACK_MARGIN_DB, 0.0)",
        "tests/core/antennas/test_panel.py",
    ),
    Mutant(
        "antennas/panel.py",
        "share = ramp(turn, BACK_FROM, BACK_FULL)",
        "share = ramp(turn, 60.0, 90.0)",
        "tests/core/antennas/test_panel.py",
    ),
    Mutant(
        "antennas/panel.py",
        "image = image * level_power",
        "image = image / level_power",
        "tests/core/antennas/test_panel.py",
    ),
    Mutant(
        "proof/bounds/panel.py",
        "_turn(kind, patches, 1.0, model.depth)",
        "_turn(kind, patches, 0.0, model.depth)",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "antennas/panel.py",
        "np.exp(1j * k * heights * np.sin(np.radians(band.tilt)))",
        "np.exp(-1j * k * heights * np.sin(np.radians(band.tilt)))",
        SENSES,
    ),
    Mutant(
        "antennas/panel_ring.py",
        "np.stack([np.cos(turn), -np.sin(turn), 0 * turn], axis=1)",
        "np.stack([np.cos(turn), np.sin(turn), 0 * turn], axis=1)",
        SENSES,
    ),
    Mutant(
        "antennas/mast_array.py",
        "np.array([np.cos(angle), -np.sin(angle), 0.0])",
        "np.array([np.cos(angle), np.sin(angle), 0.0])",
        SENSES,
    ),
    Mutant(
        "antennas/dish.py",
        "near = times * 16.0 * efficiency",
        "near = times * 8.0 * efficiency",
        "tests/core/antennas tests/reference tests/validation",
    ),
    Mutant(
        "antennas/dish.py",
        "far_start=0.6 * diameter**2",
        "far_start=0.3 * diameter**2",
        "tests/core/antennas tests/reference tests/validation",
    ),
    Mutant(
        "antennas/dish.py",
        "surface=max(4.0 / area",
        "surface=max(2.0 / area",
        "tests/core/antennas tests/reference tests/validation",
    ),
    Mutant(
        "antennas/dish.py",
        "near_end * JOINED / times",
        "near_end * JOINED * times",
        "tests/core/antennas tests/reference tests/validation",
    ),
    Mutant("antennas/dish.py", "TAPERED = 1.7", "TAPERED = 1.0", "tests/core/antennas"),
    Mutant(
        "antennas/worst_case.py",
        "distance = away - real(self.size / 2.0)",
        "distance = away - real(self.size)",
        "tests/core/antennas/test_worst_case.py",
    ),
    Mutant(
        "antennas/worst_case.py",
        "REFLECTION = 4.0",
        "REFLECTION = 2.0",
        "tests/senses tests/core/exposure tests/reference",
    ),
    Mutant(
        "antennas/worst_case.py",
        "4.0 * (u2 + u4)",
        "2.0 * (u2 + u4)",
        "tests/core/antennas/test_worst_case.py",
    ),
    Mutant(
        "antennas/worst_case.py",
        "1.0 + u2 + u4",
        "1.0 + u4",
        "tests/core/antennas/test_worst_case.py",
        "Beside a short dipole H has 1 + 1/x²: seen within 1.2 % only",
    ),
    Mutant(
        "antennas/yagi.py",
        "np.abs(points) - half, 0.0)",
        "np.abs(points) - 2.0 * half, 0.0)",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant(
        "antennas/yagi.py",
        "ramp(-points[:, 0] - real",
        "ramp(points[:, 0] - real",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant(
        "antennas/yagi.py",
        "SIDE_FAR + SIDE_NEAR / d",
        "SIDE_FAR",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant(
        "antennas/yagi.py",
        "(d / (d + self.setback(lam))) ** 2",
        "(d / (d + 3.0 * self.setback(lam))) ** 2",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant(
        "antennas/yagi.py",
        "from_db(self.gain - ratio)",
        "from_db(self.gain + ratio)",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant(
        "antennas/measured.py",
        "1.0 - ramp(np.log",
        "ramp(np.log",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "antennas/measured.py",
        "self.allowance + (most - self.allowance) * near",
        "self.allowance * near + (most - self.allowance)",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "antennas/measured.py",
        "(d * (d + real(self.length))) ** 2",
        "(d * (d + real(self.length))) ** 3",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "fields/aperture.py",
        "line.floor) * tangent) / r2",
        "line.floor) * tangent * tangent) / r2",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "fields/aperture.py",
        "across - across.dtype.type(line.half_width)",
        "across + across.dtype.type(line.half_width)",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "fields/aperture.py",
        "np.arctan2(-y, x)",
        "np.arctan2(y, x)",
        "tests/senses tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "fields/aperture.py",
        "np.arctan2(z, across)",
        "np.arctan2(-z, across)",
        "tests/senses tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "fields/aperture.py",
        "most[:, 1:] -= run",
        "most[:, 1:] += run",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "patterns/caps.py",
        "np.roll(fine[: 1 - first].max(axis=0), 180)",
        "fine[: 1 - first].max(axis=0)",
        "tests/core/patterns/test_caps.py",
    ),
    Mutant(
        "patterns/caps.py",
        "low, high = up - half, up + half",
        "low, high = up, up + half",
        "tests/core/patterns/test_caps.py",
    ),
    Mutant(
        "patterns/beam.py",
        "_UNIFORM = 0.886",
        "_UNIFORM = 0.443",
        "tests/core/antennas/test_measured.py",
    ),
    Mutant(
        "antennas/mast_array.py",
        "abs(1.0 - driven / max(induced, 0.05))",
        "abs(driven / max(induced, 0.05))",
        "tests/core/antennas/test_mast_coupling.py",
    ),
    Mutant(
        "antennas/mast_array.py",
        "for j, s in enumerate(scale) if j != i) / a[0]",
        "for j, s in enumerate(scale) if j != i) / (9.0 * a[0])",
        "tests/core/antennas/test_mast_coupling.py",
    ),
    # patterns
    Mutant(
        "patterns/model.py",
        "return np.asarray(10.0 ** (level / 10.0), dtype=np.float64)",
        "return np.asarray(10.0 ** (level / 20.0), dtype=np.float64)",
        "tests/core/patterns tests/core/proof",
    ),
    Mutant(
        "patterns/readers/nsma_units.py",
        'scale = 20.0 if linear == "field" else 10.0',
        'scale = 10.0 if linear == "field" else 20.0',
        "tests/core/files/test_pattern_choices.py",
    ),
    # surveys
    Mutant(
        "exposure/surveyed.py",
        "self.reading.power > self.predicted",
        "self.reading.power < self.predicted",
        "tests/core/exposure/test_surveyed.py",
    ),
    Mutant(
        "exposure/surveyed.py",
        "to_db(self.predicted / self.reading.power)",
        "to_db(self.reading.power / self.predicted)",
        "tests/core/exposure/test_surveyed.py",
    ),
    Mutant(
        "exposure/surveyed.py",
        "from_db(one.reading.uncertainty)",
        "from_db(-one.reading.uncertainty)",
        "tests/core/exposure/test_surveyed.py",
    ),
    Mutant(
        "exposure/surveyed.py",
        "(one.factor - 1.0) * total",
        "(one.factor - 2.0) * total",
        "tests/core/exposure/test_surveyed.py",
    ),
    Mutant(
        "exposure/surveyed.py",
        "min(threshold - self.of(tier), threshold / self.factor)",
        "max(threshold - self.of(tier), threshold / self.factor)",
        "tests/core/zones/test_raised_zones.py",
    ),
    Mutant(
        "zones/raised.py",
        "yoff=-h) for h in (low, high)",
        "yoff=0.0 * h) for h in (low, high)",
        "tests/core/zones/test_raised_zones.py",
    ),
    # limits and exposure
    Mutant("limits/model.py", "(1.0 - EDGE)", "(1.0 + EDGE)", "tests/core/limits tests/reference"),
    Mutant(
        "exposure/fractions.py",
        "electric = 1.0 / limit.e**2",
        "electric = 1.0 / limit.e",
        "tests/core/exposure tests/reference tests/senses",
    ),
    Mutant(
        "exposure/fractions.py",
        "magnetic = 1.0 / limit.h**2",
        "magnetic = 0.5 / limit.h**2",
        "tests/senses tests/core/exposure",
    ),
    Mutant(
        "exposure/fractions.py",
        "h2 * h2.dtype.type(ETA0))\n        electric = magnetic",
        "h2 / h2.dtype.type(ETA0))\n        electric = magnetic",
        SENSES,
    ),
    Mutant(
        "exposure/fractions.py",
        "electric = magnetic = electric + magnetic",
        "electric = magnetic = electric",
        "tests/core/exposure tests/reference",
    ),
    Mutant(
        "exposure/fractions.py",
        "magnetic = max(magnetic, ETA0 / limit.s)",
        "magnetic = max(magnetic, 1.0 / (ETA0 * limit.s))",
        "tests/core/exposure tests/reference tests/core/limits tests/senses",
    ),
    Mutant(
        "exposure/fractions.py",
        "larger = sums[0] >= sums[1]",
        "larger = sums[0] <= sums[1]",
        "tests/core/exposure tests/reference tests/senses",
    ),
    Mutant(
        "exposure/fractions.py",
        "height = np.argmax(worst, axis=1)",
        "height = np.argmin(worst, axis=1)",
        "tests/core/exposure tests/senses",
    ),
    Mutant(
        "exposure/sources.py",
        "e, h = e + np.sqrt(e2)",
        "e, h = e - np.sqrt(e2)",
        "tests/senses tests/core/site",
    ),
    Mutant(
        "exposure/sources.py",
        "source.power * source.reflection.power_factor",
        "source.power * source.reflection.field_factor",
        "tests/core/exposure tests/reference tests/core/site",
    ),
    Mutant(
        "exposure/power.py",
        "from_db(-entry.loss)",
        "from_db(entry.loss)",
        "tests/core/exposure tests/reference",
    ),
    Mutant(
        "exposure/power.py",
        'stated["erp"] = DIPOLE_GAIN * both',
        'stated["erp"] = both',
        "tests/core/exposure tests/reference",
    ),
    Mutant(
        "exposure/power.py",
        "usual = eirp / licence * from_db(loss)",
        "usual = eirp / licence / from_db(loss)",
        "tests/core/exposure",
    ),
    Mutant(
        "exposure/power.py",
        "both = entry.erp + (vertical or 0.0)",
        "both = entry.erp",
        "tests/core/exposure",
    ),
    Mutant(
        "antennas/stack.py",
        "min(of(fed, -stack.tilt) for fed in feeds)",
        "min(of(fed, stack.tilt) for fed in feeds)",
        "tests/core/exposure",
    ),
    Mutant(
        "fields/arms.py",
        "np.full_like(turn, np.sin(up))",
        "np.full_like(turn, -np.sin(up))",
        "tests/core/exposure",
    ),
    Mutant(
        "exposure/power.py",
        "power = max(candidates)",
        "power = min(candidates)",
        "tests/core/exposure tests/reference",
    ),
    Mutant(
        "exposure/power.py",
        "candidates = [eirp / licence for eirp",
        "candidates = [eirp for eirp",
        "tests/core/exposure tests/reference",
    ),
    Mutant(
        "exposure/raster.py",
        "electric += e\n",
        "electric = e\n",
        "tests/core/exposure tests/senses",
    ),
    Mutant(
        "site/reflection.py",
        "ReflectionKind.GROUND: 1.6",
        "ReflectionKind.GROUND: 1.3",
        "tests/core/site tests/core/exposure tests/reference",
    ),
    Mutant(
        "site/surfaces.py",
        "np.maximum(height, surface.height, where=under, out=height)",
        "np.minimum(height, surface.height, where=under, out=height)",
        "tests/core/site",
    ),
    # what stands about an antenna
    Mutant(
        "site/site.py",
        "axes(self.azimuth - grid_north",
        "axes(self.azimuth + grid_north",
        SENSES,
    ),
    Mutant(
        "exposure/sources.py",
        "self.antenna.frame(self.grid_north)",
        "self.antenna.frame(-self.grid_north)",
        SENSES,
    ),
    Mutant(
        "site/mirror.py",
        "points - twice[:, None]",
        "points + twice[:, None]",
        "tests/core/site",
    ),
    Mutant(
        "site/mirror.py",
        "up < -UNDER",
        "up > -UNDER",
        "tests/core/site",
    ),
    Mutant(
        "site/mirror.py",
        "directions - 2.0 * (directions",
        "directions + 2.0 * (directions",
        "tests/core/proof",
    ),
    Mutant(
        "site/mirror.py",
        "1.0 - (past - self.full) / self.fall",
        "1.0 + (past - self.full) / self.fall",
        "tests/core/site",
    ),
    Mutant(
        "site/mirror.py",
        "1.0 + up / self.depth",
        "1.0 - up / self.depth",
        "tests/core/site",
    ),
    Mutant(
        "site/mirror.py",
        "2.0 * half / zone",
        "20.0 * half / zone",
        "tests/core/site tests/core/proof",
    ),
    Mutant(
        "site/mirror.py",
        "(IN_AIR - ON_METAL) * airy",
        "(ON_METAL - IN_AIR) * airy",
        "tests/validation/test_validation.py",
    ),
    Mutant(
        "site/mirror.py",
        "y * c - x * s",
        "y * c + x * s",
        "tests/core/site tests/core/exposure",
    ),
    Mutant(
        "site/mirrors.py",
        "s.height <= antenna[2]",
        "s.height >= antenna[2]",
        "tests/core/site",
    ),
    Mutant(
        "site/mirrors.py",
        "replace(plane, shade=shade)",
        "plane",
        "tests/core/site",
    ),
    Mutant(
        "site/mirrors.py",
        '"soil" if surface.kind == "ground" else "other"',
        '"other" if surface.kind == "ground" else "soil"',
        "tests/core/site",
    ),
    Mutant(
        "site/faces.py",
        "[side[1], -side[0]]",
        "[-side[1], side[0]]",
        "tests/core/site",
    ),
    Mutant(
        "site/faces.py",
        "intensity >= peak",
        "intensity <= peak",
        "tests/core/site",
    ),
    Mutant(
        "site/steel.py",
        "np.maximum(base - z, z - top)",
        "np.maximum(z - base, top - z)",
        "tests/core/site",
    ),
    Mutant(
        "site/steel.py",
        "10.0 ** (self.decibels(distance) / 10.0)",
        "10.0 ** (self.decibels(distance) / 20.0)",
        "tests/core/site",
    ),
    Mutant(
        "site/steel.py",
        "wide * min(1.0, reach / max(away, 1e-9))",
        "wide",
        "tests/core/site",
    ),
    Mutant(
        "site/surroundings.py",
        "(root**2 for root in walls)",
        "(root for root in walls)",
        "tests/core/site",
    ),
    Mutant(
        "exposure/sources.py",
        "e[sent] += size",
        "e[sent] -= size",
        "tests/core/site",
    ),
    Mutant(
        "fields/spread.py",
        "d * (d + ",
        "d * (d - ",
        "tests/validation/test_validation.py tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/mirrors.py",
        "0.25 * self.span * other.span",
        "-0.25 * self.span * other.span",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/mirrors.py",
        "part * radius + most_way",
        "part * radius - most_way",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/mirrors.py",
        "top > AIRY)",
        "top < AIRY)",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/mirrors.py",
        "near, far = past - radius, past + radius",
        "near, far = past + radius, past - radius",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/surroundings.py",
        "steel.rise(near) *",
        "steel.rise(away) *",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/bounds/surroundings.py",
        "(1.0 + 1.0 / ratio) * part",
        "(1.0 + ratio) * part",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/radiators.py",
        "_Corners(owner.local(there)",
        "_Corners(owner.local(points[used])",
        "tests/core/proof/test_surroundings.py",
    ),
    # corners
    Mutant(
        "site/corner.py",
        "in reversed(planes):\n        points",
        "in planes:\n        points",
        CORNERS,
    ),
    Mutant(
        "site/corner.py",
        "in reversed(planes):\n        (middle",
        "in planes:\n        (middle",
        CORNERS,
        "A face mirrored in two planes that are at right angles: the order makes nothing of it",
    ),
    Mutant("site/corner.py", "order[i + 1 :]))", "order[:i]))", CORNERS),
    Mutant(
        "site/corner.py", "most = np.maximum(most, size)", "most = np.minimum(most, size)", CORNERS
    ),
    Mutant(
        "site/corner.py", "(there, leg.antenna, frequency)", "(there, antenna, frequency)", CORNERS
    ),
    Mutant("site/corner.py", "b.height(a.mirrored(at))", "b.height(at)", CORNERS),
    Mutant("site/corner.py", "_top(w) > m.origin[2]", "_top(w) < m.origin[2]", CORNERS),
    Mutant("site/corner.py", "a.distance(b) <= MEETING", "a.distance(b) >= MEETING", CORNERS),
    Mutant("site/corner.py", "apart < 0.0", "apart > 0.0", CORNERS),
    Mutant(
        "proof/corners.py",
        "np.maximum(one.most, other.most)",
        "np.minimum(one.most, other.most)",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/corners.py",
        "np.maximum(one.span, other.span)",
        "np.minimum(one.span, other.span)",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/patchwork.py",
        "for plane in reversed(planes)",
        "for plane in planes",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant("site/levels.py", "np.minimum(up, across)", "np.maximum(up, across)", MIRRORS),
    Mutant("site/levels.py", "unit.power_density * away**2", "unit.power_density * away", MIRRORS),
    Mutant(
        "site/levels.py", "np.abs(local[:, 1]), local[:, 0]", "local[:, 1], local[:, 0]", MIRRORS
    ),
    Mutant("site/levels.py", "roots.max(axis=1)", "roots.max(axis=0)", MIRRORS),
    Mutant("site/faces.py", "before < -UNDER", "before <= 0.0", MIRRORS),
    Mutant(
        "proof/corners.py",
        "elevation - turn, elevation + turn",
        "elevation, elevation",
        "tests/core/proof/test_surroundings.py",
    ),
    Mutant(
        "proof/corners.py",
        "np.maximum(d - places.radius, least)",
        "np.maximum(d, least)",
        "tests/core/proof/test_surroundings.py",
    ),
    # tilts that nobody has said, and poles
    Mutant("antennas/coupling.py", "z[:, port] -= onto", "z[:, port] += onto", COUPLING),
    Mutant("antennas/coupling.py", "- r[p, p] - r[q, q]) / 2.0", "- r[p, p]) / 2.0", COUPLING),
    Mutant("antennas/coupling.py", "+= 1j * reactance", "-= 1j * reactance", COUPLING),
    Mutant("antennas/stack.py", "REACTANCES = (0.0, -0.9)", "REACTANCES = (0.0, 0.9)", COUPLING),
    Mutant(
        "antennas/yagi.py",
        "0.44 * boom - 0.05, 0.0), 0.4)",
        "0.44 * boom - 0.05, 0.0), 0.7)",
        "tests/core/antennas/test_yagi.py",
    ),
    Mutant("antennas/stack.py", "CLOSE = 0.7", "CLOSE = 0.4", COUPLING),
    Mutant(
        "proof/bounds/stack.py",
        "np.maximum.reduce(found)",
        "found[0]",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant("fences/fewer.py", "-0.5 * turn", "0.5 * turn", FENCES),
    Mutant("fences/fewer.py", "t = _cross(gap, e) / cross", "t = _cross(gap, d) / cross", FENCES),
    Mutant(
        "fences/around.py", "(margin + _CLOSE) / _ARC_WITHIN", "0.5 * margin / _ARC_WITHIN", FENCES
    ),
    Mutant("fences/around.py", "margin + slack + _HAIR", "margin - slack + _HAIR", FENCES),
    Mutant("site/roofs.py", "up if p[2] > rises else 0.0", "up", PARTS),
    Mutant("site/roofs.py", "c - a, d - b", "a - c, b - d", PARTS),
    Mutant("antennas/open_tilt.py", "e2.max(axis=0)", "e2.min(axis=0)", OPEN),
    Mutant(
        "proof/bounds/base.py",
        "all_of(name).max(axis=0)",
        "all_of(name).min(axis=0)",
        f"{OPEN} {BOUNDS}",
    ),
    Mutant("antennas/open_tilt.py", "(i + 1) / steps", "i / steps", OPEN),
    Mutant("antennas/open_tilt.py", "most / (STEP * width)", "most / width", OPEN),
    Mutant("site/poles.py", "<= max(BESIDE, 0.5 * wave", "<= min(BESIDE, 0.5 * wave", POLES),
    Mutant(
        "site/poles.py", "one.base - high, low - one.top", "one.base - low, high - one.top", POLES
    ),
    Mutant("site/poles.py", ".distance(points) <= NEAR", ".distance(points) <= 0.5 * NEAR", POLES),
    Mutant("site/poles.py", "_width(one) <= WIDEST", "_width(one) >= WIDEST", POLES),
    Mutant(
        "reading/span.py",
        "10.0 * math.log10(above / below)",
        "20.0 * math.log10(above / below)",
        "tests/core/reading",
    ),
    # proofs
    Mutant(
        "proof/enclosure.py",
        "np.maximum(e2 / ETA0, h2 * ETA0)",
        "np.minimum(e2 / ETA0, h2 * ETA0)",
        "tests/core/proof tests/core/zones",
    ),
    Mutant(
        "proof/enclosure.py",
        "raised: Floats = (y + middle) / (2.0 * np.sqrt(middle))",
        "raised: Floats = (y + middle) / (3.0 * np.sqrt(middle))",
        "tests/core/proof tests/core/zones",
    ),
    Mutant("proof/bounds/cluster.py", "BENT = 3.0", "BENT = 2.0", CONSTANTS),
    Mutant("proof/bounds/cluster.py", "STRAIGHT = 2.0 / np.sqrt(3.0)", "STRAIGHT = 1.0", CONSTANTS),
    Mutant(
        "proof/bounds/cluster.py",
        "near = away - rho - of.reach",
        "near = away + rho + of.reach",
        f"{CONSTANTS} {BOUNDS}",
    ),
    Mutant(
        "proof/bounds/arms.py",
        "(2.0 / np.sqrt(3.0) + 4.0 * x + 6.0 * x2)",
        "(2.0 / np.sqrt(3.0) + 2.0 * x + 3.0 * x2)",
        CONSTANTS,
    ),
    Mutant(
        "proof/bounds/arms.py",
        "nd * (3.0 + 12.0 * x + 24.0 * x2)",
        "nd * (2.0 + 12.0 * x + 24.0 * x2)",
        CONSTANTS,
    ),
    Mutant(
        "proof/bounds/arms.py",
        "nd * (2.0 + 6.0 * x) / r**3",
        "nd * (1.0 + 6.0 * x) / r**3",
        CONSTANTS,
    ),
    Mutant(
        "proof/bounds/jet.py",
        "2.0 * self.m1 * other.m1",
        "1.0 * self.m1 * other.m1",
        f"{BOUNDS} tests/core/proof/test_jets.py",
    ),
    Mutant("proof/bounds/jet.py", "rate * rate + bend", "bend", f"{CONSTANTS} {BOUNDS}"),
    Mutant(
        "proof/bounds/jet.py",
        "d2 * inner.m1**2 + d1 * inner.m2",
        "d1 * inner.m2",
        f"{BOUNDS} tests/core/proof/test_jets.py",
    ),
    Mutant(
        "proof/bounds/base.py",
        "reach2 = 0.5 * half * half",
        "reach2 = 0.25 * half * half",
        f"{BOUNDS} tests/core/proof/test_jets.py",
    ),
    Mutant(
        "proof/bounds/base.py",
        "rise = slack * (2.0 * top + slack)",
        "rise = slack * slack",
        f"{BOUNDS} tests/core/proof/test_jets.py",
    ),
    Mutant(
        "proof/bounds/base.py", "some = gap - radius < trust", "some = gap + radius < trust", BOUNDS
    ),
    Mutant(
        "proof/bounds/worst_case.py",
        "curve = patches.dimension * scale * fall / near",
        "curve = 0.5 * patches.dimension * scale * fall / near",
        f"{BOUNDS} tests/core/proof/test_jets.py",
    ),
    Mutant(
        "proof/bounds/worst_case.py",
        "8.0 * u**4 + 12.0 * u**6",
        "2.0 * u**4 + 3.0 * u**6",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "proof/bounds/yagi.py",
        "nd / near**3)",
        "0.1 * nd / near**3)",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "proof/bounds/yagi.py",
        "np.sqrt(1.0 - low), m1, m2)",
        "np.sqrt(1.0 - high), m1, m2)",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "proof/bounds/measured.py",
        "upward.fall / off + round_.fall / axis",
        "0.2 * upward.fall / off + 0.2 * round_.fall / axis",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "proof/bounds/measured.py",
        "cone / far.ravel(), cone / near.ravel()",
        "cone / near.ravel(), cone / near.ravel()",
        "tests/core/proof/test_bounds.py",
        "The cone's narrow end only widens ranges that other parts of the slack cover",
    ),
    Mutant(
        "proof/bounds/measured.py",
        "field.high * h**3",
        "0.0 * h**3",
        "tests/core/proof/test_bounds.py",
    ),
    Mutant(
        "proof/bounds/field_boxes.py",
        "np.maximum(fall, most - low)",
        "np.maximum(fall, high - low)",
        "tests/core/proof/test_field_boxes.py",
    ),
    Mutant(
        "proof/bounds/field_boxes.py",
        "Range(low, high, high - low)",
        "Range(low, high, 0.0 * low)",
        "tests/core/proof/test_bounds.py",
        "The fall of the field itself only counts through the opening of the cones, a small part of the slack",
    ),
    Mutant(
        "proof/tolerance.py",
        "self.threshold * (1.0 - ROUNDING)",
        "self.threshold * (1.0 + 1e-3)",
        "tests/core/proof tests/core/zones",
    ),
    Mutant(
        "proof/search.py",
        "a >= threshold, 0.0, cut",
        "a >= threshold, cut, 0.0",
        "tests/core/zones tests/core/proof",
    ),
    # zones and fences
    Mutant(
        "zones/lowering.py",
        "across * way < 0.0",
        "across * way > 0.0",
        "tests/core/zones/test_lowering.py",
    ),
    Mutant(
        "zones/lowering.py",
        "if rise else 0.0",
        "if not rise else 0.0",
        "tests/core/zones/test_lowering.py",
        "A long upright side that stays in a run sweeps nothing; the ring that meets itself along it is mended (buffer 0)",
    ),
    Mutant(
        "proof/undecided.py",
        'predicate="intersects")[0]',
        'predicate="intersects")[1]',
        "tests/core/zones",
    ),
    Mutant(
        "units.py",
        "math.floor(round(percent / step, 9))",
        "math.ceil(round(percent / step, 9))",
        "tests/app/window/test_not_misled.py",
    ),
    Mutant(
        "entry/sheet_tables.py",
        "now.state != built",
        "now.state == built",
        "tests/app/window/test_not_misled.py tests/core/entry",
    ),
    Mutant("zones/lowering.py", "yoff=-h", "yoff=h", SENSES),
    Mutant(
        "zones/layout.py",
        "height + view.height.metres + foot",
        "height - view.height.metres + foot",
        "tests/core/zones tests/senses",
    ),
    Mutant(
        "zones/ladders.py",
        "intervals_of(one, fineness.proof)",
        "intervals_of(one, 1.2 * fineness.proof)",
        "tests/core/zones tests/core/fences",
    ),
    Mutant(
        "fences/walls.py",
        "margin_of(p, own, frame) >= margin - _LOST",
        "margin_of(p, own, frame) >= 0.0 - _LOST",
        SENSES,
        "a second look at what the steps before it hold by themselves; no case is known in which they do not",
    ),
    Mutant(
        "fences/around.py",
        "hull.buffer(margin + _HAIR",
        "hull.buffer(0.5 * margin + _HAIR",
        "tests/core/fences",
    ),
    Mutant(
        "fences/fence.py",
        "leaks.append(Leak((0.0, worst[0]), worst[1] - worst[0]))",
        "leaks.append(Leak((0.0, worst[0]), worst[0] - worst[1]))",
        "tests/core/fences",
    ),
    Mutant(
        "fences/site_fences.py",
        "margin=settings.margin + ROUNDING",
        "margin=settings.margin - 0.2",
        "tests/core/fences",
    ),
    # readings and words
    Mutant(
        "units.py",
        "10.0 * math.log10(ratio)",
        "20.0 * math.log10(ratio)",
        "tests/core/test_units.py tests/core/exposure",
    ),
    Mutant(
        "units.py",
        "shown = math.ceil(round(percent / step, 9)) * step",
        "shown = math.floor(percent / step) * step",
        "tests/core/test_units.py tests/core/reading",
    ),
    Mutant(
        "reading/reading.py",
        "math.ceil(100.0 * math.log10(times) - 1e-9)",
        "math.floor(100.0 * math.log10(times) - 1e-9)",
        "tests/core/reading",
    ),
    Mutant(
        "files/geojson.py",
        "by = _SPARE * (_rounding",
        "by = -_SPARE * (_rounding",
        "tests/core/files",
    ),
    Mutant(
        "zones/extent.py", "wide = [min(u0, low[0])", "wide = [max(u0, low[0])", "tests/core/zones"
    ),
    Mutant(
        "zones/extent.py",
        "low, high = found[:, :2] <",
        "low, high = found[:, :2] >",
        "tests/core/zones",
    ),
    Mutant(
        "zones/extent.py",
        "low + (np.arange(count) + 0.5)",
        "low - (np.arange(count) + 0.5)",
        "tests/core/zones",
    ),
    Mutant(
        "proof/reach.py",
        "(summed(cell, most, m) <= threshold",
        "(summed(cell, most, m) >= threshold",
        "tests/core/zones",
    ),
    Mutant(
        "zones/lowering.py",
        "run - (0.0, high), run[::-1] - (0.0, low)",
        "run + (0.0, high), run[::-1] + (0.0, low)",
        "tests/core/zones tests/senses",
    ),
    Mutant(
        "proof/step.py",
        "np.maximum(values[:, :4], values[:, 4:])",
        "np.minimum(values[:, :4], values[:, 4:])",
        "tests/core/zones",
    ),
    Mutant(
        "proof/domains.py",
        "lattice.side_at(level) < self.column",
        "lattice.side_at(level) > self.column",
        "tests/core/zones",
    ),
    Mutant("proof/undecided.py", "(field >= least)", "(field <= least)", "tests/core/zones"),
    Mutant(
        "site/terraces.py",
        "abs(a.height - b.height) < drop",
        "abs(a.height - b.height) > drop",
        "tests/core/fences",
    ),
    Mutant(
        "site/terraces.py",
        "(a.is_ground and not b.is_drawn)",
        "(a.is_ground and b.is_drawn)",
        "tests/core/fences",
    ),
    Mutant(
        "fences/fence.py",
        "if one.high - one.low < RUNG",
        "if one.high - one.low > RUNG",
        "tests/core/fences",
    ),
    Mutant(
        "fences/site_fences.py",
        "(max(low, foot), min(high, top))",
        "(min(low, foot), max(high, top))",
        "tests/core/fences",
    ),
    Mutant(
        "fences/site_fences.py",
        "line = line.difference(shapely",
        "line = line.intersection(shapely",
        "tests/core/fences",
    ),
    Mutant(
        "limits/low_power.py",
        "limit.grams * 1e-3",
        "limit.grams * 1e-2",
        "tests/core/exposure/test_low_power.py",
    ),
    Mutant(
        "exposure/fractions.py",
        "np.where(reactive, held, electric), np.where",
        "np.where(reactive, electric, held), np.where",
        "tests/core/exposure/test_low_power.py",
    ),
    Mutant(
        "zones/ladders.py",
        "max(s - most, 0.0)",
        "max(s + most, 0.0)",
        "tests/core/zones tests/core/fences",
    ),
    Mutant(
        "zones/ladders.py",
        "min(e - least, length)",
        "min(e + least, length)",
        "tests/core/zones tests/core/fences",
    ),
    # changes and fleets
    Mutant(
        "changes/difference_map.py",
        "100.0 * (now - was)",
        "100.0 * (was - now)",
        MAP,
    ),
    Mutant(
        "changes/difference_map.py",
        "np.log10(now / was)",
        "np.log10(was / now)",
        MAP,
    ),
    Mutant(
        "changes/difference_map.py",
        "np.maximum(was, now) < LEAST",
        "np.minimum(was, now) < LEAST",
        MAP,
    ),
    Mutant(
        "changes/difference_map.py",
        "self.before.reactive | self.after.reactive",
        "self.before.reactive & self.after.reactive",
        MAP,
    ),
    Mutant(
        "changes/zones.py",
        "gained = _by_surface(new, old, height)",
        "gained = _by_surface(old, new, height)",
        COMPARED,
    ),
    Mutant(
        "changes/zones.py",
        "> was.of(tier).total * (1.0 + _SAME)",
        "< was.of(tier).total * (1.0 + _SAME)",
        COMPARED,
    ),
    Mutant(
        "changes/zones.py",
        "[(max(a, high), b) for a, b in rest]",
        "[(max(a, low), b) for a, b in rest]",
        COMPARED,
    ),
    Mutant(
        "changes/zones.py",
        "rose = _is_new(old, height, more) or _rose(",
        "rose = _rose(",
        COMPARED,
    ),
    Mutant(
        "changes/people.py",
        "self.now.category > before or opened",
        "self.now.category > before",
        COMPARED,
    ),
    Mutant(
        "changes/people.py",
        "return not self.now.holds and (self.was is None or self.was.holds)",
        "return not self.now.holds and self.was is None",
        COMPARED,
    ),
    Mutant(
        "changes/people.py",
        "self.was.holds and self.was.holding",
        "self.was.holds",
        COMPARED,
    ),
    Mutant(
        "changes/shares.py",
        "fresh = does & ~did",
        "fresh = does",
        SHARED,
    ),
    Mutant(
        "changes/shares.py",
        "does = responsible(own[1][None], now.of(tier))",
        "does = responsible(own[1][None], was.of(tier))",
        SHARED,
    ),
    Mutant(
        "changes/shares.py",
        "np.where(second > 1.0, rise, 0.0)",
        "np.where(second < 1.0, rise, 0.0)",
        SHARED,
    ),
    Mutant(
        "changes/comparison.py",
        "any(r.over for r in self.rises)",
        "any(not r.over for r in self.rises)",
        COMPARED,
    ),
    Mutant(
        "fleet/run.py",
        "if stamp(Path(folder), names) != marks:",
        "if stamp(Path(folder), names) == marks:",
        FLEET,
    ),
    Mutant(
        "files/journal.py",
        "self._file.truncate(whole)",
        "self._file.truncate()",
        "tests/core/files/test_journal.py",
    ),
    # power plans
    Mutant(
        "entry/power_cut.py",
        "allowed = target - others",
        "allowed = target + others",
        "tests/core/entry/test_power_cut.py",
    ),
    Mutant(
        "entry/power_cut.py",
        "share / allowed)",
        "allowed / share)",
        "tests/core/entry/test_power_cut.py",
    ),
    Mutant(
        "entry/criteria.py",
        "from_db(-self.margin)",
        "from_db(self.margin)",
        "tests/core/entry/test_power_plan.py",
    ),
    Mutant(
        "entry/criteria.py",
        "at.e2[i] / by, at.h2[i] / by",
        "at.e2[i] * by, at.h2[i] * by",
        "tests/core/entry/test_power_plan.py",
    ),
    Mutant(
        "entry/branching.py",
        "constant = float(u.sum()) + (",
        "constant = 0.5 * float(u.sum()) + (",
        "tests/core/entry/test_selection.py",
    ),
    Mutant(
        "entry/branching.py",
        "called = owner + np",
        "called = 2.0 * owner + np",
        "tests/core/entry/test_selection.py",
    ),
    Mutant(
        "entry/branching.py",
        "spared[mine][:, None] - least_bare[:, None] + bare",
        "spared[mine][:, None] + bare",
        "tests/core/entry/test_selection.py",
    ),
    Mutant(
        "entry/branching.py",
        "- self._step * (1.0 - 1e-6)",
        "- 2.0 * self._step",
        "tests/core/entry/test_selection.py tests/core/entry/test_power_plan.py",
    ),
    Mutant(
        "entry/steps.py",
        "SILENT < s < 100.0 * now.factor",
        "SILENT < s",
        "tests/core/entry/test_planner.py",
    ),
    Mutant(
        "entry/steps.py",
        "before - after, 0.0",
        "after - before, 0.0",
        "tests/core/entry/test_power_plan.py",
    ),
    Mutant(
        "entry/planner.py",
        "return row / (len(self.blocks) - 0.5)",
        "return row / (len(self.blocks) + 0.5)",
        "tests/core/entry/test_planner.py",
    ),
    Mutant(
        "entry/planner.py",
        "if proof.proven:\n                return True",
        "if True:\n                return True",
        "tests/core/entry/test_planner.py",
    ),
    Mutant("fields/columns.py", "np.sqrt(square) + square", "np.sqrt(square) - square", OTHERS),
    Mutant("antennas/panel.py", 'panel.polarisation == "vertical" or', "False or", OTHERS),
    Mutant("antennas/panel_ring.py", "ALL_ROUND_DB = -2.5", "ALL_ROUND_DB = -20.0", OTHERS),
    Mutant("antennas/panel_ring.py", "faces_agree=conservative", "faces_agree=False", OTHERS),
    Mutant("antennas/panel_ring.py", "(0.75 * lam) - 0.01", "(7.5 * lam) - 0.01", OTHERS),
    Mutant(
        "fields/elements.py", "up += np.sqrt(_square(face[0]))", "up += _square(face[0])", OTHERS
    ),
    Mutant(
        "antennas/beam_array.py",
        "np.maximum(both, seen)",
        "np.minimum(both, seen)",
        "tests/core/antennas/test_beam_array.py",
    ),
    Mutant(
        "antennas/beam_array.py",
        "self.row_spacing * self.column_spacing))",
        "self.row_spacing))",
        "tests/core/antennas/test_beam_array.py",
    ),
    Mutant(
        "proof/bounds/beam_array.py",
        "np.maximum(both, seen * _EDGE)",
        "np.minimum(both, seen)",
        BOUNDS,
    ),
    Mutant("proof/bounds/panel.py", "of.e + of.e_each.scaled(share)", "of.e", BOUNDS),
    Mutant(
        "proof/bounds/panel_ring.py",
        "larger(sums.floor, sums.blind.scaled(whole))",
        "sums.floor",
        BOUNDS,
    ),
    Mutant(
        "site/steel.py",
        "RESONANT_DB = ((0.1, 9.0), (0.2, 7.0)",
        "RESONANT_DB = ((0.1, 5.0), (0.2, 4.0)",
        TOWERS,
    ),
    Mutant("site/steel.py", "BESIDE_DB + LEVEL_DB *", "BESIDE_DB - LEVEL_DB *", TOWERS),
    Mutant("antennas/open_tilt.py", "else STICK_MOST", "else BAY_MOST", OPEN),
    Mutant(
        "zones/sharpening.py",
        "shape.intersection(domain.shape)",
        "shape.union(domain.shape)",
        SHARPER,
    ),
    Mutant("zones/sharpening.py", "EXCESS * area / length", "EXCESS * length / area", SHARPER),
    Mutant("zones/sharpening.py", "return max(MORE", "return min(MORE", SHARPER),
    Mutant(
        "changes/zones.py",
        "places, zone.view.body)",
        "places[:0], zone.view.body)",
        COMPARED,
    ),
)
