"""Pictures and pages: matplotlib, no Qt. The same artists serve screen, PNG, SVG and PDF."""

import logging
import warnings

import matplotlib

# Text on maps comes from people; a dollar sign in a name is no mathematics.
matplotlib.rcParams["text.parse_math"] = False
matplotlib.rcParams["text.usetex"] = False
# The marks inside an SVG are the same every time: two runs of one site do not differ.
matplotlib.rcParams["svg.hashsalt"] = "isofence"
# A name in letters the font lacks shows boxes; that is no reason to write about it on every map.
warnings.filterwarnings("ignore", message="Glyph .* missing from")
# A picture that is let in is used as it is, or refused; half sentences about it help nobody.
warnings.filterwarnings("ignore", module=r"PIL\.")
logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)
