"""Antenna kinds: one module each, all with the face of :class:`core.antennas.base.Kind`."""
