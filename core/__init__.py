"""The physics and the data of a site: no window, no drawing, files only in ``core.files``."""
