"""Bounds of a smooth function on a patch up to its second derivative, and their algebra.

For a (scalar or vector) function f and the patch's directions d_j a jet holds

    m0 ≥ sup |f|,   m1 ≥ sup (Σ_j |∂f/∂d_j|²)^½,   m2 ≥ sup Σ_j |∂²f/∂d_j²|.

Product and chain rule with the inequality of Cauchy and Schwarz give the jets of products and of
functions of functions.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats


@dataclass(frozen=True, slots=True)
class Jet:
    """Bounds m0, m1, m2 (arrays that broadcast together); see the module's text."""

    m0: Floats
    m1: Floats
    m2: Floats

    def __mul__(self, other: Jet) -> Jet:
        return Jet(
            self.m0 * other.m0,
            self.m0 * other.m1 + self.m1 * other.m0,
            self.m0 * other.m2 + 2.0 * self.m1 * other.m1 + self.m2 * other.m0,
        )

    def scaled(self, factor: Floats | float) -> Jet:
        """Return the jet of a constant multiple, ``factor`` ≥ 0."""
        return Jet(self.m0 * factor, self.m1 * factor, self.m2 * factor)

    def total(self) -> Jet:
        """Return the jet of the sum over the last axis."""
        return Jet(self.m0.sum(axis=-1), self.m1.sum(axis=-1), self.m2.sum(axis=-1))

    def root_total(self) -> Jet:
        """Return the jet of the vector that stacks the functions along the last axis."""
        return Jet(*(np.sqrt(np.sum(m * m, axis=-1)) for m in (self.m0, self.m1, self.m2)))


def compose(d0: Floats | float, d1: Floats | float, d2: Floats | float, inner: Jet) -> Jet:
    """Return the jet of φ(f) from bounds on |φ|, |φ'|, |φ''| over the values of f."""
    return Jet(
        np.broadcast_to(np.asarray(d0, dtype=np.float64), inner.m1.shape),
        d1 * inner.m1,
        d2 * inner.m1**2 + d1 * inner.m2,
    )


def wave(rate: Floats, bend: Floats) -> Jet:
    """Return the jet of e^{jψ} from bounds on (Σ|ψ_j'|²)^½ and Σ|ψ_jj''|."""
    return Jet(np.ones_like(rate), rate, rate * rate + bend)
