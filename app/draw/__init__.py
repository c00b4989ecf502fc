"""Pictures and pages: matplotlib, no Qt. The same artists serve screen, PNG, SVG and PDF."""
