"""From watts and fields to fractions of a limit: at points and as rasters."""
