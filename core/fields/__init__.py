"""Engines that several antenna kinds share: dipole arms, pattern elements, the array factor, ground."""
